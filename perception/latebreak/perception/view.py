"""Paths as they can be looked at: places at the looks, their slopes in what may vary, and the arrival."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import AZIMUTH, BREAK_CLOCK, ELEVATION, HEIGHT, SIDE, SPEED, MeanPitches
from latebreak.engine.flight import Flight
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.pitch import LEVERS
from latebreak.engine.stopping import checkpoint

Array = NDArray[np.float64]

LOOK = 0.010  # s, duration of a look
#: The size of the spin-made and seam-made movement, as a share: a coordinate beside the nine levers.
MOVEMENT = len(LEVERS)
#: What vision updates, theta, and what it does not, eps: size and direction of the movement.
THETA = (SPEED, SIDE, HEIGHT, AZIMUTH, ELEVATION)
EPS = (MOVEMENT, BREAK_CLOCK)
ALL_LEVERS = tuple(range(len(LEVERS)))
#: Arrival quantities, in the order of their rows.
TIME, HEIGHT_AT_PLATE, SIDE_AT_PLATE = range(3)

# Steps of the central differences: m/s, rad/s, rad, rad, m, m, m, rad, rad, share. Paths are smooth: any will do.
_NUDGE = np.array([0.1, 2.0, 0.01, 0.01, 0.01, 0.01, 0.01, 1e-3, 1e-3, 0.01])
_FEWEST_STEPS = 4  # of the flights behind the paths


@dataclass(frozen=True, eq=False)
class View:
    """A mean path, m columns, K looks, P coordinates.

    Attributes
    ----------
    place, velocity : float64 array, shape (m, K, 3)
        m, m/s; a path that has arrived goes on straight.
    slopes : float64 array, shape (m, K, 3, P)
        Of the place, per unit of each coordinate.
    arrival : float64 array, shape (m, 3)
        Flight time (s), height and side at the plate (m).
    arrival_slopes : float64 array, shape (m, 3, P)
        Per unit of each coordinate.
    """

    place: Array
    velocity: Array
    slopes: Array
    arrival: Array
    arrival_slopes: Array


def look_times(until: float) -> Array:
    """Middles of the looks from release to a time, s."""
    middles: Array = (np.arange(max(int(np.ceil(until / LOOK)), 1), dtype=np.float64) + 0.5) * LOOK
    return middles


def view(pitches: MeanPitches, flight: Flight, looks: Array, coordinates: tuple[int, ...]) -> View:
    """Look at mean paths.

    Parameters
    ----------
    pitches : MeanPitches
        Aimed; m columns. Their launch angles stay what they are when something else varies.
    flight : Flight
        How they fly.
    looks : float64 array, shape (K,)
        Times after release, s.
    coordinates : tuple of int
        Indices of levers, or `MOVEMENT`, in which slopes are taken; by central differences.
    """
    checkpoint()
    m, sets = pitches.levers.shape[1], 1 + 2 * len(coordinates)
    levers = np.tile(pitches.levers, sets)
    size = np.ones(sets * m)
    for number, coordinate in enumerate(coordinates):
        for which, sign in ((2 * number + 1, 1.0), (2 * number + 2, -1.0)):
            columns = slice(which * m, (which + 1) * m)
            if coordinate == MOVEMENT:
                size[columns] += sign * _NUDGE[MOVEMENT]
            else:
                levers[coordinate, columns] += sign * _NUDGE[coordinate]
    tiled = replace(
        pitches,
        levers=levers,
        target=None,
        seam=np.tile(pitches.seam, sets) * size,
        drag_scale=np.tile(pitches.drag_scale, sets),
        lift_scale=np.tile(pitches.lift_scale, sets) * size,
    )
    paths = flight.paths(tiled.releases(), max(flight.steps, _FEWEST_STEPS))
    times = np.broadcast_to(looks[:, None], (looks.size, sets * m))
    states = paths.at(times)
    over = np.maximum(times - paths.arrivals[AT_TIME], 0.0)  # what has arrived goes on straight
    places = (states[:, :3] + states[:, 3:] * over[:, None]).reshape(looks.size, 3, sets, m)
    arrivals = paths.arrivals[[AT_TIME, AT_Z, AT_X]].reshape(3, sets, m)
    width = 2.0 * _NUDGE[np.array(coordinates, dtype=np.int64)][:, None]
    return View(
        place=places[:, :, 0].transpose(2, 0, 1),
        velocity=states[:, 3:].reshape(looks.size, 3, sets, m)[:, :, 0].transpose(2, 0, 1),
        slopes=((places[:, :, 1::2] - places[:, :, 2::2]) / width).transpose(3, 0, 1, 2),
        arrival=arrivals[:, 0].T,
        arrival_slopes=((arrivals[:, 1::2] - arrivals[:, 2::2]) / width).transpose(2, 0, 1),
    )
