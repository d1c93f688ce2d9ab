"""When it is recognised, and when the break appears: moments of a throw, looked for at every look.

Recognition: from when on the belief in the thrown type stays above 75 % until the height cut-off (first crossings are
early noise). Break onset: when the forecast for this throw first differs by more than one ball radius from the forecast
that the same hitter, with the same noise, forms when the fastball is thrown on the same line from the same point. There
the break appears, though the ball bends all the way.

Here the looks are drawn: what is wanted is a first passage, and that has no closed form.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.encounter import Encounter
from latebreak.perception.view import LOOK
from latebreak.perception.watching import watch

Array = NDArray[np.float64]

RECOGNISED = 0.75  # belief in the thrown type


@dataclass(frozen=True, eq=False)
class Moments:
    """Times of an event, s after release, and whether it happens; arrays of shape (n, m)."""

    time: Array
    reached: NDArray[np.bool_]


def moments(
    encounter: Encounter,
    fastball_place: Array,
    radius: float,
    normals: Array,
    noise: Callable[[int], Array],
    spacing: float = LOOK,
) -> tuple[Moments, Moments]:
    """Find when throws are recognised and when their break appears.

    Parameters
    ----------
    encounter : Encounter
        m columns.
    fastball_place : float64 array, shape (m, K, 3)
        Mean path of the fastball on the pitch's line, at the looks.
    radius : float
        Of the ball, m.
    normals : float64 array, shape (9, n)
        The throws' draws.
    noise : callable
        Given a number of looks, the standard normal draws of their noise, shape (3 looks, 2, n), the same for every
        column; more looks must only add to it, so that questions of one seed share the noise of their looks.
    spacing : float
        s between the moments at which the hitter is asked; in between by interpolation.

    Returns
    -------
    recognition, onset : Moments
        Of n throws under m sets of parameters.
    """
    e = encounter
    last = e.arrival[:, 0] - e.traits.height_cutoff
    first = e.traits.view_start
    count = max(int(np.ceil((last - first).max() / spacing)), 2)
    cuts = np.minimum(first + spacing * np.arange(1, count + 1)[:, None], last)  # (C, m)
    looks = max(int((e.looks - 0.5 * LOOK < last.max()).sum()), 1)  # what begins later is not seen
    belief, apart = watch(e, fastball_place, cuts, normals, noise(looks))
    return _held(belief, cuts[:, None]), _first(apart, cuts[:, None], radius)


def _held(belief: Array, cuts: Array) -> Moments:
    """From when on the belief (C, n, m) stays above the threshold; between cut-offs by interpolation."""
    above = belief >= RECOGNISED
    held = np.logical_and.accumulate(above[::-1], axis=0)[::-1]
    reached: NDArray[np.bool_] = held[-1]
    start = held.argmax(axis=0)
    return Moments(_crossing(belief, cuts, start, RECOGNISED), reached)


def _first(apart: Array, cuts: Array, threshold: float) -> Moments:
    """When a distance (C, n, m) first exceeds a threshold; between cut-offs by interpolation."""
    above = apart > threshold
    reached: NDArray[np.bool_] = np.any(above, axis=0)
    return Moments(_crossing(apart, cuts, above.argmax(axis=0), threshold), reached)


def _crossing(values: Array, cuts: Array, at: NDArray[np.int64], threshold: float) -> Array:
    before = np.maximum(at - 1, 0)
    v0, v1 = (np.take_along_axis(values, i[None], axis=0)[0] for i in (before, at))
    times = np.broadcast_to(cuts, values.shape)
    t0, t1 = (np.take_along_axis(times, i[None], axis=0)[0] for i in (before, at))
    rise = v1 - v0
    share = np.where(rise > 0.0, (threshold - v0) / np.where(rise > 0.0, rise, 1.0), 1.0).clip(0.0, 1.0)
    time: Array = t0 + share * (t1 - t0)
    return time
