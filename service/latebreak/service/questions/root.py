"""Where a response meets its goal: the nearest root on a grid, sharpened, and the root in each member."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Standard errors by which a response must turn back before it is called not monotone (chosen).
_TURN = 3.0
#: Share of the range below which two guesses tell no slope: the fits of the force laws differ a little (chosen).
_TELLING = 0.003
#: Share of the largest of some values that is rounding.
_NOTHING = 1e-9


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
        How many there are; a stretch on which the goal is met throughout is one.
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
    met, between = miss == 0.0, np.flatnonzero(np.sign(miss[:-1]) * np.sign(miss[1:]) < 0.0)
    on = np.flatnonzero(met)
    if not on.size + between.size:
        return Bracket(None, float("nan"), float(x[np.abs(miss).argmin()]), not turns, 0)
    slope = np.append(rise / step, np.nan)
    if x.size > 1:
        slope[-1] = slope[-2]  # of the last place that of the stretch before it
    roots = np.concatenate([x[on], x[between] - miss[between] / slope[between]])
    nearest = int(np.abs(roots - now).argmin())
    stretches = int(met[0]) + int((met[1:] & ~met[:-1]).sum())
    root, its = float(roots[nearest]), float(slope[np.concatenate([on, between])[nearest]])
    return Bracket(root, its, root, not turns, stretches + int(between.size))


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
    # once guesses lie on both sides of a root, it is looked for between the two that are nearest to each other
    order = np.argsort(x)
    x, sign = x[order], np.sign(miss[order])
    across = np.flatnonzero(sign[:-1] * sign[1:] < 0.0)
    if across.size:
        left = across[np.diff(x)[across].argmin()]
        if not x[left] <= guess <= x[left + 1]:
            guess = 0.5 * (x[left] + x[left + 1])
    return float(np.clip(guess, low, high))


def roots_of_members(x: Array, miss: Array, low: float, high: float) -> Array:
    """Roots in the members of an ensemble, from responses at three values of the lever.

    Parameters
    ----------
    x : float64 array, shape (3,)
        Before the root of the estimate, seen from where the lever stands, at it, and beyond it.
    miss : float64 array, shape (3, d)
        Response less goal in each member, the estimate's own first.
    low, high : float
        Bounds.

    Returns
    -------
    float64 array, shape (d,)
        On the broken line through the three points, which goes on straight at both ends; the first crossing between
        them, if there is one. The bound where the line does not get there: the far one where the goal is not met yet,
        the other one where it is met already.
    """
    ahead, back = (high, low) if x[1] >= x[0] else (low, high)
    miss = np.where(np.abs(miss) <= _NOTHING * np.abs(miss).max(axis=0), 0.0, miss)
    first, second, third = miss * (-1.0 if miss[0, 0] > 0.0 else 1.0)  # so that the goal lies above now
    before, beyond = first * second < 0.0, second * third < 0.0
    late = ~before & (beyond | (second < 0.0))
    a, b = np.where(late, x[1], x[0]), np.where(late, x[2], x[1])
    ya, yb = np.where(late, second, first), np.where(late, third, second)
    with np.errstate(divide="ignore", invalid="ignore"):
        root: Array = a - ya * (b - a) / (yb - ya)
    leads = before | beyond | (yb > ya)  # without a crossing the line is followed ahead or back, if it rises
    root = np.where(leads & np.isfinite(root), root, np.where(first < 0.0, ahead, back))
    return np.clip(np.where(second == 0.0, x[1], root), low, high)
