"""The decision: whether he swings at what he forecasts.

With q the chance that a ball that looks to arrive at f (`forecast`), known
to sqrt(blur^2 + SD^2), is one that he wants (any part of it in his zone, in side and height)

    logit P(swing) = k + beta ln(q/(1 - q)),      k by the count.

References
----------
Swings by count: professional tracked seasons (web article of 2012, read).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import exponential, logarithm, normal_interval
from latebreak.engine.flight.kernel import LANES
from latebreak.engine.jit import inlined, kernel, wide_vectors
from latebreak.engine.units import INCH
from latebreak.perception.forecast import FORECAST_SD, LOOKS_X, LOOKS_Z
from latebreak.perception.parameters import Parameters
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: m: half of the plate's width and a ball's radius (Official Baseball Rules, as quoted by others: 17 in, 9.125 in
#: around).
HALF_WIDTH = (8.5 + 1.45) * INCH
BALL_RADIUS = 1.45 * INCH
#: Share of each count, balls by strikes, of all pitches (professional, computed from the table of swings by count and
#: common frequencies; value from memory).
COUNT_SHARES = np.array([[0.256, 0.128, 0.066], [0.100, 0.102, 0.097], [0.035, 0.053, 0.083], [0.011, 0.022, 0.047]])
_SHARES = COUNT_SHARES.ravel() / COUNT_SHARES.sum()
#: Taken off the criterion at 3-0: hitters swing at 10 % of strikes there, at 56 at 2-0 (web article of 2012, read).
THREE_AND_NONE = 2.45


@dataclass(frozen=True)
class Zone:
    """The strike zone of a hitter: bottom and top, m above the ground."""

    bottom: float
    top: float

    def holds(self, side: Array, height: Array) -> NDArray[np.bool_]:
        """Tell whether any part of a ball that crosses at side and height (m) is in the zone."""
        inside: NDArray[np.bool_] = (np.abs(side) <= HALF_WIDTH) & (height >= self.bottom - BALL_RADIUS)
        return inside & (height <= self.top + BALL_RADIUS)

    @property
    def middle(self) -> float:
        """Height of the middle, m."""
        return 0.5 * (self.bottom + self.top)

    @property
    def half_height(self) -> float:
        """Half of the height with a ball's radius, m."""
        return 0.5 * (self.top - self.bottom) + BALL_RADIUS


def criteria(parameters: Parameters, count: tuple[int, int] | None) -> tuple[Array, Array]:
    """Criteria k by count, (C, m), and the share of each, (C,); C = 1 where the count (balls, strikes) is known."""
    p = parameters
    by_strikes = np.array((p.bias_no_strikes, p.bias_one_strike, p.bias_two_strikes))
    k = by_strikes + p.bias_per_ball * np.arange(4.0)[:, None, None]
    k[0, 0] -= p.first_pitch_patience
    k[3, 0] -= THREE_AND_NONE
    if count is not None:
        return k[count][None], np.ones(1)
    return k.reshape(_SHARES.size, -1), _SHARES


@inlined
def within(error: float, half_width: float, sd: float) -> float:
    """Chance that a normal deviate about `error` lies within +-half_width."""
    return normal_interval((-half_width - error) / sd, (half_width - error) / sd)


#: Counts are summed so many at a time, over one denominator: it stays finite with a doubt of e^140 at most.
_TOGETHER = 4
_MOST_DOUBT = 1e60


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_swings(
        forecast: Array, middle_x: Array, middle_z: Array, half_height: float, blur: Array, slope: Array,
        against: Array, shares: Array, swing: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        columns, throws = swing.shape
        w = np.empty(2 * LANES)  # the doubt, and the swings summed so far
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, end = min(LANES, throws - first), min(first + LANES, throws)
                x, z = forecast[LOOKS_X, j, first:end], forecast[LOOKS_Z, j, first:end]
                unsure = forecast[FORECAST_SD, j, first:end]
                for i in range(lanes):
                    sd = sqrt(blur[j] * blur[j] + unsure[i] * unsure[i])
                    q = within(x[i] - middle_x[j], HALF_WIDTH, sd) * within(z[i] - middle_z[j], half_height, sd)
                    q = min(max(q, 1e-9), 1.0 - 1e-9)
                    # e^-logit(P) is e^-k times this
                    w[i] = min(exponential(slope[j] * logarithm((1.0 - q) / q)), _MOST_DOUBT)
                    w[i + LANES] = 0.0
                for c in range(0, shares.size, _TOGETHER):
                    a, b, d, e = against[c, j], against[c + 1, j], against[c + 2, j], against[c + 3, j]
                    for i in range(lanes):
                        # s/(1 + a doubt) of four counts: a fraction for each pair, then of both
                        one, two, three, four = 1.0 + a * w[i], 1.0 + b * w[i], 1.0 + d * w[i], 1.0 + e * w[i]
                        above = (shares[c] * two + shares[c + 1] * one) * (three * four)
                        above += (shares[c + 2] * four + shares[c + 3] * three) * (one * two)
                        w[i + LANES] += above / ((one * two) * (three * four))
                goal = swing[j, first:end]
                for i in range(lanes):
                    goal[i] = w[i + LANES]

    return fill_swings


_fill_swings = _compile(SOURCES)


def decide(
    forecast: Array, parameters: Parameters, zone: Zone, inside: float, count: tuple[int, int] | None = None
) -> Array:
    """Chance of a swing.

    Parameters
    ----------
    forecast : float64 array, shape (6, m, n)
        From `latebreak.perception.forecast.foresee`.
    parameters : Parameters
        m columns.
    zone : Zone
        The hitter's.
    inside : float
        +1 or -1: the side of the plate on which he stands, positive = catcher's right.
    count : tuple of int, optional
        Balls and strikes; default: over all counts.

    Returns
    -------
    float64 array, shape (m, n)
    """
    swing = np.empty(forecast.shape[1:])
    k, shares = criteria(parameters, count)
    against = np.exp(-k)
    if shares.size < _TOGETHER:  # the rest: counts of no share
        against, shares = (np.concatenate([a, np.zeros((_TOGETHER - 1, *a.shape[1:]))]) for a in (against, shares))
    _fill_swings(
        np.ascontiguousarray(forecast), inside * parameters.wanted_inside, zone.middle + parameters.wanted_height,
        zone.half_height, parameters.zone_blur, parameters.swing_slope, against, shares, swing,
    )  # fmt: skip
    return swing
