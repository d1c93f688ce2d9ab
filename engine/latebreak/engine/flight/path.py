"""The path between release and plate: cubic Hermite in time, or in distance, through the nodes of the solution."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, Y
from latebreak.engine.jit import SOURCES, inlined, kernel

Array = NDArray[np.float64]

#: Fewest steps of a path: with two, the cubics are good to 1e-4 in between the nodes of an ordinary pitch.
FEWEST_STEPS = 2


@inlined
def hermite(p0: float, p1: float, v0: float, v1: float, h: float, u: float) -> tuple[float, float]:
    """Position and velocity at share u of an interval of h seconds."""
    rise = p1 - p0
    a = h * v0 - rise
    b = rise - h * v1
    position = p0 + u * (rise + (1.0 - u) * (a * (1.0 - u) + b * u))
    velocity = (rise + (1.0 - 2.0 * u) * (a * (1.0 - u) + b * u) + u * (1.0 - u) * (b - a)) / h
    return position, velocity


@inlined
def state_at(
    release: Array, plate: float, nodes: Array, i: int, t: float, node: int
) -> tuple[int, float, float, float, float, float, float]:
    """Position and velocity of throw i at t, and the node before it; the search begins at a node."""
    steps = nodes.shape[0] - 1
    y0 = release[Y, i]
    stride = (y0 - plate) / steps
    t = min(max(t, 0.0), nodes[steps, AT_TIME, i])
    j = node
    while j < steps - 1 and t > nodes[j + 1, AT_TIME, i]:
        j += 1
    while j > 0 and t < nodes[j, AT_TIME, i]:
        j -= 1
    h = nodes[j + 1, AT_TIME, i] - nodes[j, AT_TIME, i]
    u = (t - nodes[j, AT_TIME, i]) / h
    x, vx = hermite(nodes[j, AT_X, i], nodes[j + 1, AT_X, i], nodes[j, AT_VX, i], nodes[j + 1, AT_VX, i], h, u)
    y, vy = hermite(y0 - stride * j, y0 - stride * (j + 1), nodes[j, AT_VY, i], nodes[j + 1, AT_VY, i], h, u)
    z, vz = hermite(nodes[j, AT_Z, i], nodes[j + 1, AT_Z, i], nodes[j, AT_VZ, i], nodes[j + 1, AT_VZ, i], h, u)
    return j, x, y, z, vx, vy, vz


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_states(release: Array, plate: float, nodes: Array, times: Array, states: Array) -> None:
        _ = sources
        for i in range(times.shape[1]):
            node = 0
            for k in range(times.shape[0]):
                node, x, y, z, vx, vy, vz = state_at(release, plate, nodes, i, times[k, i], node)
                states[k, 0, i] = x
                states[k, 1, i] = y
                states[k, 2, i] = z
                states[k, 3, i] = vx
                states[k, 4, i] = vy
                states[k, 5, i] = vz

    return fill_states


def _compile_places(sources: int) -> Callable[..., None]:
    @kernel
    def fill_places(release: Array, plate: float, nodes: Array, distance: Array, places: Array) -> None:
        _ = sources
        steps = nodes.shape[0] - 1
        for i in range(distance.shape[1]):
            y0 = release[Y, i]
            stride = (y0 - plate) / steps
            for k in range(distance.shape[0]):
                y = min(max(distance[k, i], plate), y0)
                j = min(max(int((y0 - y) / stride), 0), steps - 1)  # a throw that is no number stays in bounds
                u = (y0 - y) / stride - j
                here, there = stride / nodes[j, AT_VY, i], stride / nodes[j + 1, AT_VY, i]
                # over distance flown, slopes are -vx/vy and -vz/vy
                places[k, 0, i], _slope = hermite(
                    nodes[j, AT_X, i], nodes[j + 1, AT_X, i],
                    -nodes[j, AT_VX, i] * here, -nodes[j + 1, AT_VX, i] * there, 1.0, u,
                )  # fmt: skip
                places[k, 1, i] = y
                places[k, 2, i], _slope = hermite(
                    nodes[j, AT_Z, i], nodes[j + 1, AT_Z, i],
                    -nodes[j, AT_VZ, i] * here, -nodes[j + 1, AT_VZ, i] * there, 1.0, u,
                )  # fmt: skip

    return fill_places


_fill_states = _compile(SOURCES)
_fill_places = _compile_places(SOURCES)


def states_at(release: Array, plate: float, nodes: Array, times: Array) -> Array:
    """Position and velocity of throws at given times after release.

    Before release and after arrival the state at release and at arrival holds.

    Parameters
    ----------
    release : float64 array, shape (15, n)
        Releases.
    plate : float
        m, distance coordinate y at which the flight ends.
    nodes : float64 array, shape (steps + 1, 7, n)
        States at equal distances, as `latebreak.engine.flight.kernel.fly` gives them, steps >= 1.
    times : float64 array, shape (k, n)
        s after release.

    Returns
    -------
    float64 array, shape (k, 6, n)
        x, y, z (m) and vx, vy, vz (m/s).
    """
    states = np.empty((times.shape[0], 6, times.shape[1]))
    _fill_states(release, plate, nodes, np.ascontiguousarray(times), states)
    return states


def places_at(release: Array, plate: float, nodes: Array, y: Array) -> Array:
    """Places of throws where they cross given distance coordinates y: cubic Hermite in distance.

    Before release and after arrival the place at release and at arrival holds.

    Parameters
    ----------
    release, plate, nodes
        As in `states_at`.
    y : float64 array, shape (k, n)
        m.

    Returns
    -------
    float64 array, shape (k, 3, n)
        x, y, z (m).
    """
    places = np.empty((y.shape[0], 3, y.shape[1]))
    _fill_places(release, plate, nodes, np.ascontiguousarray(y), places)
    return places
