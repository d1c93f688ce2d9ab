"""Moments of a pitch: it leaves the tunnel, it is recognised, its bend can be seen.

All of them ask the same glance at a grid of times t:

* tunnel exit: what is seen until t is no fastball of this pitcher any more, d = 2 from the fastball (`belief`);
* recognition: belief in the thrown type stays above 75 % from what was seen until t; he knows a latency later;
* break onset: the bend itself shows against a ball without spin on the same line,

      |a| t (t - lag)/2 >= sqrt((sigma_d(t) v t)^2 + (1 in)^2).

A moment is found between two times of the grid by linear interpolation.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, LANES
from latebreak.engine.jit import inlined, kernel, wide_vectors
from latebreak.engine.stopping import checkpoint
from latebreak.perception.belief import LEAST_BEND, distances
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import BEND_X, BEND_Z, DIRECTION_SD, SPEED, TIME
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: Names of the moments, in the order of their rows.
MOMENTS = ("tunnel_exit", "recognition", "break_onset")
TUNNEL_EXIT, RECOGNITION, BREAK_ONSET = range(len(MOMENTS))
#: SDs from the fastball at which a pitch has left the tunnel (chosen: at 1 the speed alone tells any slower pitch).
OUT_OF_TUNNEL = 2.0
#: Belief from which on a pitch counts as recognised.
RECOGNISED = 0.75
#: s between the times that are looked at (chosen; halved, no moment moves by 2 ms).
SPACING = 0.010


@inlined
def _crossing(before: float, now: float, t: float, since: float) -> float:
    """When a margin crosses 0 that was `before` at t - since and is `now` at t; t where it does not rise."""
    rise = now - before
    return t - since * min(max(now / rise if rise > 0.0 else 0.0, 0.0), 1.0)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def watch(
        glance: Array, away: Array, belief: Array, lag: Array, t: float, since: float, before: Array, moment: Array
    ) -> None:
        _ = sources
        wide_vectors()
        columns, throws = away.shape
        w = np.empty(3 * LANES)  # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, end = min(LANES, throws - first), min(first + LANES, throws)
                seen, v, direction_sd = (
                    glance[TIME, j, first:end], glance[SPEED, j, first:end], glance[DIRECTION_SD, j, first:end]
                )  # fmt: skip
                bend_x, bend_z = glance[BEND_X, j, first:end], glance[BEND_Z, j, first:end]
                far, sure = away[j, first:end], belief[j, first:end]
                for i in range(lanes):
                    bend = sqrt(bend_x[i] * bend_x[i] + bend_z[i] * bend_z[i])
                    blur = direction_sd[i] * v[i] * seen[i]
                    bent = 0.5 * bend * seen[i] * max(seen[i] - lag[j], 0.0)
                    w[i + TUNNEL_EXIT * LANES] = far[i] - OUT_OF_TUNNEL
                    w[i + RECOGNITION * LANES] = sure[i] - RECOGNISED
                    w[i + BREAK_ONSET * LANES] = bent / sqrt(blur * blur + LEAST_BEND * LEAST_BEND) - 1.0
                for row in range(len(MOMENTS)):
                    was, found = before[row, j, first:end], moment[row, j, first:end]
                    for i in range(lanes):
                        now = w[i + row * LANES]
                        crossed = _crossing(was[i], now, t, since)
                        if row == RECOGNITION:  # it stays above from then on
                            found[i] = np.inf if now < 0.0 else crossed if found[i] == np.inf else found[i]
                        else:  # the first time
                            found[i] = crossed if now >= 0.0 and found[i] == np.inf else found[i]
                        was[i] = now

    return watch


_watch = _compile(SOURCES)


@dataclass(frozen=True, eq=False)
class Moments:
    """When things happen; rows as in `MOMENTS`.

    Attributes
    ----------
    time : float64 array, shape (3, m, n)
        s after release; the flight time where it never happens.
    reached : bool array, shape (3, m, n)
        Whether it happens before the ball arrives.
    """

    time: Array
    reached: NDArray[np.bool_]


def moments(
    model: HitterModel,
    paths: Paths,
    types: Types,
    own: int,
    parameters: Parameters,
    situation: Situation,
    noise: Array,
    spacing: float = SPACING,
) -> Moments:
    """Find the moments of throws.

    Parameters
    ----------
    model : HitterModel
        Whose eye and belief.
    paths : Paths
        m columns of n throws.
    types : Types
        In mind; the first is the fastball.
    own : int
        Number of the thrown type.
    parameters, situation, noise
        As in `HitterModel.judge`.
    spacing : float
        s between the times that are looked at.
    """
    p = model.parameters(parameters)
    flight = paths.arrivals[AT_TIME].reshape(p.lapse.size, -1)
    fastball, silence = types.first(1), np.zeros_like(noise)
    time, before = np.full((len(MOMENTS), *flight.shape), np.inf), np.zeros((len(MOMENTS), *flight.shape))
    for k, t in enumerate(np.arange(spacing, flight.max() + spacing, spacing)):
        checkpoint()
        glance = model.see(paths, np.minimum(t, flight), p, situation.same_side)
        away = distances(glance, fastball, p, silence)[0]
        belief = model.believe(glance, types, p, noise)[own]
        _watch(glance, away, np.ascontiguousarray(belief), p.motion_lag, t, spacing if k > 0 else 0.0, before, time)
    time[RECOGNITION] += p.latency[:, None]
    reached = time < flight
    return Moments(np.where(reached, time, flight), reached)
