"""Paths as they can be looked at: places at the looks, their slopes in what may vary, and the arrival."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import AZIMUTH, BREAK_CLOCK, ELEVATION, HEIGHT, SIDE, SPEED, MeanPitches
from latebreak.engine.equation import FlightConstants
from latebreak.engine.flight import Flight
from latebreak.engine.jit import kernel
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z, DRAG_SCALE, LIFT_SCALE, RELEASE_ROWS, SEAM, STATE_ROWS, fly
from latebreak.engine.law_table import LawTable
from latebreak.engine.path import state_at
from latebreak.engine.pitch import LEVERS
from latebreak.engine.release import fill_release
from latebreak.engine.stopping import checkpoint
from latebreak.perception.sources import SOURCES

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
_ARRIVAL_ROWS = (AT_TIME, AT_Z, AT_X)  # of a state, in the order of the arrival quantities


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_view(
        levers: Array,
        seam: Array,
        drag: Array,
        lift: Array,
        seam_sine: float,
        seam_cosine: float,
        rubber: float,
        plate: float,
        steps: int,
        constants: FlightConstants,
        laws: LawTable,
        looks: Array,
        coordinates: NDArray[np.int64],
        place: Array,
        velocity: Array,
        slopes: Array,
        arrivals: Array,
    ) -> None:
        _ = sources
        zero, unit, flights = np.zeros(levers.shape[0]), np.eye(levers.shape[0]), 1 + 2 * coordinates.size
        # the mean pitch, then each coordinate a nudge up and a nudge down
        nudged, release = np.empty((levers.shape[0], flights)), np.empty((RELEASE_ROWS, flights))
        nodes, places = np.empty((steps + 1, STATE_ROWS, flights)), np.empty((flights, looks.size, 3))
        for j in range(levers.shape[1]):
            for i in range(flights):
                nudged[:, i] = levers[:, j]
                release[SEAM, i], release[DRAG_SCALE, i], release[LIFT_SCALE, i] = seam[j], drag[j], lift[j]
                if i > 0:
                    coordinate = coordinates[(i - 1) // 2]
                    nudge = _NUDGE[coordinate] if i % 2 == 1 else -_NUDGE[coordinate]
                    if coordinate == MOVEMENT:
                        release[SEAM, i] *= 1.0 + nudge
                        release[LIFT_SCALE, i] *= 1.0 + nudge
                    else:
                        nudged[coordinate, i] += nudge
            fill_release(zero, unit, nudged, seam_sine, seam_cosine, rubber, release)
            fly(release, plate, steps, constants, laws, nodes)
            for i in range(flights):
                node, arrived = 0, nodes[steps, AT_TIME, i]
                for k in range(looks.size):
                    node, x, y, z, vx, vy, vz = state_at(release, plate, nodes, i, looks[k], node)
                    over = max(looks[k] - arrived, 0.0)  # what has arrived goes on straight
                    places[i, k, 0], places[i, k, 1], places[i, k, 2] = x + vx * over, y + vy * over, z + vz * over
                    if i == 0:
                        velocity[j, k, 0], velocity[j, k, 1], velocity[j, k, 2] = vx, vy, vz
            place[j] = places[0]
            for q in range(3):
                row = _ARRIVAL_ROWS[q]
                arrivals[j, q, 0] = nodes[steps, row, 0]
                for p in range(coordinates.size):
                    width = 2.0 * _NUDGE[coordinates[p]]
                    arrivals[j, q, 1 + p] = (nodes[steps, row, 2 * p + 1] - nodes[steps, row, 2 * p + 2]) / width
                    for k in range(looks.size):
                        slopes[j, k, q, p] = (places[2 * p + 1, k, q] - places[2 * p + 2, k, q]) / width

    return fill_view


_fill_view = _compile(SOURCES)


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
    m, count = pitches.levers.shape[1], len(coordinates)
    place, velocity = np.empty((m, looks.size, 3)), np.empty((m, looks.size, 3))
    slopes, arrivals = np.empty((m, looks.size, 3, count)), np.empty((m, 3, 1 + count))
    _fill_view(
        np.ascontiguousarray(pitches.levers), pitches.seam, pitches.drag_scale, pitches.lift_scale,
        sin(pitches.seam_clock), cos(pitches.seam_clock), pitches.rubber,
        flight.plate, max(flight.steps, _FEWEST_STEPS), flight.constants, flight.laws.table,
        looks, np.array(coordinates, dtype=np.int64), place, velocity, slopes, arrivals,
    )  # fmt: skip
    return View(place, velocity, slopes, arrivals[:, :, 0], arrivals[:, :, 1:])
