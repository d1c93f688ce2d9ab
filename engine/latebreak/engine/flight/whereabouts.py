"""Where throws are at a time or at a distance, for a block of lanes inside a kernel: so that the loops vectorise."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, LANES, Y
from latebreak.engine.flight.path import hermite
from latebreak.engine.jit import inlined

Array = NDArray[np.float64]

#: Rows of the work array, at constant offsets of `LANES`: what is asked for (time, s, or distance coordinate y, m), the
#: interval between two nodes, and what is found there.
ASKED, INTERVAL, HERE_X, HERE_Y, HERE_Z, HERE_VX, HERE_VY, HERE_VZ = range(8)
WHERE_ROWS = 8


@inlined
def at_times(release: Array, plate: float, nodes: Array, k: int, lanes: int, w: Array) -> None:
    """States of throws k .. k + lanes at the times asked for: all lanes of one interval after the other.

    Before release and after arrival the state at release and at arrival holds.
    """
    end, steps = k + lanes, nodes.shape[0] - 1
    arrival = nodes[steps, AT_TIME, k:end]
    for i in range(lanes):
        w[i + ASKED * LANES] = min(max(w[i + ASKED * LANES], 0.0), arrival[i])
        w[i + INTERVAL * LANES] = 0.0
    low, high = 0, 0  # the first and last interval that some lane is in
    for node in range(1, steps):
        passed, beyond = nodes[node, AT_TIME, k:end], 0.0
        for i in range(lanes):
            one = 1.0 if w[i + ASKED * LANES] > passed[i] else 0.0
            w[i + INTERVAL * LANES] += one
            beyond += one
        low, high = node if beyond == lanes else low, node if beyond > 0.0 else high
    y0 = release[Y, k:end]
    for node in range(low, high + 1):
        t0, t1 = nodes[node, AT_TIME, k:end], nodes[node + 1, AT_TIME, k:end]
        x0, x1, z0, z1 = (
            nodes[node, AT_X, k:end], nodes[node + 1, AT_X, k:end],
            nodes[node, AT_Z, k:end], nodes[node + 1, AT_Z, k:end],
        )  # fmt: skip
        vx0, vx1, vy0, vy1, vz0, vz1 = (
            nodes[node, AT_VX, k:end], nodes[node + 1, AT_VX, k:end], nodes[node, AT_VY, k:end],
            nodes[node + 1, AT_VY, k:end], nodes[node, AT_VZ, k:end], nodes[node + 1, AT_VZ, k:end],
        )  # fmt: skip
        for i in range(lanes):
            inside = w[i + INTERVAL * LANES] == node
            h = t1[i] - t0[i]
            u = (w[i + ASKED * LANES] - t0[i]) / h
            stride = (plate - y0[i]) / steps
            x, vx = hermite(x0[i], x1[i], vx0[i], vx1[i], h, u)
            z, vz = hermite(z0[i], z1[i], vz0[i], vz1[i], h, u)
            y, vy = hermite(0.0, stride, vy0[i], vy1[i], h, u)
            w[i + HERE_X * LANES] = x if inside else w[i + HERE_X * LANES]
            w[i + HERE_Y * LANES] = y0[i] + stride * node + y if inside else w[i + HERE_Y * LANES]
            w[i + HERE_Z * LANES] = z if inside else w[i + HERE_Z * LANES]
            w[i + HERE_VX * LANES] = vx if inside else w[i + HERE_VX * LANES]
            w[i + HERE_VY * LANES] = vy if inside else w[i + HERE_VY * LANES]
            w[i + HERE_VZ * LANES] = vz if inside else w[i + HERE_VZ * LANES]


@inlined
def at_distances(release: Array, plate: float, nodes: Array, k: int, lanes: int, w: Array) -> None:
    """Places of throws k .. k + lanes where they cross the y asked for: cubic Hermite, slopes -vx/vy and -vz/vy.

    Before release and after arrival the place at release and at arrival holds.
    """
    end, steps = k + lanes, nodes.shape[0] - 1
    y0 = release[Y, k:end]
    low, high = float(steps), 0.0  # the first and last interval that some lane is in
    for i in range(lanes):
        y = min(max(w[i + ASKED * LANES], plate), y0[i])
        passed = (y0[i] - y) / ((y0[i] - plate) / steps)  # intervals
        w[i + HERE_Y * LANES], w[i + INTERVAL * LANES] = y, passed
        low, high = min(low, passed), max(high, passed)
    first = min(max(int(low), 0), steps - 1)
    for node in range(first, min(int(high), steps - 1) + 1):
        x0, x1, z0, z1 = (
            nodes[node, AT_X, k:end], nodes[node + 1, AT_X, k:end],
            nodes[node, AT_Z, k:end], nodes[node + 1, AT_Z, k:end],
        )  # fmt: skip
        vx0, vx1, vy0, vy1, vz0, vz1 = (
            nodes[node, AT_VX, k:end], nodes[node + 1, AT_VX, k:end], nodes[node, AT_VY, k:end],
            nodes[node + 1, AT_VY, k:end], nodes[node, AT_VZ, k:end], nodes[node + 1, AT_VZ, k:end],
        )  # fmt: skip
        for i in range(lanes):
            inside = w[i + INTERVAL * LANES] >= node or node == first
            u = w[i + INTERVAL * LANES] - node
            stride = (y0[i] - plate) / steps
            here, there = stride / vy0[i], stride / vy1[i]
            x, _slope = hermite(x0[i], x1[i], -vx0[i] * here, -vx1[i] * there, 1.0, u)
            z, _slope = hermite(z0[i], z1[i], -vz0[i] * here, -vz1[i] * there, 1.0, u)
            w[i + HERE_X * LANES] = x if inside else w[i + HERE_X * LANES]
            w[i + HERE_Z * LANES] = z if inside else w[i + HERE_Z * LANES]
