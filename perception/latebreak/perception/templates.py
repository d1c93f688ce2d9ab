"""What a hitter remembers of a type of pitch: how it usually flies.

Release point, speed and target of a template are the pitcher's own; its spin vector lies between what is typical of the
level and the pitcher's own, by the familiarity f:  spin = typical + f (own - typical), across the flight and along it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import BREAK_CLOCK, GYRO, SPEED, SPIN_RATE, MeanPitches, aimed
from latebreak.engine.ball import Conditions
from latebreak.engine.flight import Flight, fitted_flight, rough_flight, without_spin
from latebreak.engine.kernel import AT_X, AT_Z
from latebreak.perception.kinds import Role
from latebreak.perception.typical_throw import typical_throw

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Template:
    """A type of pitch as the hitter remembers it.

    Attributes
    ----------
    name : str
        Of the pitch.
    share : float
        Of pitches of this type that the hitter expects.
    mean : MeanPitches
        The remembered mean pitch, aimed; m columns.
    flight : Flight
        How it flies.
    usual_movement : float64 array, shape (m,)
        m at the plate, of what is typical of the level.
    sense : float
        1 for a right-handed pitcher, -1 for a left-handed one: in which sense the clock is misremembered, so that a
        mirrored pitcher is misremembered as in a mirror.
    """

    name: str
    share: float
    mean: MeanPitches
    flight: Flight
    usual_movement: Array
    sense: float = 1.0


def remember(
    name: str,
    share: float,
    own: MeanPitches,
    own_flight: Flight,
    conditions: Conditions,
    level: str,
    role: Role,
    hand: str,
    familiarity: float,
) -> Template:
    """Make the template of a type.

    Parameters
    ----------
    name : str
        Of the pitch.
    share : float
        Expected share.
    own : MeanPitches
        The pitcher's own mean pitch, aimed; m columns.
    own_flight : Flight
        How that flies.
    conditions : Conditions
        Air, field, ball, laws.
    level : str
        The hitter's.
    role : {"fastball", "breaking", "offspeed"}
        The pitch's.
    hand : {"right", "left"}
        The pitcher's.
    familiarity : float
        f, 0 to 1.
    """
    rate, clock, gyro = own.levers[SPIN_RATE], own.levers[BREAK_CLOCK], own.levers[GYRO]
    his = rate * np.stack([np.cos(gyro) * np.cos(clock), np.cos(gyro) * np.sin(clock), np.sin(gyro)])
    *typical, typical_speed = typical_throw(level, role, hand, his)
    levers = _with_spin(own.levers, np.stack(typical) + familiarity * (his - np.stack(typical)))
    target = own_flight.arrivals(own.releases())[[AT_X, AT_Z]]
    mean = replace(own, levers=levers, target=target, seam=familiarity * own.seam)
    flight = fitted_flight(conditions, rough_flight(conditions), mean.releases())
    mean, _ = aimed(mean, flight)
    usual = _with_spin(own.levers, np.stack(typical))
    usual[SPEED] = typical_speed
    return Template(
        name,
        share,
        mean,
        replace(flight, steps=own_flight.steps),
        _movement(conditions, replace(own, levers=usual, seam=np.zeros_like(own.seam))),
        1.0 if hand == "right" else -1.0,
    )


def _with_spin(levers: Array, spin: Array) -> Array:
    """Return levers with the spin (3, m) that pushes up, pushes to the pitcher's right, and goes along the flight."""
    up, right, forward = spin
    result = levers.copy()
    result[SPIN_RATE] = np.sqrt(up**2 + right**2 + forward**2)
    result[BREAK_CLOCK] = np.arctan2(right, up)
    result[GYRO] = np.arctan2(forward, np.hypot(up, right))
    return result


def _movement(conditions: Conditions, pitches: MeanPitches) -> Array:
    """Induced break (m,) of mean pitches, m."""
    flight = rough_flight(conditions)
    releases = pitches.releases()
    there = flight.arrivals(releases) - flight.arrivals(without_spin(releases))
    movement: Array = np.hypot(there[AT_X], there[AT_Z])
    return movement
