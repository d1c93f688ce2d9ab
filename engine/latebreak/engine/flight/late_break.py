"""Late break: what spin and seams still do to the path after the commit point. Flights only, no hitter.

A throw is flown to the plate, and once more from its state at a moment, the commit point say, with spin and seams
switched off. The distance between the two arrivals is its late break; the distance between the arrival and that of the
same release with gravity and drag only is its whole induced break.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.flying import Flight, Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, DRAG_SCALE, LANES, SLOWEST, VX, VY, VZ, X, Y, Z
from latebreak.engine.flight.whereabouts import (
    ASKED,
    HERE_VX,
    HERE_VY,
    HERE_VZ,
    HERE_X,
    HERE_Y,
    HERE_Z,
    WHERE_ROWS,
    at_times,
)
from latebreak.engine.jit import SOURCES, inlined, kernel, wide_vectors
from latebreak.engine.laws.table import LawTable, drag_coefficient

Array = NDArray[np.float64]


@inlined
def _slope(
    vx: float, vy: float, vz: float, drag_scale: float, constants: FlightConstants, laws: LawTable
) -> tuple[float, ...]:
    """d(x, z, vx, vy, vz)/ds of a ball without spin and seam-made force: the flight equation with w = 0, C_S = 0."""
    ux, uy = vx - constants.wind_x, vy - constants.wind_y
    speed = sqrt(ux * ux + uy * uy + vz * vz)
    drag = drag_scale * constants.force_constant * drag_coefficient(speed, 0.0, laws) * speed
    pace = 1.0 / max(-vy, SLOWEST)
    return pace * vx, pace * vz, -pace * drag * ux, -pace * drag * uy, -pace * (drag * vz + constants.gravity)


@inlined
def _step(
    x: float, z: float, vx: float, vy: float, vz: float, h: float, drag_scale: float, constants: FlightConstants,
    laws: LawTable,
) -> tuple[float, ...]:  # fmt: skip
    """One classical Runge-Kutta step of h metres."""
    g, c = 0.5 * h, h / 6.0
    x1, z1, p1, q1, r1 = _slope(vx, vy, vz, drag_scale, constants, laws)
    x2, z2, p2, q2, r2 = _slope(vx + g * p1, vy + g * q1, vz + g * r1, drag_scale, constants, laws)
    x3, z3, p3, q3, r3 = _slope(vx + g * p2, vy + g * q2, vz + g * r2, drag_scale, constants, laws)
    x4, z4, p4, q4, r4 = _slope(vx + h * p3, vy + h * q3, vz + h * r3, drag_scale, constants, laws)
    return (
        x + c * (x1 + 2.0 * (x2 + x3) + x4),
        z + c * (z1 + 2.0 * (z2 + z3) + z4),
        vx + c * (p1 + 2.0 * (p2 + p3) + p4),
        vy + c * (q1 + 2.0 * (q2 + q3) + q4),
        vz + c * (r1 + 2.0 * (r2 + r3) + r4),
    )


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_breaks(
        release: Array,
        nodes: Array,
        before_arrival: Array,
        plate: float,
        constants: FlightConstants,
        laws: LawTable,
        breaks: Array,
    ) -> None:
        _ = sources
        wide_vectors()
        steps = nodes.shape[0] - 1  # of all flights alike, so that no spin gives no break but for rounding
        w = np.empty(WHERE_ROWS * LANES)
        for first in range(0, release.shape[1], LANES):
            lanes, end = min(LANES, release.shape[1] - first), min(first + LANES, release.shape[1])
            arrival_time, arrival_x, arrival_z = (
                nodes[steps, AT_TIME, first:end], nodes[steps, AT_X, first:end], nodes[steps, AT_Z, first:end]
            )  # fmt: skip
            x0, y0, z0 = release[X, first:end], release[Y, first:end], release[Z, first:end]
            vx0, vy0, vz0 = release[VX, first:end], release[VY, first:end], release[VZ, first:end]
            drag_scale = release[DRAG_SCALE, first:end]
            for row in range(breaks.shape[0]):
                if row < before_arrival.shape[0]:
                    before = before_arrival[row, first:end]
                    for i in range(lanes):
                        w[i + ASKED * LANES] = arrival_time[i] - before[i]
                    at_times(release, plate, nodes, first, lanes, w)
                else:
                    for i in range(lanes):
                        w[i + HERE_X * LANES], w[i + HERE_Y * LANES], w[i + HERE_Z * LANES] = x0[i], y0[i], z0[i]
                        w[i + HERE_VX * LANES], w[i + HERE_VY * LANES] = vx0[i], vy0[i]
                        w[i + HERE_VZ * LANES] = vz0[i]
                for _step_number in range(steps):
                    for i in range(lanes):
                        x, z, vx, vy, vz = _step(
                            w[i + HERE_X * LANES], w[i + HERE_Z * LANES], w[i + HERE_VX * LANES],
                            w[i + HERE_VY * LANES], w[i + HERE_VZ * LANES], (w[i + HERE_Y * LANES] - plate) / steps,
                            drag_scale[i], constants, laws,
                        )  # fmt: skip
                        w[i + HERE_X * LANES], w[i + HERE_Z * LANES] = x, z
                        w[i + HERE_VX * LANES], w[i + HERE_VY * LANES], w[i + HERE_VZ * LANES] = vx, vy, vz
                goal = breaks[row, first:end]
                for i in range(lanes):
                    dx, dz = arrival_x[i] - w[i + HERE_X * LANES], arrival_z[i] - w[i + HERE_Z * LANES]
                    goal[i] = sqrt(dx * dx + dz * dz)

    return fill_breaks


_fill_breaks = _compile(SOURCES)


def late_and_whole_break(flight: Flight, paths: Paths, before_arrival: Array) -> Array:
    """Late break and whole induced break of throws.

    Parameters
    ----------
    flight : Flight
        How they were flown.
    paths : Paths
        n throws.
    before_arrival : float64 array, shape (k, n)
        s: moments before each throw's own arrival, the commit point say; a throw that flies less long is all late.

    Returns
    -------
    float64 array, shape (k + 1, n)
        Late break after each of the moments, and whole induced break, m, at the front of the plate.
    """
    breaks = np.empty((len(before_arrival) + 1, paths.releases.shape[1]))
    moments = np.ascontiguousarray(before_arrival)
    _fill_breaks(paths.releases, paths.nodes, moments, flight.plate, flight.constants, flight.laws.table, breaks)
    return breaks
