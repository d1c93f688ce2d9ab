"""What the hitter of looks remembers of common pitches of a role; goes with the templates that it serves."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import DEGREE, MPH, RPM
from latebreak.perception.kinds import Role

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Kind:
    """A common kind of pitch.

    Attributes
    ----------
    clock : float
        Break clock of a right-hander, deg.
    speed, rate, efficiency : float
        Of a professional: mph, rpm, %.
    """

    clock: float
    speed: float
    rate: float
    efficiency: float


# Four-seam, curve and changeup: values from memory. Sinker, cutter, slider: chosen near typical ones (spin of a cutter:
# mean of 55,802 tracked pitches, secondary; efficiency of sliders 25 to 45 %, value from memory).
KINDS: dict[Role, tuple[Kind, ...]] = {
    "fastball": (Kind(21.0, 92, 2300, 95), Kind(68.0, 91, 2150, 90), Kind(335.0, 89, 2390, 45)),
    "breaking": (Kind(198.0, 79, 2550, 67), Kind(262.0, 84, 2450, 35)),
    "offspeed": (Kind(48.0, 84, 1800, 90),),
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
    usual = np.stack([_throw(kind, level, role, hand) for kind in KINDS[role]])
    typical: Array = np.einsum("km,ki->im", _likeness(usual, level, role, own), usual)
    return typical


def _throw(kind: Kind, level: str, role: Role, hand: str) -> Array:
    """Spin pushing up, pushing to the pitcher's right, and along the flight (rad/s), and speed (m/s), of a kind."""
    side = 1.0 if hand == "right" else -1.0
    share = (kind.efficiency - _LESS_EFFICIENT[level]) / 100.0
    spin = kind.rate * RPM * _RATE[level][role]
    across = spin * share
    return np.array(
        [
            across * cos(kind.clock * DEGREE),
            side * across * sin(kind.clock * DEGREE),
            side * spin * sqrt(1.0 - share**2),
            kind.speed * MPH * _SPEED[level][role],
        ]
    )


def _likeness(usual: Array, level: str, role: Role, own: Array) -> Array:
    """How much a pitch is of each kind: shares (kinds, m) that sum to 1, by the spin across the flight."""
    rate = np.array([kind.rate * RPM * _RATE[level][role] for kind in KINDS[role]])
    off = (own[None, :2] - usual[:, :2, None]) / (_NEAR * rate)[:, None, None]
    weight = -0.5 * (off**2).sum(axis=1)
    share = np.exp(weight - weight.max(axis=0))
    shares: Array = share / share.sum(axis=0)
    return shares
