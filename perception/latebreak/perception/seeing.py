"""What a hitter has seen of throws until a moment, and how well.

At t after release the eye has the ball's place p(t), its heading as it was half a lag earlier (motion is seen as a mean
over the last `lag`), its speed, its line out of the hand, and how much of its heading spin has made so far:

    place p(t),   heading p'(t - lag/2),   line p'(0)/v,   bend a = (p'(t) - p'(0) v_y(t)/v_y(0))/t + g

A ball without spin keeps its direction under drag and falls under gravity, so it has no bend. Of what is seen, headings
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
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import Paths
from latebreak.engine.jit import inlined, kernel
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z, VX, VY, VZ
from latebreak.engine.path import state_at
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
        steps = nodes.shape[0] - 1
        for j in range(times.shape[0]):
            for i in range(times.shape[1]):
                k = j * times.shape[1] + i
                t = times[j, i]
                node, _x, _y, _z, vx, vy, vz = state_at(release, plate, nodes, k, t - 0.5 * lag[j], 0)
                glance[HEADING_X, j, i], glance[HEADING_Z, j, i] = vx, vz
                node, x, _y, z, vx, vy, vz = state_at(release, plate, nodes, k, t, node)
                glance[PLACE_X, j, i], glance[PLACE_Z, j, i] = x, z
                v = sqrt(release[VX, k] ** 2 + release[VY, k] ** 2 + release[VZ, k] ** 2)
                slowed = vy / release[VY, k]
                since = 1.0 / max(t, SHORTEST_VIEW)
                glance[BEND_X, j, i] = (vx - slowed * release[VX, k]) * since
                glance[BEND_Z, j, i] = (vz - slowed * release[VZ, k]) * since + gravity
                glance[LINE_X, j, i], glance[LINE_Z, j, i] = release[VX, k] / v, release[VZ, k] / v
                glance[SPEED, j, i], glance[LOG_SPEED, j, i] = v, log(v)
                glance[ARRIVAL_X, j, i], glance[ARRIVAL_Z, j, i] = nodes[steps, AT_X, k], nodes[steps, AT_Z, k]
                glance[TIME, j, i], glance[REMAINING, j, i] = t, nodes[steps, AT_TIME, k] - t
                worse = needs_time(t - start[j], window[j])
                glance[DIRECTION_SD, j, i], glance[SPEED_SD, j, i] = direction[j] * worse, speed[j] * worse

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
        paths.releases, paths.plate, paths.nodes, np.ascontiguousarray(times), parameters.motion_lag,
        parameters.view_start, parameters.noise_window, direction, parameters.speed_noise, STANDARD_GRAVITY, glance,
    )  # fmt: skip
    return glance
