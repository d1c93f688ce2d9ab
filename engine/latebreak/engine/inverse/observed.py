"""Measured throws of one pitch, in SI units; NaN = not measured."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import PLATE_FRONT
from latebreak.engine.inverse.constant_acceleration import ConstantAccelerationTrack
from latebreak.engine.inverse.fading_track import drag_only, with_fading_forces
from latebreak.engine.pitch.aim import AZIMUTH, ELEVATION, EXTENSION, GYRO, HEIGHT, SIDE, SPEED

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Observed:
    """Throws of one pitch side by side, one column each; NaN = not measured.

    Attributes
    ----------
    levers : float64 array, shape (9, n)
        In the order of `LEVERS`, SI units and rad; the gyro angle signed, only where its sense was measured.
    efficiency : float64 array, shape (n,)
        |cos(gyro angle)|, 0 to 1, measured without a sense.
    arrival : float64 array, shape (2, n)
        Side (catcher's right) and height in the plane of the plate's front edge, m.
    arrival_speed : float64 array, shape (n,)
        m/s in that plane.
    induced : float64 array, shape (2, n)
        Induced side break and induced vertical break, m: arrival minus the arrival of the same release with gravity and
        drag only.
    """

    levers: Array
    efficiency: Array
    arrival: Array
    arrival_speed: Array
    induced: Array

    @property
    def count(self) -> int:
        """Number of throws."""
        return int(self.levers.shape[1])


def unobserved(count: int) -> Observed:
    """Return `count` throws of which nothing is measured, to be filled in."""
    return Observed(
        np.full((9, count), np.nan),
        np.full(count, np.nan),
        np.full((2, count), np.nan),
        np.full(count, np.nan),
        np.full((2, count), np.nan),
    )


def with_track(
    observed: Observed,
    track: ConstantAccelerationTrack,
    rubber: float,
    usual_extension: float,
    hand_sense: float = 0.0,
) -> Observed:
    """Fill in what constant-acceleration tracks tell, wherever the columns themselves are NaN.

    Release speed, side, height and launch angles are read where the ball leaves the hand, arrival and arrival speed at
    the front of the plate; the induced breaks are the arrival minus the arrival of the same release with the track's
    own drag and gravity only. The tracks are read as `fading_track.py` tells: as parabolas taken by least
    squares, from the reference plane to the plate, of flights whose forces fade. Against flights of this engine, breaks
    then come out to 0.1 in, and to 0.3 in for curves; where the gyro angle of a throw is not known, to 0.6 in.

    Parameters
    ----------
    observed : Observed
        n throws.
    track : ConstantAccelerationTrack
        Of the same throws, arrays of shape (n, 3); NaN where a throw has none.
    rubber : float
        m, from the rubber to the back point of the plate.
    usual_extension : float
        m, where the ball is taken to leave the hand if the extension of a throw is not measured.
    hand_sense : float
        +1 or -1: sign of the gyro angle where only the efficiency of a throw is measured; 0 = leave the gyro spin out.

    Returns
    -------
    Observed
        A new one. The extension itself stays as it was: a track doesn't tell it.
    """
    extension = np.where(np.isnan(observed.levers[EXTENSION]), usual_extension, observed.levers[EXTENSION])
    unsigned = hand_sense * np.arccos(observed.efficiency.clip(0.0, 1.0))
    gyro = np.nan_to_num(np.where(np.isnan(observed.levers[GYRO]), unsigned, observed.levers[GYRO]))
    flown, forces = with_fading_forces(track, PLATE_FRONT, gyro), track.mean_forces(PLATE_FRONT)
    release, plate = flown.at_plane(rubber - extension), flown.at_plane(PLATE_FRONT)
    bare = drag_only(release, forces.drag / forces.speed**2, PLATE_FRONT).at_plane(PLATE_FRONT)
    told = np.full_like(observed.levers, np.nan)
    told[SPEED] = np.linalg.norm(release.velocity, axis=-1)
    told[SIDE], told[HEIGHT] = release.position[:, 0], release.position[:, 2]
    with np.errstate(invalid="ignore", divide="ignore"):  # a track that never gets there is data
        told[ELEVATION] = np.arcsin(release.velocity[:, 2] / told[SPEED])
    told[AZIMUTH] = np.arctan2(release.velocity[:, 0], -release.velocity[:, 1])
    return replace(
        observed,
        levers=_filled(observed.levers, told),
        arrival=_filled(observed.arrival, plate.position[:, [0, 2]].T),
        arrival_speed=_filled(observed.arrival_speed, np.linalg.norm(plate.velocity, axis=-1)),
        induced=_filled(observed.induced, (plate.position - bare.position)[:, [0, 2]].T),
    )


def _filled(measured: Array, told: Array) -> Array:
    return np.where(np.isnan(measured), told, measured)
