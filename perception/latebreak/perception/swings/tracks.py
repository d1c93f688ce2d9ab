"""Paths of real pitches: tracks of constant acceleration, measured as such or laid through what was measured."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import PLATE_FRONT, Paths
from latebreak.engine.flight.kernel import (
    AT_TIME,
    AT_VX,
    AT_VY,
    AT_VZ,
    AT_X,
    AT_Z,
    MAX_VY,
    RELEASE_ROWS,
    STATE_ROWS,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
)  # fmt: skip
from latebreak.engine.inverse.constant_acceleration import ConstantAccelerationTrack
from latebreak.engine.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

_NODES = 3  # cubics through them are exact: a track is quadratic in time


def paths_of(track: ConstantAccelerationTrack, release: float | Array) -> Paths:
    """Paths of n tracks from their release, at the distance coordinate `release` (m; or one each), to the plate.

    NaN where a track never gets there.
    """
    n = track.position.shape[0]
    y = np.broadcast_to(np.asarray(release, dtype=np.float64), (n,))
    releases, nodes = np.zeros((RELEASE_ROWS, n)), np.empty((_NODES, STATE_ROWS, n))
    start = track.at_plane(y)
    releases[[X, Y, Z]], releases[[VX, VY, VZ]] = start.position.T, start.velocity.T
    for k, share in enumerate(np.linspace(0.0, 1.0, _NODES)):
        at = track.at_plane(y + share * (PLATE_FRONT - y))
        nodes[k, AT_X], nodes[k, AT_Z] = at.position[:, 0], at.position[:, 2]
        nodes[k, AT_VX], nodes[k, AT_VY], nodes[k, AT_VZ] = at.velocity.T
        nodes[k, AT_TIME], nodes[k, MAX_VY] = at.time - start.time, at.velocity[:, 1]
    return Paths(releases, nodes, PLATE_FRONT)


def track_to(place: Array, release: Array, speed: Array, slowing: Array, movement: Array) -> ConstantAccelerationTrack:
    """Lay tracks from the release to where they cross the front of the plate.

    Drag slows the motion across as it slows the ball, by a share k a second:

        place = release + v T + (a - k (v + a T/2)) T^2/2,      a: movement less gravity,      solved for v.

    Parameters
    ----------
    place : float64 array, shape (2, n)
        Side and height at the plate, m.
    release : float64 array, shape (3, n)
        m.
    speed : float64 array, shape (n,)
        At release, m/s.
    slowing : float64 array, shape (n,)
        Along the flight, m/s2.
    movement : float64 array, shape (2, n)
        Acceleration by spin and seams to the side and up, m/s2.
    """
    distance = release[1] - PLATE_FRONT
    with np.errstate(invalid="ignore"):  # a pitch that never gets there is data
        end = np.sqrt(speed**2 - 2.0 * slowing * distance)
    flight = 2.0 * distance / (speed + end)
    made = movement - np.array([[0.0], [STANDARD_GRAVITY]])
    dragged = -slowing / (0.5 * (speed + end))  # 1/s
    half = 0.5 * flight**2
    across = (place - release[[0, 2]] - made * half * (1.0 + 0.5 * dragged * flight)) / (flight + dragged * half)
    acceleration = made + dragged * (across + 0.5 * made * flight)
    return ConstantAccelerationTrack(
        release.T,
        np.stack([across[0], -speed, across[1]], axis=1),
        np.stack([acceleration[0], slowing, acceleration[1]], axis=1),
    )


def usual_track(tracks: ConstantAccelerationTrack, release: Array) -> tuple[ConstantAccelerationTrack, Array]:
    """Lay the usual track of n tracks of a type: medians of release, speed, acceleration and place at the plate.

    Returns
    -------
    ConstantAccelerationTrack
        Of one throw.
    float64 array, shape (1,)
        Distance coordinate of its release, m.
    """
    start, plate = tracks.at_plane(release), tracks.at_plane(PLATE_FRONT)
    begin, place = np.median(start.position, axis=0), np.median(plate.position, axis=0)
    velocity, acceleration = np.median(start.velocity, axis=0), np.median(tracks.acceleration, axis=0)
    free = ConstantAccelerationTrack(begin[None], velocity[None], acceleration[None])
    flight = float(free.at_plane(PLATE_FRONT).time[0])
    across = [0, 2]
    velocity[across] = (place - begin)[across] / flight - 0.5 * acceleration[across] * flight
    return ConstantAccelerationTrack(begin[None], velocity[None], acceleration[None]), begin[1:2]
