"""Where the throws of a pitch lie in one quantity, and how far from them a throw must be to be none of them."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws.measured import CLOCKS

#: Share of the usual spread below which no scale goes (chosen: low enough that a steady pitcher's slips stand out, high
#: enough that numbers rounded alike, without any scatter, do not make the next number a slip).
FLOOR_SHARE = 0.5
#: A throw farther than this from the median, in usual spreads or scales, whichever is larger, is none of the sample
#: however few tell the scale. Chosen: the larger of two scales is hardly ever far too small, so that clean samples of
#: up to 1.5 times the usual spread still keep their throws in 199 of 200 cases, and a dozen shows a slip of 9 spreads.
FAR_IN_USUAL = 6.0
#: With fewer throws nothing can be called far from the others.
FEWEST = 5
#: Share of the throws, the nearest to the median, that tell the scale. Up to a quarter may then be slips. (The median
#: absolute deviation bears a half, but its own scatter in a dozen throws would put the cut at 9.7 instead of 7.3.)
NEAREST = 0.75
#: A clean normal sample loses a throw in one quantity with at most this chance; in the six that can make a slip
#: together less than 1 in 200.
FALSE_ALARM = 1.0 / 1500.0
#: cut = that of a normal sample of known scale * (1 + A / (k - B)), k = throws that tell the scale: fitted from above
#: to simulated normal samples of 5 to 300 throws (computed; tests/unit/test_throws_robust_location.py holds it).
CUT_A, CUT_B = 5.6, 2.2
HALF_TURN = 180.0  # deg

_NORMAL = NormalDist()


@dataclass(frozen=True)
class RobustLocation:
    """The throws of a pitch in one quantity.

    Attributes
    ----------
    key : str
        Canonical key.
    count : int
        Throws that were measured.
    centre : float
        Median, in the canonical unit.
    scale : float
        Robust estimate of the standard deviation, at least `FLOOR_SHARE` of the usual.
    usual : float
        Usual standard deviation of such a pitch.
    """

    key: str
    count: int
    centre: float
    scale: float
    usual: float

    def distance(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return how far values are from the centre, in scales, shape as `values`; NaN where not measured."""
        return np.asarray(np.abs(_from(values, self.centre, self.key)) / self.scale)

    @property
    def cut(self) -> float:
        """Distance, in scales, beyond which a value is none of these."""
        return min(cut(self.count), FAR_IN_USUAL * max(1.0, self.usual / self.scale))


def robust_location(key: str, values: NDArray[np.float64], usual: float) -> RobustLocation | None:
    """Find the centre and scale of a sample.

    Parameters
    ----------
    key : str
        Canonical key; directions on a clock are treated as such.
    values : float64 array, shape (n,)
        NaN = not measured.
    usual : float
        Usual standard deviation of such a pitch, in the canonical unit.

    Returns
    -------
    RobustLocation or None
        None for fewer than `FEWEST` measured values.
    """
    sample = values[np.isfinite(values)]
    if len(sample) < FEWEST:
        return None
    centre = _median(sample, key)
    nearest = _tellers(len(sample))
    deviations = np.partition(np.abs(_from(sample, centre, key)), nearest - 1)[:nearest]
    scale = sqrt(float(np.mean(deviations**2))) / _part_of_sd(len(sample))
    return RobustLocation(key, len(sample), centre, max(scale, FLOOR_SHARE * usual), usual)


def cut(count: int) -> float:
    """Return the distance from the median, in scales, that a clean normal sample of `count` throws keeps within.

    `count` is at least `FEWEST`.
    """
    known_scale = _NORMAL.inv_cdf(1.0 - FALSE_ALARM / (2.0 * count))
    return known_scale * (1.0 + CUT_A / (_tellers(count) - CUT_B))


def _tellers(count: int) -> int:
    return ceil(NEAREST * count)


def _part_of_sd(count: int) -> float:
    """Return the root mean square of the nearest deviations of a normal sample, in standard deviations.

    Of a normal law cut at -q, q, which holds the share p: sqrt(1 - 2 q phi(q) / p); half a throw off p for the sample.
    """
    p = (_tellers(count) - 0.5) / count
    q = _NORMAL.inv_cdf((1.0 + p) / 2.0)
    return sqrt(1.0 - 2.0 * q * _NORMAL.pdf(q) / p)


def _from(values: NDArray[np.float64], centre: float, key: str) -> NDArray[np.float64]:
    """Return values minus centre; on a clock the short way round, -180 to 180 deg."""
    difference = values - centre
    return (difference + HALF_TURN) % (2.0 * HALF_TURN) - HALF_TURN if key in CLOCKS else difference


def _median(sample: NDArray[np.float64], key: str) -> float:
    if key not in CLOCKS:
        return float(np.median(sample))
    # The median of directions, counted from their mean direction.
    mean = float(np.degrees(np.angle(np.mean(np.exp(1j * np.radians(sample))))))
    return (mean + float(np.median(_from(sample, mean, key)))) % (2.0 * HALF_TURN)
