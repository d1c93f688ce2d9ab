"""Measured throws against flown ones: what the flight leaves unexplained of movement and arrival speed.

The pitch is described by six numbers, theta: spin rate, break clock, turn of the axis, lift scale, seam-made force
across the break clock, drag scale. Each throw is flown with its own levers where they were measured and with theta
where they were not. Where gyro angle or clock of single throws are not known, their scatter s about that of the pitch
is kept by flying the throw at gyro - s and gyro + s, likewise with the clock, and taking the mean, so that
E|cos| = cos(gyro) cos(s).

Movement is the induced break where it is measured, else the arrival minus the flight without spin where launch angles
and arrival are measured; in the second case arrival minus flown arrival is what is unexplained of it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Flight, without_spin
from latebreak.engine.flight.kernel import AT_VX, AT_VZ, AT_X, AT_Z, MAX_VY, SLOWEST
from latebreak.engine.inverse.observed import Observed
from latebreak.engine.pitch.aim import (
    AZIMUTH,
    BREAK_CLOCK,
    ELEVATION,
    GYRO,
    HEIGHT,
    SIDE,
    SPEED,
    SPIN_RATE,
    MeanPitches,
    aimed,
)

Array = NDArray[np.float64]

#: Rows of theta: rad/s; rad; the signed gyro angle in rad or, where only its size matters, cos(gyro); factor on the
#: lift law; signed coefficient C_S a quarter turn clockwise of the break clock; factor on the drag law.
SPIN, CLOCK, TURN, LIFT, ACROSS, DRAG = range(6)

#: m, side and height: the middle of the strike zone, chosen. It matters little where a pitch is aimed: 1 degree of
#: launch angle changes its movement by less than 1 %.
ZONE = np.array([0.0, 0.76])

#: Levers without which an arrival says nothing about movement.
_PLACING = (SPEED, SIDE, HEIGHT, ELEVATION, AZIMUTH)


@dataclass(frozen=True, eq=False)
class FlownThrows:
    """Throws that can be flown for any theta.

    Attributes
    ----------
    observed : Observed
        As measured.
    levers : float64 array, shape (9, n)
        The same levers with no gaps, except that spin rate, break clock and gyro stay NaN where theta stands in.
    flight : Flight
        How they are flown.
    rubber : float
        m, from the rubber to the back point of the plate.
    signed : bool
        Whether theta[TURN] is the signed gyro angle; else its cosine, which may exceed 1: the spin is then raised.
    sense : float
        Sign of the gyro angle where theta[TURN] is its cosine.
    turn_spread, clock_spread : float
        s of the gyro angle and of the clock, rad.
    aimless : bool
        Whether launch angles are neither measured nor assumed: throws without a measured arrival then go to `ZONE`.
    """

    observed: Observed
    levers: Array
    flight: Flight
    rubber: float
    signed: bool
    sense: float
    turn_spread: float
    clock_spread: float
    aimless: bool

    def gyro(self, theta: Array) -> Array:
        """Gyro angle of the mean pitch, rad, from theta of shape (6, ...)."""
        turn = theta[TURN]
        return np.asarray(turn if self.signed else self.sense * np.arccos(np.clip(turn, 0.0, 1.0)))

    def pitches(self, theta: Array, turned: float = 0.0, clocked: float = 0.0) -> MeanPitches:
        """Every throw as a mean pitch, for theta of shape (6,) or (6, n).

        Gyro angles and clocks for which theta stands in are shifted by `turned` and `clocked` (rad).
        """
        theta = np.broadcast_to(theta.reshape(6, -1), (6, self.levers.shape[1]))
        levers = self.levers.copy()
        for lever, usual in ((SPIN_RATE, theta[SPIN]), (BREAK_CLOCK, theta[CLOCK] + clocked)):
            levers[lever] = np.where(np.isnan(levers[lever]), usual, levers[lever])
        filled = np.isnan(levers[GYRO])
        levers[GYRO] = np.where(filled, self.gyro(theta) + turned, levers[GYRO])
        if not self.signed:
            levers[SPIN_RATE] *= np.where(filled, np.maximum(theta[TURN], 1.0), 1.0)
        return MeanPitches(
            levers=levers,
            target=None,
            seam=theta[ACROSS].copy(),
            drag_scale=theta[DRAG].copy(),
            lift_scale=theta[LIFT].copy(),
            seam_clock=float(theta[CLOCK, 0]) + 0.5 * pi,
            rubber=self.rubber,
        )

    def flown(self, theta: Array) -> tuple[Array, Array, Array]:
        """Arrival (2, n), arrival speed (n,) and induced breaks (2, n) of every throw; NaN where it doesn't arrive."""
        turns, clocks = (
            (-spread, spread) if np.isnan(self.levers[row]).any() and spread > 0.0 else (0.0,)
            for row, spread in ((GYRO, self.turn_spread), (BREAK_CLOCK, self.clock_spread))
        )
        shifted = [self.pitches(theta, turned, clocked).releases() for turned in turns for clocked in clocks]
        states = self.flight.arrivals(np.hstack([*shifted, without_spin(shifted[0])]))
        states[:, states[MAX_VY] > -SLOWEST] = np.nan
        states = states.reshape(len(states), -1, self.levers.shape[1])
        here = states[[AT_X, AT_Z]]
        arrival = here[:, :-1].mean(axis=1)
        speeds = np.linalg.norm(states[AT_VX : AT_VZ + 1, :-1], axis=0)
        return arrival, speeds.mean(axis=0), arrival - here[:, -1]

    def residuals(self, theta: Array) -> Array:
        """Measured minus flown, shape (3, n): movement to the side, movement upward (m), arrival speed (m/s).

        NaN where a throw has no such measurement.
        """
        arrival, speed, induced = self.flown(theta)
        o = self.observed
        by_arrival = np.where(_measured(o, _PLACING), o.arrival - arrival, np.nan)
        movement = np.where(np.isnan(o.induced), by_arrival, o.induced - induced)
        return np.vstack([movement, np.where(np.isnan(o.levers[SPEED]), np.nan, o.arrival_speed - speed)])

    def tells_movement(self) -> bool:
        """Whether any throw has both components of movement."""
        o = self.observed
        by_arrival = np.where(_measured(o, _PLACING), o.arrival, np.nan)
        return bool((~np.isnan(np.where(np.isnan(o.induced), by_arrival, o.induced)).any(axis=0)).any())

    def with_launch_from_arrival(self, theta: Array) -> FlownThrows:
        """Solve the launch angles of throws of which they are not measured.

        Where the induced breaks are measured, they and not the flown ones count. A throw that can't get to its arrival
        keeps its launch angles.
        """
        o = self.observed
        arrival = np.where(np.isnan(o.arrival), ZONE[:, None], o.arrival) if self.aimless else o.arrival
        wanted = ~_measured(o, (ELEVATION, AZIMUTH)) & ~np.isnan(arrival).any(axis=0)
        if not wanted.any():
            return self
        unexplained = np.where(np.isnan(o.induced), 0.0, self.residuals(theta)[:2])
        target = (arrival - np.nan_to_num(unexplained))[:, wanted]
        chosen = self.pitches(theta).columns(np.flatnonzero(wanted))
        solved, reached = aimed(replace(chosen, target=target), self.flight)
        levers = self.levers.copy()
        levers[ELEVATION:, wanted] = np.where(reached, solved.levers[ELEVATION:], levers[ELEVATION:, wanted])
        return replace(self, levers=levers)


def _measured(observed: Observed, rows: tuple[int, ...]) -> NDArray[np.bool_]:
    """Which throws have all of these levers."""
    return np.asarray(~np.isnan(observed.levers[list(rows)]).any(axis=0))
