"""Tracks whose forces fade with the speed: what a constant-acceleration track was fitted to.

A ball loses 8 % of its speed on its way, and with it up to a sixth of the forces, while these turn with the flight. A
parabola fitted to the track misses that: extended back to the hand it is off by a quarter of an inch and 0.2 degrees,
and the break read from it by an inch. To first order the forces change evenly, by a jerk j that follows from the
parabola itself, and the track is a cubic. By least squares the parabola p(t) over 0 <= t <= T differs from the cubic by
its Legendre part, so that

    x(t) = p(t) + j T^3 / 120 (20 s^3 - 30 s^2 + 12 s - 1),   s = t / T.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.inverse.constant_acceleration import UP, ConstantAccelerationTrack, PlaneCrossing
from latebreak.engine.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

#: C_L goes about as S^0.7 where pitches are (the power law of `lift_laws`; the default law has exponents from 0.85 at
#: S = 0.1 to 0.6 at 0.4), and S as 1/v.
_LIFT_EXPONENT = 0.7
#: Chosen: a gyro angle nearer to 90 degrees than 76 leaves a push too small to tell one angle from the other.
_LARGEST_TANGENT = 4.0
_TURNS = 8  # of a fixed point that gains two digits a turn


@dataclass(frozen=True, eq=False)
class CubicTrack:
    """Tracks x(t) = position + velocity t + acceleration t^2 / 2 + jerk t^3 / 6, arrays of shape (n, 3), SI units."""

    position: Array
    velocity: Array
    acceleration: Array
    jerk: Array

    def at(self, time: Array) -> PlaneCrossing:
        """State at times (n,)."""
        t = time[:, np.newaxis]
        return PlaneCrossing(
            time,
            self.position + t * (self.velocity + t * (self.acceleration / 2.0 + t * self.jerk / 6.0)),
            self.velocity + t * (self.acceleration + t * self.jerk / 2.0),
        )

    def at_plane(self, y: float | Array) -> PlaneCrossing:
        """State at the plane `y` (m), one plane or (n,), by Newton's method; NaN where a track never gets there."""
        start = ConstantAccelerationTrack(self.position, self.velocity, self.acceleration)
        crossing = self.at(start.at_plane(y).time)
        for _ in range(_TURNS):
            with np.errstate(invalid="ignore", divide="ignore"):
                crossing = self.at(crossing.time + (y - crossing.position[:, 1]) / crossing.velocity[:, 1])
        return crossing


def with_fading_forces(track: ConstantAccelerationTrack, plate: float, gyro: Array) -> CubicTrack:
    """Return the tracks whose least-squares parabolas, from the reference plane to the plate, are the given ones.

    Parameters
    ----------
    track : ConstantAccelerationTrack
        Arrays of shape (n, 3).
    plate : float
        m, the y where tracking ends.
    gyro : float64 array, shape (n,)
        rad, signed gyro angle, 0 where not known: as the flight bends, spin along it comes to lie across.

    Returns
    -------
    CubicTrack
        From the reference plane; NaN where a track never reaches the plate.

    Notes
    -----
    With e, v the direction and size of the mean velocity, a the acceleration, d and n its drag and its transverse part
    without gravity: the drag -(d/v^2) |V| V changes by  -(d/v) ((a.e) e + a), the lift, across spin and flight, by
    (2 - 0.7) (a.e) n / v - (a.n) e / v + |n| tan(gyro) e x a / v.
    """
    forces, total = track.mean_forces(plate), track.at_plane(plate).time[:, np.newaxis]
    a, n, v, d = track.acceleration, forces.transverse, forces.speed[:, np.newaxis], forces.drag[:, np.newaxis]
    e = (track.velocity + 0.5 * total * a) / v
    slowing = np.sum(a * e, axis=1, keepdims=True)
    jerk = -(d / v) * (slowing * e + a)
    jerk += (2.0 - _LIFT_EXPONENT) * slowing * n / v - np.sum(a * n, axis=1, keepdims=True) * e / v
    along = np.linalg.norm(n, axis=1) * np.tan(gyro).clip(-_LARGEST_TANGENT, _LARGEST_TANGENT)
    jerk += along[:, np.newaxis] * np.cross(e, a) / v
    return CubicTrack(
        track.position - jerk * total**3 / 120.0,
        track.velocity + jerk * total**2 / 10.0,
        a - jerk * total / 2.0,
        jerk,
    )


def drag_only(release: PlaneCrossing, drag_per_square: Array, plate: float) -> CubicTrack:
    """Return the tracks that start from a release and are left to gravity and drag.

    Parameters
    ----------
    release : PlaneCrossing
        Arrays of shape (n, 3).
    drag_per_square : float64 array, shape (n,)
        Drag over the square of the speed, 1/m.
    plate : float
        m, the y where the track ends.

    Notes
    -----
    With V, a the mean velocity and acceleration, k the drag per square: a = -g z - k |V| V, and its jerk
    -k ((a.e) V + |V| a). V depends on both.
    """
    k = drag_per_square[:, np.newaxis]
    velocity, zero = release.velocity, np.zeros_like(release.velocity)
    track = CubicTrack(release.position, velocity, zero, zero)
    for _ in range(_TURNS):
        end = track.at_plane(plate)
        t = end.time[:, np.newaxis]
        mean = (end.position - release.position) / t
        speed = np.linalg.norm(mean, axis=1, keepdims=True)
        a = -STANDARD_GRAVITY * UP - k * speed * mean
        jerk = -k * (np.sum(a * mean, axis=1, keepdims=True) / speed * mean + speed * a)
        track = CubicTrack(release.position, velocity, a - jerk * t / 2.0, jerk)
    return track
