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

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import exponential, logarithm, normal_distribution
from latebreak.engine.jit import inlined, kernel
from latebreak.engine.units import FOOT, INCH
from latebreak.perception.forecast import FORECAST_SD, LOOKS_X, LOOKS_Z
from latebreak.perception.parameters import Parameters
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: m: half of the plate's width and a ball's radius (Official Baseball Rules: 17 in; 9.125 in around, from memory).
HALF_WIDTH = (8.5 + 1.45) * INCH
BALL_RADIUS = 1.45 * INCH
#: Share of each count, balls by strikes, of all pitches (professional, computed from the table of swings by count and
#: common frequencies; value from memory).
COUNT_SHARES = np.array([[0.256, 0.128, 0.066], [0.100, 0.102, 0.097], [0.035, 0.053, 0.083], [0.011, 0.022, 0.047]])
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


#: The zone of an adult (chosen).
ADULT = Zone(1.5 * FOOT, 3.5 * FOOT)


def criteria(parameters: Parameters, count: tuple[int, int] | None) -> tuple[Array, Array]:
    """Criteria k by count, (C, m), and the share of each, (C,); C = 1 where the count (balls, strikes) is known."""
    counts = [count] if count is not None else [(balls, strikes) for balls in range(4) for strikes in range(3)]
    by_strikes = (parameters.bias_no_strikes, parameters.bias_one_strike, parameters.bias_two_strikes)
    k = np.empty((len(counts), parameters.lapse.size))
    for number, (balls, strikes) in enumerate(counts):
        k[number] = by_strikes[strikes] + parameters.bias_per_ball * balls
        if (balls, strikes) == (0, 0):
            k[number] -= parameters.first_pitch_patience
        if (balls, strikes) == (3, 0):
            k[number] -= THREE_AND_NONE
    shares = np.ones(1) if count is not None else COUNT_SHARES.ravel() / COUNT_SHARES.sum()
    return k, shares


@inlined
def within(error: float, half_width: float, sd: float) -> float:
    """Chance that a normal deviate about `error` lies within +-half_width."""
    return normal_distribution((half_width - error) / sd) - normal_distribution((-half_width - error) / sd)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_swings(
        forecast: Array, middle_x: Array, middle_z: Array, half_height: float, blur: Array, slope: Array,
        k: Array, shares: Array, swing: Array,
    ) -> None:  # fmt: skip
        _ = sources
        for j in range(swing.shape[0]):
            against = np.exp(-k[:, j])
            for i in range(swing.shape[1]):
                sd = np.sqrt(blur[j] * blur[j] + forecast[FORECAST_SD, j, i] * forecast[FORECAST_SD, j, i])
                q = within(forecast[LOOKS_X, j, i] - middle_x[j], HALF_WIDTH, sd)
                q *= within(forecast[LOOKS_Z, j, i] - middle_z[j], half_height, sd)
                q = min(max(q, 1e-9), 1.0 - 1e-9)
                doubt = exponential(slope[j] * logarithm((1.0 - q) / q))
                value = 0.0
                for c in range(shares.size):
                    value += shares[c] / (1.0 + against[c] * doubt)
                swing[j, i] = value

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
    _fill_swings(
        forecast, inside * parameters.wanted_inside, zone.middle + parameters.wanted_height, zone.half_height,
        parameters.zone_blur, parameters.swing_slope, k, shares, swing,
    )  # fmt: skip
    return swing
