"""Kinds of pitches: what is usual of each, what a good one has, and of which kind a pitch is.

A pitch is of kind k with the weight w_k, smooth in everything it is told by, so that a small change never makes a jump:

    ln w_k = -1/2 [ |c - c_k|^2 / (450 rpm)^2 + (r - r_k)^2 / (350 rpm)^2 + (v/v_f - v_k/v_4)^2 / s_k^2 ] + constant

c: spin across the flight as a vector on the clock face (efficiency and break clock in one), r: spin rate, v/v_f: speed
as a share of the pitcher's own fastball, with v_4 that of a usual four-seam. Spin rates of a level are compared with
those of the level. Without a fastball the last term is left out. The role that a file gives does not enter.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import DEGREE, MPH, RPM

Array = NDArray[np.float64]
Role = Literal["fastball", "breaking", "offspeed"]


@dataclass(frozen=True)
class Kind:
    """A kind of pitch, as professionals throw it.

    Attributes
    ----------
    role : {"fastball", "breaking", "offspeed"}
        What it is used as.
    speed, rate : float
        Usual: mph, rpm.
    clock : float
        Usual break clock of a right-hander, deg.
    movement : float
        Usual size of the induced break, in.
    efficiency, least_efficiency, good_efficiency : float
        %: usual, lower end of what is usual, and of a good one.
    """

    role: Role
    speed: float
    rate: float
    clock: float
    movement: float
    efficiency: float
    least_efficiency: float
    good_efficiency: float


# Speed, rate and movement: means over the professional games of 2020-09-03 (open tracking data, computed); speed and
# rate of cutter, curve and changeup half way to the season means of 2024 (public table, secondary), but the speed
# of the curve: 79.0 of 78.0 and 79.28 (chosen); of the sweeper values from memory.
# Clock of the curve: from its movement and the mean vertical break of curves in 2024, cos = -9.35/14.4; other clocks:
# common practice, no source. Efficiency: four-seam 90 to 98 %, curve 60 to 80 %, slider 25 to 45 % (values from
# memory); others chosen near. Good ones: the upper end; of a curve 90 %, well above the usual (chosen). With the
# default lift law these make the movements within 1.2 in, but for the curve: 14.4 in take 49 %, and 67 % make 18.0. So
# movement and efficiency stand here side by side.
KINDS: dict[str, Kind] = {
    "four_seam": Kind("fastball", 93.3, 2347, 21.0, 18.2, 95, 90, 98),
    "sinker": Kind("fastball", 92.9, 2173, 68.0, 18.2, 92, 85, 97),
    "cutter": Kind("fastball", 89.4, 2376, 335.0, 10.9, 45, 35, 50),
    "slider": Kind("breaking", 85.0, 2469, 262.0, 8.0, 30, 25, 45),
    "sweeper": Kind("breaking", 82.0, 2600, 262.0, 15.0, 52, 40, 65),
    "curve": Kind("breaking", 79.0, 2540, 229.0, 14.4, 67, 60, 90),
    "changeup": Kind("offspeed", 85.0, 1809, 48.0, 16.7, 92, 85, 97),
    "splitter": Kind("offspeed", 84.9, 1352, 45.0, 13.4, 92, 80, 97),
}
NAMES = tuple(KINDS)
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
# How far pitches of one kind lie apart (all chosen): spin across the flight and spin rate, rpm of a professional; speed
# as a share of the fastball's, wider for the curve, which is thrown soft and hard.
_ACROSS, _WHOLE = 450.0, 350.0
_SHARE_OF_FASTBALL = {name: 0.05 if name == "curve" else 0.035 for name in NAMES}


@dataclass(frozen=True)
class GoodThrow:
    """A good pitch of a level and kind: what is short of it may be a leak.

    Speed and spin rate are the usual ones of the level, because an arm changes them little; the efficiency is that of
    a good one, because it is skill (chosen).

    Attributes
    ----------
    kind : str
        Of `KINDS`.
    speed, rate : float
        m/s, rad/s.
    efficiency : float
        Share.
    """

    kind: str
    speed: float
    rate: float
    efficiency: float


def spin_parts(rate: Array | float, clock: Array | float, gyro: Array | float) -> Array:
    """Spin pushing up, pushing to the pitcher's right, and along the flight, (3, ...); clock and gyro angle in rad."""
    across = rate * np.cos(gyro)
    return np.stack([across * np.cos(clock), across * np.sin(clock), rate * np.sin(gyro)])


