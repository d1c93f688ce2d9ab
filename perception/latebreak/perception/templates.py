"""What a hitter remembers of a type of pitch: how it usually flies.

Release point, speed and target of a template are the pitcher's own; its spin vector lies between what is typical of the
level and the pitcher's own, by the familiarity f:  spin = typical + f (own - typical), across the flight and along it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, sin, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import BREAK_CLOCK, GYRO, SPEED, SPIN_RATE, MeanPitches, aimed
from latebreak.engine.ball import Conditions
from latebreak.engine.flight import Flight, fitted_flight, rough_flight, without_spin
from latebreak.engine.kernel import AT_X, AT_Z
from latebreak.engine.units import DEGREE, MPH, RPM

Array = NDArray[np.float64]
Role = Literal["fastball", "breaking", "offspeed"]


# Common kinds of each role: break clock (deg) of a right-hander, and of a professional the speed (mph), rate (rpm) and
# efficiency (%).
# Four-seam, curve and changeup: values from memory. Sinker, cutter, slider: chosen near typical ones (spin of a cutter:
# mean of 55,802 tracked pitches, secondary; efficiency of sliders 25 to 45 %, value from memory).
_KINDS: dict[Role, tuple[tuple[float, float, float, float], ...]] = {
    "fastball": ((21.0, 92, 2300, 95), (68.0, 91, 2150, 90), (335.0, 89, 2390, 45)),
    "breaking": ((198.0, 79, 2550, 67), (262.0, 84, 2450, 35)),
    "offspeed": ((48.0, 84, 1800, 90),),
}
# Factors on speed and rate by level and role, and points off the efficiency. College: values from memory; high school
# and youth: chosen, continued downwards.
_SPEED = {
    "professional": {"fastball": 1.0, "breaking": 1.0, "offspeed": 1.0},
    "college": {"fastball": 0.957, "breaking": 0.962, "offspeed": 0.952},
    "high_school": {"fastball": 0.89, "breaking": 0.89, "offspeed": 0.89},
    "youth": {"fastball": 0.65, "breaking": 0.65, "offspeed": 0.65},
}
_RATE = {
    "professional": {"fastball": 1.0, "breaking": 1.0, "offspeed": 1.0},
    "college": {"fastball": 0.935, "breaking": 0.92, "offspeed": 0.945},
    "high_school": {"fastball": 0.87, "breaking": 0.84, "offspeed": 0.89},
    "youth": {"fastball": 0.67, "breaking": 0.61, "offspeed": 0.69},
}
_LESS_EFFICIENT = {"professional": 0.0, "college": 2.0, "high_school": 4.0, "youth": 8.0}
# How far from a kind, as a share of its spin, a pitch still counts as one of it (chosen).
_NEAR = 0.25


def typical_throw(level: str, role: Role, hand: str, own: Array) -> Array:
    """Spin and speed that a hitter of a level knows from pitches like this one.

    Of the common kinds of the role the nearest counts, with a smooth passage from one to the next, so that a small
    change of the pitch never makes a jump.

    Parameters
    ----------
    level : str
        The hitter's.
    role : {"fastball", "breaking", "offspeed"}
        The pitch's.
    hand : {"right", "left"}
        The pitcher's.
    own : float64 array, shape (3, m)
        Spin of the pitch, rad/s: across the flight pushing up, across it pushing to the pitcher's right, and along it.

    Returns
    -------
    float64 array, shape (4, m)
        Likewise, and the speed in m/s.
    """
    side = 1.0 if hand == "right" else -1.0
    mirrored = np.array([[1.0], [side], [side], [1.0]])
    kinds, weights = [], []
    for clock, mph, rate, percent in _KINDS[role]:
        share = (percent - _LESS_EFFICIENT[level]) / 100.0
        spin = rate * RPM * _RATE[level][role]
        across = spin * share
        kind = mirrored * np.array(
            [
                [across * cos(clock * DEGREE)],
                [across * sin(clock * DEGREE)],
                [spin * sqrt(1.0 - share**2)],
                [mph * MPH * _SPEED[level][role]],
            ]
        )
        kinds.append(kind)
        weights.append(-0.5 * (((own - kind[:3])[:2] / (_NEAR * spin)) ** 2).sum(axis=0))
    weight = np.exp(np.stack(weights) - np.max(weights, axis=0))
    typical: Array = np.einsum("km,kij->im", weight / weight.sum(axis=0), np.stack(kinds))
    return typical


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
