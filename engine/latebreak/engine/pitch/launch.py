"""Launch directions: Newton's method on flights, for many mean pitches side by side."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.kernel import (
    AT_X,
    AT_Z,
    DRAG_SCALE,
    LANES,
    LIFT_SCALE,
    MAX_VY,
    RELEASE_ROWS,
    SEAM,
    SLOWEST,
    STATE_ROWS,
    fly,
)  # fmt: skip
from latebreak.engine.jit import SOURCES, inlined, kernel
from latebreak.engine.laws.table import LawTable
from latebreak.engine.pitch.pitch import LEVERS
from latebreak.engine.pitch.release import fill_release
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import INCH

Array = NDArray[np.float64]

_TOLERANCE = 1e-4 * INCH  # m, how close a mean pitch comes to its target
# Pitches of one call: three flights of each are flown in one pass.
_PITCHES = LANES // 3

_MOST_STEPS = 30
_NUDGE = 1e-5  # rad, for the derivative
_LARGEST_STEP = 0.15  # rad: from the flat first guess this keeps to the flatter of two solutions
_STEEPEST = 1.2  # rad
_ELEVATION, _AZIMUTH = LEVERS.index("launch_elevation"), LEVERS.index("launch_azimuth")
_LEVERS = len(LEVERS)


@inlined
def _stepped(angle: float, step: float) -> float:
    """An angle after Newton's step; one that is no number is none."""
    step = 0.0 if np.isnan(step) else min(max(step, -_LARGEST_STEP), _LARGEST_STEP)
    return min(max(angle + step, -_STEEPEST), _STEEPEST)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def solve_launches(
        levers: Array,
        target: Array,
        scales: Array,
        seam_sine: float,
        seam_cosine: float,
        rubber: float,
        plate: float,
        steps: int,
        constants: FlightConstants,
        laws: LawTable,
        reached: NDArray[np.bool_],
    ) -> None:
        _ = sources
        count = levers.shape[1]
        zero, unit = np.zeros(_LEVERS), np.eye(_LEVERS)
        trial, release = np.empty((_LEVERS, 3 * count)), np.empty((RELEASE_ROWS, 3 * count))
        nodes = np.empty((1, STATE_ROWS, 3 * count))
        for i in range(3 * count):
            release[SEAM, i], release[DRAG_SCALE, i] = scales[0, i % count], scales[1, i % count]
            release[LIFT_SCALE, i] = scales[2, i % count]
        for _newton in range(_MOST_STEPS):
            for row in range(_LEVERS):
                for i in range(3 * count):  # as it is, a little higher, a little to the right
                    trial[row, i] = levers[row, i % count]
            for i in range(count):
                trial[_ELEVATION, count + i] += _NUDGE
                trial[_AZIMUTH, 2 * count + i] += _NUDGE
            fill_release(zero, unit, trial, seam_sine, seam_cosine, rubber, release)
            fly(release, plate, steps, constants, laws, nodes)
            missed = False
            for i in range(count):
                x, z = nodes[0, AT_X, i], nodes[0, AT_Z, i]
                miss_x, miss_z = target[0, i] - x, target[1, i] - z
                reached[i] = max(abs(miss_x), abs(miss_z)) < _TOLERANCE and nodes[0, MAX_VY, i] < -SLOWEST
                if reached[i]:
                    continue
                missed = True
                # Cramer's rule for  [d here/d elevation, d here/d azimuth] step = miss
                up_x, up_z = (nodes[0, AT_X, count + i] - x) / _NUDGE, (nodes[0, AT_Z, count + i] - z) / _NUDGE
                right_x = (nodes[0, AT_X, 2 * count + i] - x) / _NUDGE
                right_z = (nodes[0, AT_Z, 2 * count + i] - z) / _NUDGE
                determinant = up_x * right_z - right_x * up_z
                up = (miss_x * right_z - right_x * miss_z) / determinant
                right = (up_x * miss_z - miss_x * up_z) / determinant
                levers[_ELEVATION, i] = _stepped(levers[_ELEVATION, i], up)
                levers[_AZIMUTH, i] = _stepped(levers[_AZIMUTH, i], right)
            if not missed:
                break

    return solve_launches


_solve_launches = _compile(SOURCES)


def solve_launches(
    levers: Array,
    target: Array,
    scales: Array,
    seam_clock: float,
    rubber: float,
    plate: float,
    steps: int,
    constants: FlightConstants,
    laws: LawTable,
) -> NDArray[np.bool_]:
    """Turn the launch angles of mean pitches until each hits its target; of two solutions the flatter is found.

    Parameters
    ----------
    levers : float64 array, shape (9, m)
        Mean levers with the first guess of the launch angles, which are solved in place.
    target : float64 array, shape (2, m)
        Side and height at the plate, m.
    scales : float64 array, shape (3, m)
        Seam-made force, factor on drag, factor on lift.
    seam_clock, rubber, plate : float
        As in `latebreak.engine.pitch.aim.MeanPitches` and `latebreak.engine.flight.flying.Flight`.
    steps : int
        Runge-Kutta steps of a flight.
    constants, laws
        Of the flight equation.

    Returns
    -------
    bool array, shape (m,)
        Whether each hits its target.
    """
    reached = np.zeros(levers.shape[1], dtype=bool)
    for first in range(0, levers.shape[1], _PITCHES):
        checkpoint()
        some = slice(first, first + _PITCHES)
        mine = np.ascontiguousarray(levers[:, some])
        _solve_launches(
            mine, np.ascontiguousarray(target[:, some]), np.ascontiguousarray(scales[:, some]),
            sin(seam_clock), cos(seam_clock), rubber, plate, steps, constants, laws, reached[some],
        )  # fmt: skip
        levers[:, some] = mine
    return reached
