"""Single throws: the value of every lever in every throw, measured or inferred, for spreads and correlations."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.inverse.equations import Equations
from latebreak.engine.inverse.fitted import Origin
from latebreak.engine.inverse.residuals import CLOCK, LIFT, SPIN, TURN
from latebreak.engine.inverse.sample import wrapped
from latebreak.engine.inverse.start import FOLD
from latebreak.engine.pitch.aim import AZIMUTH, BREAK_CLOCK, ELEVATION, GYRO, SPIN_RATE

Array = NDArray[np.float64]

_STEPS = 8
_NUDGE = {SPIN: 1e-2, TURN: 1e-4, LIFT: 1e-4}
_CLOCK_NUDGE = 1e-4
_LONGEST_TURN = 0.5  # rad and, as a share of the pitch's own value, along the clock


def single_levers(solution: Equations, theta: Array) -> tuple[Array, list[Origin]]:
    """Levers of every throw.

    Parameters
    ----------
    solution : Equations
        What was solved for what.
    theta : float64 array, shape (6,)
        The solution.

    Returns
    -------
    values : float64 array, shape (9, n)
        NaN where a throw doesn't tell.
    origins : list of str, 9
        "measured", "inferred" or, for rows of NaN only, "assumed".
    """
    throws = solution.throws
    folds = abs(float(throws.gyro(theta))) < FOLD * throws.turn_spread
    values = throws.observed.levers.copy()
    origins: list[Origin] = ["measured"] * len(values)
    if len(solution.flown.keys() & {CLOCK, TURN, SPIN}) and _two_equations(solution):
        along, clock = _inverted(solution, theta)
        if CLOCK in solution.flown:
            values[BREAK_CLOCK], origins[BREAK_CLOCK] = clock, "inferred"
        if TURN in solution.flown and not folds:
            values[GYRO], origins[GYRO] = throws.sense * np.arccos(along.clip(0.0, 1.0)), "inferred"
        if SPIN in solution.flown:
            values[SPIN_RATE], origins[SPIN_RATE] = along, "inferred"
    if TURN in solution.means:
        values[GYRO] = throws.levers[GYRO]
    launched = ~np.isnan(throws.observed.arrival).any(axis=0)
    for row in (ELEVATION, AZIMUTH):
        if np.isnan(values[row]).all():
            origins[row] = "inferred"
        solved = np.isnan(values[row]) & launched
        values[row, solved] = throws.levers[row, solved]
    for row in range(len(values)):
        if np.isnan(values[row]).all():
            origins[row] = "assumed"
    return values, origins


def _two_equations(solution: Equations) -> bool:
    return sum(row < 2 for row in solution.flown.values()) == 2


def _inverted(solution: Equations, theta: Array) -> tuple[Array, Array]:
    """Solve the movement of each throw alone for what moves it along the clock, and for the clock; each (n,).

    Newton's method on two equations a throw; NaN where a throw has no movement.
    """
    throws = replace(solution.throws, turn_spread=0.0, clock_spread=0.0)  # each throw has one of each
    n = throws.levers.shape[1]
    row = next(k for k in solution.flown if k in _NUDGE)
    each = np.repeat(theta[:, None], n, axis=1)
    clock = np.where(np.isnan(throws.levers[BREAK_CLOCK]), theta[CLOCK], throws.levers[BREAK_CLOCK])
    longest = _LONGEST_TURN * theta[row]

    def unexplained(each: Array, clock: Array) -> Array:
        levers = throws.levers.copy()
        levers[BREAK_CLOCK] = clock
        return replace(throws, levers=levers).residuals(each)[:2]

    for _ in range(_STEPS):
        here = unexplained(each, clock)
        more = each.copy()
        more[row] += _NUDGE[row]
        a = (here - unexplained(more, clock)) / _NUDGE[row]
        b = (here - unexplained(each, clock + _CLOCK_NUDGE)) / _CLOCK_NUDGE
        # Cramer's rule for  a along + b turn = here
        with np.errstate(invalid="ignore", divide="ignore"):
            determinant = a[0] * b[1] - b[0] * a[1]
            along = (here[0] * b[1] - b[0] * here[1]) / determinant
            turn = (a[0] * here[1] - here[0] * a[1]) / determinant
        each[row] = np.maximum(each[row] + np.nan_to_num(along).clip(-longest, longest), 0.0)
        clock = clock + np.nan_to_num(turn).clip(-_LONGEST_TURN, _LONGEST_TURN)
    told = ~np.isnan(unexplained(each, clock)).any(axis=0)
    return np.where(told, each[row], np.nan), np.where(told, wrapped(clock), np.nan)
