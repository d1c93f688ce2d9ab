"""Where a response meets its goal: the nearest root on a grid, sharpened, and the root under each draw."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Standard errors by which a response must turn back before it is called not monotone (chosen).
_TURN = 3.0
#: Share of the range below which two guesses tell no slope: the fits of the force laws differ a little (chosen).
_TELLING = 0.003


@dataclass(frozen=True)
class Bracket:
    """What a grid tells of a root.

    Attributes
    ----------
    root : float or None
        The nearest to where the lever stands; None where the grid crosses nowhere.
    slope : float
        Of the response there.
    closest : float
        The grid's value that comes nearest to the goal.
    monotone : bool
        Whether the response goes one way all along the grid, beyond sampling error.
    roots : int
        How many there are.
    """

    root: float | None
    slope: float
    closest: float
    monotone: bool
    roots: int


def bracket(x: Array, miss: Array, noise: Array, now: float) -> Bracket:
    """Look for the root of a response that is known on a grid.

    Parameters
    ----------
    x : float64 array, shape (n,)
        Values of the lever, rising.
    miss : float64 array, shape (n,)
        Response less goal; NaN where the pitch can't be thrown.
    noise : float64 array, shape (n,)
        Standard error of each.
    now : float
        Where the lever stands.
    """
    known = np.isfinite(miss)
    x, miss, noise = x[known], miss[known], noise[known]
    if not x.size:
        return Bracket(None, float("nan"), now, True, 0)
    step, rise = np.diff(x), np.diff(miss)
    clear = np.abs(rise) > _TURN * np.hypot(noise[1:], noise[:-1])
    turns = bool((rise[clear] > 0.0).any() and (rise[clear] < 0.0).any())
    at = np.flatnonzero((miss[:-1] == 0.0) | (miss[:-1] * miss[1:] < 0.0))
    if miss.size == 1 or (not at.size and miss[-1] == 0.0):
        at = np.array([x.size - 2]) if x.size > 1 else at
    if not at.size:
        return Bracket(None, float("nan"), float(x[np.abs(miss).argmin()]), not turns, 0)
    slopes = rise[at] / step[at]
    roots = x[at] - np.divide(miss[at], slopes, out=np.zeros_like(slopes), where=slopes != 0.0)
    nearest = int(np.abs(roots - now).argmin())
    return Bracket(float(roots[nearest]), float(slopes[nearest]), float(roots[nearest]), not turns, int(at.size))


def sharpened(x: Array, miss: Array, slope: float, low: float, high: float) -> float:
    """Next guess of a root from the guesses so far.

    Parameters
    ----------
    x, miss : float64 array, shape (k,)
        Guesses, and response less goal at each.
    slope : float
        Of the grid: taken where the guesses are too few or too near each other to tell.
    low, high : float
        Bounds.
    """
    if x.size > 1 and abs(x[-1] - x[-2]) > _TELLING * (high - low) and miss[-1] != miss[-2]:
        slope = (miss[-1] - miss[-2]) / (x[-1] - x[-2])
    guess = x[-1] - miss[-1] / slope if slope else x[-1]
    # once guesses lie on both sides of the root, it is looked for between them
    side = miss * np.sign(slope)
    left, right = x[side < 0.0], x[side > 0.0]
    if left.size and right.size and left.max() < right.min() and not left.max() <= guess <= right.min():
        guess = 0.5 * (left.max() + right.min())
    return float(np.clip(guess, low, high))


def root_under_draws(x: Array, miss: Array, low: float, high: float) -> Array:
    """Roots under draws, from responses at three values of the lever.

    Parameters
    ----------
    x : float64 array, shape (3,)
        Where the lever stands, the root of the estimate, and beyond it.
    miss : float64 array, shape (3, d)
        Response less goal under each draw, the estimate's own first.
    low, high : float
        Bounds.

    Returns
    -------
    float64 array, shape (d,)
        On the broken line through the three points, which goes on straight at both ends; the bound where the line does
        not get there: the far one where the goal is not met yet, the other one where it is met already.
    """
    ahead, back = (high, low) if x[1] >= x[0] else (low, high)
    first, second, third = miss * (-1.0 if miss[0, 0] > 0.0 else 1.0)  # so that the goal lies above now
    late = second < 0.0  # met beyond the estimate's own root, or not at all
    a, b = np.where(late, x[1], x[0]), np.where(late, x[2], x[1])
    ya, yb = np.where(late, second, first), np.where(late, third, second)
    with np.errstate(divide="ignore", invalid="ignore"):
        root = a - ya * (b - a) / (yb - ya)
    there: Array = np.where((first < 0.0) & late & (yb <= ya), ahead, root)
    there = np.where((first >= 0.0) & (yb <= ya), back, there)
    return np.clip(np.where(np.isfinite(there), there, ahead), low, high)
