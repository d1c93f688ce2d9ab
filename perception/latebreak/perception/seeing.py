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
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, LANES, VX, VY, VZ
from latebreak.engine.flight.whereabouts import ASKED, HERE_VX, HERE_VY, HERE_VZ, HERE_X, HERE_Z, WHERE_ROWS, at_times
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


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_glance(
        release: Array, plate: float, nodes: Array, times: Array, lag: Array, start: Array, window: Array,
        direction: Array, speed: Array, gravity: float, glance: Array,
    ) -> None:  # fmt: skip
        _ = sources
        columns, throws = times.shape
        # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        w, at_heading, at_place = (
            np.empty(len(GLANCE) * LANES),
            np.empty(WHERE_ROWS * LANES),
            np.empty(WHERE_ROWS * LANES),
        )
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, k = min(LANES, throws - first), j * throws + first
                end = k + lanes
                at = times[j, first : first + lanes]
                arrival = nodes[nodes.shape[0] - 1]
                arrival_x, arrival_z, arrival_time = arrival[AT_X, k:end], arrival[AT_Z, k:end], arrival[AT_TIME, k:end]
                vx, vy, vz = release[VX, k:end], release[VY, k:end], release[VZ, k:end]
                for i in range(lanes):
                    at_heading[i + ASKED * LANES] = at[i] - 0.5 * lag[j]
                    at_place[i + ASKED * LANES] = at[i]
                at_times(release, plate, nodes, k, lanes, at_heading)
                at_times(release, plate, nodes, k, lanes, at_place)
                for i in range(lanes):
                    v = sqrt(vx[i] * vx[i] + vy[i] * vy[i] + vz[i] * vz[i])
                    slowed = at_place[i + HERE_VY * LANES] / vy[i]
                    since = 1.0 / max(at[i], SHORTEST_VIEW)
                    worse = needs_time(at[i] - start[j], window[j])
                    w[i + TIME * LANES] = at[i]
                    w[i + REMAINING * LANES] = arrival_time[i] - at[i]
                    w[i + SPEED * LANES] = v
                    w[i + LOG_SPEED * LANES] = logarithm(v)
                    w[i + LINE_X * LANES] = vx[i] / v
                    w[i + LINE_Z * LANES] = vz[i] / v
                    w[i + BEND_X * LANES] = (at_place[i + HERE_VX * LANES] - slowed * vx[i]) * since
                    w[i + BEND_Z * LANES] = (at_place[i + HERE_VZ * LANES] - slowed * vz[i]) * since
                    w[i + BEND_Z * LANES] += 0.5 * gravity * (1.0 + slowed)
                    w[i + PLACE_X * LANES] = at_place[i + HERE_X * LANES]
                    w[i + PLACE_Z * LANES] = at_place[i + HERE_Z * LANES]
                    w[i + HEADING_X * LANES] = at_heading[i + HERE_VX * LANES]
                    w[i + HEADING_Z * LANES] = at_heading[i + HERE_VZ * LANES]
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