@cache
def usual_throws(level: str, hand: str) -> Array:
    """Return what is usual of each kind, shape (8, 4), in the order of `NAMES`.

    Spin pushing up, pushing to the pitcher's right and along the flight (rad/s), and speed (m/s).

    Parameters
    ----------
    level : {"youth", "high_school", "college", "professional"}
        Of those who throw it.
    hand : {"right", "left"}
        The pitcher's; the left-hander's is the mirror image.
    """
    side = _side(hand)
    rows = []
    for kind in KINDS.values():
        gyro = np.arccos((kind.efficiency - _LESS_EFFICIENT[level]) / 100.0)
        rate = kind.rate * RPM * _RATE[level][kind.role]
        spin = spin_parts(rate, side * kind.clock * DEGREE, side * gyro)
        rows.append([*spin, kind.speed * MPH * _SPEED[level][kind.role]])
    usual = np.array(rows)
    usual.flags.writeable = False  # it is kept: a search along levers asks for it at every place
    return usual


def kind_weights(level: str, hand: str, own: Array, speed: Array, fastball_speed: float | None) -> Array:
    """Of which kind a pitch is.

    Parameters
    ----------
    level, hand : str
        As in `usual_throws`; the level is the pitcher's.
    own : float64 array, shape (3, m)
        Its spin, rad/s, as of `spin_parts`.
    speed : float64 array, shape (m,)
        m/s.
    fastball_speed : float or None
        Of the fastball beside it, m/s; None where there is none.

    Returns
    -------
    float64 array, shape (8, m)
        Shares that sum to 1, in the order of `NAMES`.
    """
    return _shares(fit_of_kinds(level, hand, own, speed, fastball_speed))


def fit_of_kinds(level: str, hand: str, own: Array, speed: Array, fastball_speed: float | None) -> Array:
    """Return ln w_k without its constant, (8, m), 0 for just what is usual; parameters as of `kind_weights`."""
    result = _spin_fit(level, hand, own)
    if fastball_speed is not None:
        share = np.array([kind.speed for kind in KINDS.values()]) / KINDS["four_seam"].speed
        width = np.array(list(_SHARE_OF_FASTBALL.values()))
        result = result - 0.5 * ((np.asarray(speed) / fastball_speed - share[:, None]) / width[:, None]) ** 2
    return result


def good_throw(level: str, hand: str, own: Array, speed: float, fastball_speed: float | None) -> GoodThrow:
    """Return a good pitch of a level, of the kind that a pitch, own (3,), is most like; else as in `kind_weights`."""
    weights = kind_weights(level, hand, np.reshape(own, (3, 1)), np.array([speed]), fastball_speed)
    name = NAMES[int(weights[:, 0].argmax())]
    kind = KINDS[name]
    return GoodThrow(
        name,
        kind.speed * MPH * _SPEED[level][kind.role],
        kind.rate * RPM * _RATE[level][kind.role],
        kind.good_efficiency / 100.0,
    )


def _spin_fit(level: str, hand: str, own: Array) -> Array:
    usual = usual_throws(level, hand)[:, :3, None]
    scale = np.array([_RATE[level][kind.role] for kind in KINDS.values()])[:, None] * RPM
    across = ((own[None, :2] - usual[:, :2]) ** 2).sum(axis=1) / (_ACROSS * scale) ** 2
    rate = np.linalg.norm(own, axis=0) - np.linalg.norm(usual, axis=1)
    fit: Array = -0.5 * (across + (rate / (_WHOLE * scale)) ** 2)
    return fit


def _shares(fit: Array) -> Array:
    share = np.exp(fit - fit.max(axis=0))
    shares: Array = share / share.sum(axis=0)
    return shares


def _side(hand: str) -> float:
    return 1.0 if hand == "right" else -1.0
