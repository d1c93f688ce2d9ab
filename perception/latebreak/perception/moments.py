"""Moments of a pitch: it leaves the tunnel, it is recognised, its bend can be seen.

All of them ask the same glance at a grid of times t:

* tunnel exit: what is seen until t is no fastball of this pitcher any more, d = 2 from the fastball (`belief`);
* recognition: belief in the thrown type stays above 75 % from what was seen until t; he knows a latency later;
* break onset: the bend itself shows against a ball without spin on the same line,

      |a| t (t - lag)/2 >= sqrt((sigma_d(t) v t)^2 + (1 in)^2).

A moment is found between two times of the grid by linear interpolation.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.stopping import checkpoint
from latebreak.perception.belief import LEAST_BEND, distances
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import BEND_X, BEND_Z, DIRECTION_SD, SPEED, TIME

Array = NDArray[np.float64]

#: Names of the moments, in the order of their rows.
MOMENTS = ("tunnel_exit", "recognition", "break_onset")
#: SDs from the fastball at which a pitch has left the tunnel (chosen: at 1 the speed alone tells any slower pitch).
OUT_OF_TUNNEL = 2.0
#: Belief from which on a pitch counts as recognised.
RECOGNISED = 0.75
#: s between the times that are looked at (chosen; halved, no moment moves by 2 ms).
SPACING = 0.010


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
    grid = np.arange(spacing, flight.max() + spacing, spacing)
    margins = np.empty((len(MOMENTS), grid.size, *flight.shape))
    for k, t in enumerate(grid):
        checkpoint()
        glance = model.see(paths, np.minimum(t, flight), p, situation.same_side)
        margins[0, k] = distances(glance, types, p)[0] - OUT_OF_TUNNEL
        margins[1, k] = model.believe(glance, types, p, noise)[own] - RECOGNISED
        margins[2, k] = _shown(glance, p) - 1.0
    first = _first_after_release(margins[[0, 2]], grid)
    stays = _stays(margins[1], grid) + p.latency[:, None]
    time = np.stack([first[0], stays, first[1]])
    reached = time < flight
    return Moments(np.where(reached, time, flight), reached)


def _shown(glance: Array, parameters: Parameters) -> Array:
    """How far the ball has bent away from a ball without spin, over what can be seen of that."""
    t = glance[TIME]
    bent = 0.5 * np.hypot(glance[BEND_X], glance[BEND_Z]) * t * np.maximum(t - parameters.motion_lag[:, None], 0.0)
    shown: Array = bent / np.hypot(glance[DIRECTION_SD] * glance[SPEED] * t, LEAST_BEND)
    return shown


def _first_after_release(margin: Array, grid: Array) -> Array:
    """First time at which a margin (k, K, m, n) is not negative; infinite where it never is."""
    above = margin >= 0.0
    number = above.argmax(axis=1)
    return _crossing(margin, number, np.asarray(above.any(axis=1)), grid)


def _stays(margin: Array, grid: Array) -> Array:
    """Time from which on a margin (K, m, n) stays at or above 0; infinite where it is below at the end."""
    below = margin < 0.0
    last = grid.size - 1 - below[::-1].argmax(axis=0)
    never = below.any(axis=0) & (last == grid.size - 1)
    number = np.where(below.any(axis=0), np.minimum(last + 1, grid.size - 1), 0)
    crossed: Array = _crossing(margin[None], number[None], np.logical_not(never)[None], grid)[0]
    return crossed


def _crossing(margin: Array, number: NDArray[np.intp], happens: NDArray[np.bool_], grid: Array) -> Array:
    """Interpolate where a margin (k, K, m, n) crosses 0 before grid number (k, m, n)."""
    before = np.maximum(number - 1, 0)
    high = np.take_along_axis(margin, number[:, None], axis=1)[:, 0]
    low = np.take_along_axis(margin, before[:, None], axis=1)[:, 0]
    rise = high - low
    share = np.divide(high, rise, out=np.zeros_like(high), where=(rise > 0.0) & (number > 0))
    time: Array = np.where(happens, grid[number] - np.clip(share, 0.0, 1.0) * (grid[number] - grid[before]), np.inf)
    return time
