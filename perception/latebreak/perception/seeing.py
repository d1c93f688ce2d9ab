"""What a hitter has seen of throws until a moment, and how well.

At t after release the eye has the ball's place p(t), its heading as it was half a lag earlier (motion is seen as a mean
over the last `lag`), its speed, its line out of the hand, and how much of its heading spin has made so far:

    place p(t),   heading p'(t - lag/2),   line p'(0)/v,   bend a = (p'(t) - p'(0) c)/t + g (1 + c)/2

with c = v_y(t)/v_y(0), what drag has left of the speed. A ball without spin keeps its direction under drag, which also
slows its fall by half of that in the mean; so it has no bend. Of what is seen, headings
carry noise of SD sigma_d v (m/s, per axis) and the logarithm of speed noise of SD sigma_v. Both need time:

    sigma(t) = sigma sqrt(1 + (window/(t - start))^3)

which is a constant once the window is past, and grows as t^(-3/2) towards the start of the view. Facing a pitcher of
his own side, sigma_d is larger.

References
----------
Speed no better than 5 to 7 % beyond 100 ms of view: McKee and Nakayama (1984), Snowden and Braddick (1991), read.
Direction 0.5 to 1.8 deg: Westheimer and Wehrhahn (1994), De Bruyn and Orban (1988), read. Early looks are several times
worse: Osborne et al. (2007), read.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import logarithm
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, LANES, VX, VY, VZ, Y
from latebreak.engine.flight.path import hermite
from latebreak.engine.jit import inlined, kernel
from latebreak.engine.units import STANDARD_GRAVITY
from latebreak.perception.parameters import Parameters
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: Rows of what is seen; SI units. Pairs are (side, height). Slopes of the line are m/s per m/s of speed.
GLANCE = (
    "time", "remaining", "speed", "log_speed", "line_x", "line_z", "bend_x", "bend_z", "place_x", "place_z",
    "heading_x", "heading_z", "arrival_x", "arrival_z", "direction_sd", "speed_sd",
)  # fmt: skip
(TIME, REMAINING, SPEED, LOG_SPEED, LINE_X, LINE_Z, BEND_X, BEND_Z, PLACE_X, PLACE_Z,
 HEADING_X, HEADING_Z, ARRIVAL_X, ARRIVAL_Z, DIRECTION_SD, SPEED_SD) = range(len(GLANCE))  # fmt: skip

#: Rows of a hitter's standard normal draws: what one throw adds to what is seen, and to what is remembered.
NOISE = ("heading_x", "heading_z", "speed", "line_x", "line_z", "bend_x", "bend_z", "memory_size", "memory_direction")
(EYE_X, EYE_Z, EYE_SPEED, LINE_NOISE_X, LINE_NOISE_Z, BEND_NOISE_X, BEND_NOISE_Z,
 MEMORY_SIZE, MEMORY_DIRECTION) = range(len(NOISE))  # fmt: skip

#: s: nothing is judged from less than this (chosen; keeps the noise finite).
SHORTEST_VIEW = 0.005


@inlined
def needs_time(viewed: float, window: float) -> float:
    """Factor on the noise of what has been viewed for so long, s."""
    share = window / max(viewed, SHORTEST_VIEW)
    return sqrt(1.0 + share * share * share)


#: Rows of the work array: the row of `GLANCE` first, then the time asked for, the node before it, and the state there.
_WORK = len(GLANCE) + 7
_ASKED, _NODE, _X, _Z, _VX, _VY, _VZ = range(len(GLANCE), _WORK)


@inlined
def _states(release: Array, plate: float, nodes: Array, k: int, lanes: int, work: Array) -> None:
    """States of a block of throws at the times asked for: all lanes of one interval after the other."""
    w, end, steps = work, k + lanes, nodes.shape[0] - 1
    for i in range(lanes):
        w[i + _NODE * LANES] = 0.0
    low, high = 0, 0  # the first and last interval that some lane is in
    for node in range(1, steps):
        passed, beyond = nodes[node, AT_TIME, k:end], 0.0
        for i in range(lanes):
            one = 1.0 if w[i + _ASKED * LANES] > passed[i] else 0.0
            w[i + _NODE * LANES] += one
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
            inside = w[i + _NODE * LANES] == node
            h = t1[i] - t0[i]
            u = (w[i + _ASKED * LANES] - t0[i]) / h
            x, vx = hermite(x0[i], x1[i], vx0[i], vx1[i], h, u)
            z, vz = hermite(z0[i], z1[i], vz0[i], vz1[i], h, u)
            _y, vy = hermite(0.0, (plate - y0[i]) / steps, vy0[i], vy1[i], h, u)
            w[i + _X * LANES] = x if inside else w[i + _X * LANES]
            w[i + _Z * LANES] = z if inside else w[i + _Z * LANES]
            w[i + _VX * LANES] = vx if inside else w[i + _VX * LANES]
            w[i + _VY * LANES] = vy if inside else w[i + _VY * LANES]
            w[i + _VZ * LANES] = vz if inside else w[i + _VZ * LANES]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_glance(
        release: Array, plate: float, nodes: Array, times: Array, lag: Array, start: Array, window: Array,
        direction: Array, speed: Array, gravity: float, glance: Array,
    ) -> None:  # fmt: skip
        _ = sources
        columns, throws = times.shape
        w = np.empty(_WORK * LANES)  # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, k = min(LANES, throws - first), j * throws + first
                end = k + lanes
                at = times[j, first : first + lanes]
                arrival = nodes[nodes.shape[0] - 1]
                arrival_x, arrival_z, arrival_time = arrival[AT_X, k:end], arrival[AT_Z, k:end], arrival[AT_TIME, k:end]
                vx, vy, vz = release[VX, k:end], release[VY, k:end], release[VZ, k:end]
                for i in range(lanes):
                    w[i + _ASKED * LANES] = min(max(at[i] - 0.5 * lag[j], 0.0), arrival_time[i])
                _states(release, plate, nodes, k, lanes, w)
                for i in range(lanes):
                    w[i + HEADING_X * LANES], w[i + HEADING_Z * LANES] = w[i + _VX * LANES], w[i + _VZ * LANES]
                    w[i + _ASKED * LANES] = min(max(at[i], 0.0), arrival_time[i])
                _states(release, plate, nodes, k, lanes, w)
                for i in range(lanes):
                    v = sqrt(vx[i] * vx[i] + vy[i] * vy[i] + vz[i] * vz[i])
                    slowed = w[i + _VY * LANES] / vy[i]
                    since = 1.0 / max(at[i], SHORTEST_VIEW)
                    worse = needs_time(at[i] - start[j], window[j])
                    w[i + TIME * LANES] = at[i]
                    w[i + REMAINING * LANES] = arrival_time[i] - at[i]
                    w[i + SPEED * LANES] = v
                    w[i + LOG_SPEED * LANES] = logarithm(v)
                    w[i + LINE_X * LANES] = vx[i] / v
                    w[i + LINE_Z * LANES] = vz[i] / v
                    w[i + BEND_X * LANES] = (w[i + _VX * LANES] - slowed * vx[i]) * since
                    w[i + BEND_Z * LANES] = (w[i + _VZ * LANES] - slowed * vz[i]) * since + 0.5 * gravity * (
                        1.0 + slowed
                    )
                    w[i + PLACE_X * LANES] = w[i + _X * LANES]
                    w[i + PLACE_Z * LANES] = w[i + _Z * LANES]
                    w[i + ARRIVAL_X * LANES] = arrival_x[i]
                    w[i + ARRIVAL_Z * LANES] = arrival_z[i]
                    w[i + DIRECTION_SD * LANES] = direction[j] * worse
                    w[i + SPEED_SD * LANES] = speed[j] * worse
                for row in range(len(GLANCE)):
                    goal = glance[row, j, first : first + lanes]
                    for i in range(lanes):
                        goal[i] = w[i + row * LANES]

    return fill_glance


_fill_glance = _compile(SOURCES)


def see(paths: Paths, times: Array, parameters: Parameters, same_side: bool) -> Array:
    """See throws until a moment.

    Parameters
    ----------
    paths : Paths
        m columns of n throws each, all throws of the first column first.
    times : float64 array, shape (m, n)
        The moment, s after release.
    parameters : Parameters
        m columns.
    same_side : bool
        Whether the hitter bats on the side of the pitcher's hand.

    Returns
    -------
    float64 array, shape (16, m, n)
        Rows as in `GLANCE`: what is there to be seen, and the SDs of the eye's noise (rad, and of ln speed).
    """
    glance = np.empty((len(GLANCE), *times.shape))
    direction = parameters.direction_noise * (parameters.same_side_noise if same_side else 1.0)
    _fill_glance(
        np.ascontiguousarray(paths.releases), paths.plate, np.ascontiguousarray(paths.nodes),
        np.ascontiguousarray(times), parameters.motion_lag, parameters.view_start, parameters.noise_window,
        direction, parameters.speed_noise, STANDARD_GRAVITY, glance,
    )  # fmt: skip
    return glance
