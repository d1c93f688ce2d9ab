"""The flight kernels: Runge-Kutta steps over distance, many throws side by side.

Distance flown towards the plate is the independent variable, so every flight ends exactly at the plate, without event
search: with u = -vy the state (x, z, t, vx, vy, vz) obeys d/ds = (1/u) d/dt. Arrays are structures of arrays: one row
a quantity, one column a throw; the loop over throws is innermost and vectorises.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.equation import FlightConstants, acceleration
from latebreak.engine.jit import SOURCES, inlined, kernel, lane_loop, wide_vectors
from latebreak.engine.laws.table import LawTable

Array = NDArray[np.float64]

#: Rows of a release array.
(X, Y, Z, VX, VY, VZ, SPIN_X, SPIN_Y, SPIN_Z, SEAM, SEAM_X, SEAM_Y, SEAM_Z, DRAG_SCALE, LIFT_SCALE) = range(15)
RELEASE_ROWS = 15

#: Rows of a state array; the last is the largest vy so far, from which the outcome is judged.
(AT_X, AT_Z, AT_TIME, AT_VX, AT_VY, AT_VZ, MAX_VY) = range(7)
STATE_ROWS = 7

LANES = 128  # throws a pass: their rows stay in the first-level cache
SLOWEST = 1.0  # m/s towards the plate: a slower throw is integrated at this pace, and its outcome says so

# Work rows of a pass stand in one flat array at constant offsets: so the compiler sees that the rows do not overlap,
# and vectorises. (Row views or 2-D indexing in the loop over lanes silently give scalar code.)
STATE = RELEASE_ROWS * LANES
_FROM = STATE + STATE_ROWS * LANES  # t, vx, vy, vz where a step begins
_AT = _FROM + 4 * LANES  # and where a stage of it asks for the slope
FLIGHT_ROWS = RELEASE_ROWS + STATE_ROWS + 8


@inlined
def _slope(
    t: float, vx: float, vy: float, vz: float, release: tuple[float, ...], constants: FlightConstants, laws: LawTable,
    bare: bool,
) -> tuple[float, ...]:  # fmt: skip
    """d(x, z, t, vx, vy, vz)/ds."""
    ax, ay, az = acceleration(
        vx, vy, vz, t,
        release[0], release[1], release[2], release[3], release[4], release[5], release[6], release[7], release[8],
        constants, laws, bare,
    )  # fmt: skip
    pace = 1.0 / max(-vy, SLOWEST)
    return pace * vx, pace * vz, pace, pace * ax, pace * ay, pace * az


@lane_loop
def start(w: Array, lanes: int, state: int) -> None:
    """Put the releases of a pass, in the first work rows, into the state rows at offset `state`."""
    for i in range(lanes):
        w[i + state + AT_X * LANES] = w[i + X * LANES]
        w[i + state + AT_Z * LANES] = w[i + Z * LANES]
        w[i + state + AT_TIME * LANES] = 0.0
        w[i + state + AT_VX * LANES] = w[i + VX * LANES]
        w[i + state + AT_VY * LANES] = w[i + VY * LANES]
        w[i + state + AT_VZ * LANES] = w[i + VZ * LANES]
        w[i + state + MAX_VY * LANES] = w[i + VY * LANES]


@lane_loop
def _stage(
    w: Array, lanes: int, state: int, stage: int, plate: float, share: float, constants: FlightConstants,
    laws: LawTable, bare: bool,
) -> None:  # fmt: skip
    """One of four stages of a classical Runge-Kutta step: y + h k1/6 + h k2/3 + h k3/3 + h k4/6.

    The slope k is asked at y, y + h k1/2, y + h k2/2, y + h k3. A loop for each stage, since a throw's four slopes wait
    for each other: so several throws are on the way at once.
    """
    place = state + AT_TIME * LANES if stage == 0 else _AT
    origin = state + AT_TIME * LANES if stage == 0 else _FROM
    ahead = 0.5 if stage < 2 else 1.0
    weight = 1 / 3 if 0 < stage < 3 else 1 / 6
    for i in range(lanes):
        h = (w[i + Y * LANES] - plate) * share
        t0, vx0 = w[i + origin], w[i + origin + LANES]
        vy0, vz0 = w[i + origin + 2 * LANES], w[i + origin + 3 * LANES]
        kx, kz, kt, kp, kq, kr = _slope(
            w[i + place], w[i + place + LANES], w[i + place + 2 * LANES], w[i + place + 3 * LANES],
            (w[i + SPIN_X * LANES], w[i + SPIN_Y * LANES], w[i + SPIN_Z * LANES],
             w[i + SEAM * LANES], w[i + SEAM_X * LANES], w[i + SEAM_Y * LANES],
             w[i + SEAM_Z * LANES], w[i + DRAG_SCALE * LANES], w[i + LIFT_SCALE * LANES]),
            constants, laws, bare,
        )  # fmt: skip
        g, c = ahead * h, weight * h
        vy_next = vy0 + g * kq if stage < 3 else w[i + state + AT_VY * LANES] + c * kq
        if stage == 0:
            w[i + _FROM] = t0
            w[i + _FROM + LANES] = vx0
            w[i + _FROM + 2 * LANES] = vy0
            w[i + _FROM + 3 * LANES] = vz0
        if stage < 3:
            w[i + _AT] = t0 + g * kt
            w[i + _AT + LANES] = vx0 + g * kp
            w[i + _AT + 2 * LANES] = vy_next
            w[i + _AT + 3 * LANES] = vz0 + g * kr
        w[i + state + AT_X * LANES] += c * kx
        w[i + state + AT_Z * LANES] += c * kz
        w[i + state + AT_TIME * LANES] += c * kt
        w[i + state + AT_VX * LANES] += c * kp
        w[i + state + AT_VY * LANES] += c * kq
        w[i + state + AT_VZ * LANES] += c * kr
        w[i + state + MAX_VY * LANES] = max(w[i + state + MAX_VY * LANES], vy_next)


@lane_loop
def advance(
    w: Array, lanes: int, state: int, plate: float, share: float, constants: FlightConstants, laws: LawTable, bare: bool
) -> None:
    """Fly the throws of a pass over a share of their way, in one Runge-Kutta step."""
    _stage(w, lanes, state, 0, plate, share, constants, laws, bare)
    _stage(w, lanes, state, 1, plate, share, constants, laws, bare)
    _stage(w, lanes, state, 2, plate, share, constants, laws, bare)
    _stage(w, lanes, state, 3, plate, share, constants, laws, bare)


@lane_loop
def load(rows: Array, count: int, first: int, lanes: int, w: Array, offset: int) -> None:
    """Copy the throws of a pass, the first `count` rows of an array (rows, throws), into work rows."""
    for row in range(count):
        source, goal = rows[row, first : first + lanes], w[offset + row * LANES : offset + row * LANES + lanes]
        for i in range(lanes):
            goal[i] = source[i]


@lane_loop
def store(w: Array, offset: int, rows: Array, first: int, lanes: int) -> None:
    """Copy work rows into the throws of a pass of an array (rows, throws)."""
    for row in range(rows.shape[0]):
        source, goal = w[offset + row * LANES : offset + row * LANES + lanes], rows[row, first : first + lanes]
        for i in range(lanes):
            goal[i] = source[i]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fly(release: Array, plate: float, steps: int, constants: FlightConstants, laws: LawTable, nodes: Array) -> None:
        _ = sources
        wide_vectors()
        throws = release.shape[1]
        w = np.empty(FLIGHT_ROWS * LANES)
        dense = nodes.shape[0] > 1
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            load(release, RELEASE_ROWS, first, lanes, w, 0)
            start(w, lanes, STATE)
            if dense:
                store(w, STATE, nodes[0], first, lanes)
            for step in range(steps):
                advance(w, lanes, STATE, plate, 1.0 / steps, constants, laws, False)
                if dense:
                    store(w, STATE, nodes[step + 1], first, lanes)
            if not dense:
                store(w, STATE, nodes[0], first, lanes)

    return fly


fly = _compile(SOURCES)
