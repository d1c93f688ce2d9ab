"""The swing: which type is believed, how far its forecast is off, and whether bat meets ball.

Plan: the most believed type at the timing cut-off gives the time of the swing, at the height cut-off its height (or, as
an option, the mean of all types by belief). Contact: the time is right to +-W_t and the height to bat radius plus ball
radius; clean contact: to 10 ms and 10.5 mm. What is not drawn (noise of the eye in the forecast, motor noise) is
integrated: each window is smeared by a normal distribution.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import erf, exp, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.jit import inlined, kernel
from latebreak.engine.pitch import LEVERS
from latebreak.perception.encounter import Encounter
from latebreak.perception.forecast import Forecast
from latebreak.perception.recognition import Recognition
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: Rows of what `swing` gives.
SWING = ("contact", "clean", "belief_at_commit", "timing", "vertical", "side", "square")
CONTACT, CLEAN, BELIEF, TIMING, VERTICAL, SIDE, SQUARE = range(len(SWING))
#: Order of the cut-offs in a `Recognition` for a swing.
TIMING_CUT, HEIGHT_CUT, COMMIT_CUT = range(3)
#: Draws of the error of memory, size and direction: the first rows of the noise.
MEMORY = 2

#: m: bat radius + ball radius, from 2.61 in and 2.9 in (Official Baseball Rules; values from memory).
TOUCH = 0.070
#: s: Tresilian (2004), The accuracy of interceptive action in time and space, p. 167 (read).
CLEAN_TIME = 0.010
#: m, half the height of the sweet spot: Kidokoro and Yanai (2017), abstract (read).
CLEAN_HEIGHT = 0.0105


@inlined
def within(error: float, half_width: float, sd: float) -> float:
    """Chance that a normal deviate about `error` lies within +-half_width."""
    scale = 1.0 / (sqrt(2.0) * sd)
    return 0.5 * (erf((half_width - error) * scale) + erf((half_width + error) * scale))


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_swings(
        mean: Array,
        slope: Array,
        factor: Array,
        offset: Array,
        change: Array,
        memory: Array,
        sd: Array,
        motor_time: Array,
        motor_height: Array,
        window: Array,
        lapse: Array,
        thrown: int,
        weighted: bool,
        normals: Array,
        noise: Array,
        swings: Array,
    ) -> None:
        _ = sources
        columns, cuts, others = mean.shape
        types = others + 1
        odds = np.zeros((cuts, types))
        share = np.zeros((cuts, types))
        error, variance = np.zeros(3), np.zeros(3)
        for i in range(normals.shape[1]):
            for j in range(columns):
                for c in range(cuts):
                    best = 0.0
                    for h in range(others):
                        value = mean[j, c, h]
                        for q in range(9):
                            value += slope[j, c, h, q] * normals[q, i]
                        row = c * others + h
                        for q in range(row + 1):
                            value += factor[j, row, q] * noise[MEMORY + q, i]
                        odds[c, h + 1] = value
                        best = max(best, value)
                    if c == COMMIT_CUT or weighted:  # belief = softmax of the log odds
                        total = 0.0
                        for h in range(types):
                            share[c, h] = exp(odds[c, h] - best)
                            total += share[c, h]
                        for h in range(types):
                            share[c, h] /= total
                for q in range(3):
                    error[q], variance[q] = 0.0, 0.0
                    c = TIMING_CUT if q == 0 else HEIGHT_CUT
                    planned = 0
                    for h in range(1, types):
                        if odds[c, h] > odds[c, planned]:
                            planned = h
                    for h in range(types):
                        part = share[c, h] if weighted else (1.0 if h == planned else 0.0)
                        if part == 0.0:
                            continue
                        value = offset[j, h, q]
                        for p in range(9):
                            value += change[j, h, q, p] * normals[p, i]
                        value += memory[j, h, q, 0] * noise[0, i] + memory[j, h, q, 1] * noise[1, i]
                        error[q] += part * value
                        variance[q] += part * sd[j, h, q] ** 2
                late = sqrt(variance[0] + motor_time[j] ** 2)
                off = sqrt(variance[1] + motor_height[j] ** 2)
                k = i * columns + j
                met = 1.0 - lapse[j]
                swings[CONTACT, k] = met * within(error[0], window[j], late) * within(error[1], TOUCH, off)
                swings[CLEAN, k] = met * within(error[0], CLEAN_TIME, late) * within(error[1], CLEAN_HEIGHT, off)
                swings[BELIEF, k] = share[COMMIT_CUT, thrown]
                swings[TIMING, k] = error[0]
                swings[VERTICAL, k] = error[1]
                swings[SIDE, k] = error[2]
                swings[SQUARE, k] = error[1] ** 2 + error[2] ** 2 + variance[1] + variance[2]

    return fill_swings


_fill_swings = _compile(SOURCES)


@dataclass(frozen=True, eq=False)
class Readiness:
    """What a hitter brings to one thrown pitch, worked out once; m columns."""

    encounter: Encounter
    recognition: Recognition
    forecast: Forecast
    weighted: bool


def cut_offs(encounter: Encounter) -> Array:
    """Cut-offs (3, m), s after release: of the timing, of the height, and the commit point."""
    before = (
        encounter.traits.timing_cutoff,
        encounter.traits.height_cutoff,
        np.full_like(encounter.traits.lapse, encounter.commit_before_arrival),
    )
    return np.stack([encounter.arrival[:, 0] - ahead for ahead in before])


def swing(ready: Readiness, normals: Array, noise: Array) -> Array:
    """Swing at throws.

    Parameters
    ----------
    ready : Readiness
        m columns, H types.
    normals : float64 array, shape (9, n)
        The throws' standard normal draws.
    noise : float64 array, shape (2 + 3 (H - 1), n)
        Standard normal draws of the hitter: two of the error of memory, then of what is believed.

    Returns
    -------
    float64 array, shape (7, n m)
        Rows as in `SWING`; all columns of the first throw, then of the second, ... Chances; actual less forecast in s
        and m; mean square of the miss of the forecast in place, m^2.

    Raises
    ------
    ValueError
        If the draws have another shape.
    """
    e, traits = ready.encounter, ready.encounter.traits
    rows = MEMORY + ready.recognition.factor.shape[-1]
    if normals.shape[0] != len(LEVERS) or noise.shape != (rows, normals.shape[1]):
        raise ValueError(
            f"draws of shape {normals.shape} and noise of shape {noise.shape}: {rows} rows of noise wanted"
        )
    swings = np.empty((len(SWING), normals.shape[1] * e.arrival.shape[0]))
    _fill_swings(
        ready.recognition.mean, np.ascontiguousarray(ready.recognition.slope), ready.recognition.factor,
        ready.forecast.offset, np.ascontiguousarray(ready.forecast.slope),
        np.ascontiguousarray(ready.forecast.memory), ready.forecast.sd,
        traits.motor_time, traits.motor_height, traits.timing_window, traits.lapse,
        e.thrown, ready.weighted, np.ascontiguousarray(normals), np.ascontiguousarray(noise), swings,
    )  # fmt: skip
    return swings
