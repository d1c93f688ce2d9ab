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
from latebreak.engine.jit import SOURCES, inlined, kernel
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


@inlined
def _slope(
    t: float, vx: float, vy: float, vz: float, release: tuple[float, ...], constants: FlightConstants, laws: LawTable
) -> tuple[float, ...]:
    """d(x, z, t, vx, vy, vz)/ds."""
    ax, ay, az = acceleration(
        vx, vy, vz, t,
        release[0], release[1], release[2], release[3], release[4], release[5], release[6], release[7], release[8],
        constants, laws,
    )  # fmt: skip
    pace = 1.0 / max(-vy, SLOWEST)
    return pace * vx, pace * vz, pace, pace * ax, pace * ay, pace * az


@inlined
def _step(
    x: float, z: float, t: float, vx: float, vy: float, vz: float, slowest: float, h: float,
    release: tuple[float, ...], constants: FlightConstants, laws: LawTable,
) -> tuple[float, ...]:  # fmt: skip
    """One classical Runge-Kutta step of h metres; `slowest` keeps the largest vy seen."""
    x1, z1, t1, p1, q1, r1 = _slope(t, vx, vy, vz, release, constants, laws)
    g = 0.5 * h
    vy2 = vy + g * q1
    x2, z2, t2, p2, q2, r2 = _slope(t + g * t1, vx + g * p1, vy2, vz + g * r1, release, constants, laws)
    vy3 = vy + g * q2
    x3, z3, t3, p3, q3, r3 = _slope(t + g * t2, vx + g * p2, vy3, vz + g * r2, release, constants, laws)
    vy4 = vy + h * q3
    x4, z4, t4, p4, q4, r4 = _slope(t + h * t3, vx + h * p3, vy4, vz + h * r3, release, constants, laws)
    c = h / 6.0
    end = vy + c * (q1 + 2.0 * (q2 + q3) + q4)
    return (
        x + c * (x1 + 2.0 * (x2 + x3) + x4),
        z + c * (z1 + 2.0 * (z2 + z3) + z4),
        t + c * (t1 + 2.0 * (t2 + t3) + t4),
        vx + c * (p1 + 2.0 * (p2 + p3) + p4),
        end,
        vz + c * (r1 + 2.0 * (r2 + r3) + r4),
        max(slowest, vy2, vy3, vy4, end),
    )


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fly(release: Array, plate: float, steps: int, constants: FlightConstants, laws: LawTable, nodes: Array) -> None:
        _ = sources
        throws = release.shape[1]
        r = release.reshape(release.size)
        # The state stands in one flat array, rows at constant offsets: so the compiler sees that the rows do not
        # overlap, and vectorises. (Row views or 2-D indexing in the loop over lanes silently give scalar code.)
        w = np.empty(STATE_ROWS * LANES)
        dense = nodes.shape[0] > 1
        share = 1.0 / steps
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            for i in range(lanes):
                j = first + i
                w[i + AT_X * LANES] = r[j + X * throws]
                w[i + AT_Z * LANES] = r[j + Z * throws]
                w[i + AT_TIME * LANES] = 0.0
                w[i + AT_VX * LANES] = r[j + VX * throws]
                w[i + AT_VY * LANES] = r[j + VY * throws]
                w[i + AT_VZ * LANES] = r[j + VZ * throws]
                w[i + MAX_VY * LANES] = r[j + VY * throws]
            for step in range(steps + 1):
                if step > 0:
                    for i in range(lanes):
                        j = first + i
                        x, z, t, vx, vy, vz, slowest = _step(
                            w[i + AT_X * LANES], w[i + AT_Z * LANES], w[i + AT_TIME * LANES],
                            w[i + AT_VX * LANES], w[i + AT_VY * LANES], w[i + AT_VZ * LANES], w[i + MAX_VY * LANES],
                            (r[j + Y * throws] - plate) * share,
                            (r[j + SPIN_X * throws], r[j + SPIN_Y * throws], r[j + SPIN_Z * throws],
                             r[j + SEAM * throws], r[j + SEAM_X * throws], r[j + SEAM_Y * throws],
                             r[j + SEAM_Z * throws], r[j + DRAG_SCALE * throws], r[j + LIFT_SCALE * throws]),
                            constants, laws,
                        )  # fmt: skip
                        w[i + AT_X * LANES] = x
                        w[i + AT_Z * LANES] = z
                        w[i + AT_TIME * LANES] = t
                        w[i + AT_VX * LANES] = vx
                        w[i + AT_VY * LANES] = vy
                        w[i + AT_VZ * LANES] = vz
                        w[i + MAX_VY * LANES] = slowest
                if dense or step == steps:
                    for row in range(STATE_ROWS):
                        goal = nodes[step if dense else 0, row]
                        for i in range(lanes):
                            goal[first + i] = w[row * LANES + i]

    return fly


fly = _compile(SOURCES)
