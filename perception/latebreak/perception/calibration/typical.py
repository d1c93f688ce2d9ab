"""Typical professional pitches by kind, as bundles of a right-hander, and the mixes in which each is thrown.

Speed and spin rate are the kind's (`kinds`). The clock and the efficiency give the movement of the kind, in side
(positive to the glove side) and height:

    four-seam -7.8, 16.0    sinker -15.7, 8.0    cutter 3.0, 7.7    slider 5.9, 2.0    sweeper 14.5, 1.0
    curve 9.7, -9.4         changeup -15.0, 5.7  splitter -11.8, 3.5                                         (in)

Their sizes are those of the kinds, less what scatter adds to a mean of sizes (4 in per axis between pitchers, value
from memory; the sweeper's is a value from memory); heights of curve, changeup and cutter are season averages of 2024
(public table, secondary); how the rest divides between side and height is a value from memory. Aims, their scatter and
who is faced: chosen, so that 53, 53, 51, 45, 44, 43, 42 and 38 % of four-seams, sinkers, cutters, sliders, sweepers,
curves, changeups and splitters are in the zone (from memory), same-side hitters see more breaking balls and others more
changeups (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import acos

import numpy as np

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.kinds import KINDS


@dataclass(frozen=True)
class TypicalPitch:
    """A kind of pitch as professionals throw it.

    Attributes
    ----------
    clock, efficiency : float
        deg, %.
    side, height, side_sd, height_sd : float
        Where it crosses the plate, and its scatter over pitchers and aims, ft; side positive to the glove side.
    usage : float
        Share of all pitches.
    same_side : float
        Share of them that hitters of the pitcher's own side see.
    movement : tuple of float
        That the clock and the efficiency are to give, in.
    """

    clock: float
    efficiency: float
    side: float
    height: float
    side_sd: float
    height_sd: float
    usage: float
    same_side: float
    movement: tuple[float, float]


TYPICAL: Mapping[str, TypicalPitch] = {
    "four_seam": TypicalPitch(26.5, 87.4, 0.0, 2.75, 0.79, 0.91, 0.32, 0.45, (-7.8, 16.0)),
    "sinker": TypicalPitch(63.3, 93.2, -0.15, 2.30, 0.84, 0.84, 0.16, 0.55, (-15.7, 8.0)),
    "cutter": TypicalPitch(342.8, 31.3, 0.35, 2.40, 0.78, 0.90, 0.08, 0.42, (3.0, 7.7)),
    "slider": TypicalPitch(290.8, 18.1, 0.45, 1.95, 0.77, 0.87, 0.16, 0.60, (5.9, 2.0)),
    "sweeper": TypicalPitch(273.0, 49.7, 0.55, 2.00, 0.77, 0.84, 0.07, 0.62, (14.5, 1.0)),
    "curve": TypicalPitch(221.1, 44.9, 0.25, 1.95, 0.83, 1.02, 0.08, 0.45, (9.7, -9.4)),
    "changeup": TypicalPitch(69.5, 91.2, -0.50, 1.80, 0.77, 0.82, 0.10, 0.25, (-15.0, 5.7)),
    "splitter": TypicalPitch(73.8, 87.8, -0.20, 1.55, 0.78, 0.94, 0.03, 0.30, (-11.8, 3.5)),
}
#: Shares of the mix in which a kind is judged, the fastball that a hitter is ready for first (chosen: a kind is seen
#: most from those who throw it much, so its share is larger than in the league).
MIXES: Mapping[str, Mapping[str, float]] = {
    "four_seam": {"four_seam": 0.50, "slider": 0.20, "curve": 0.15, "changeup": 0.15},
    "sinker": {"sinker": 0.40, "four_seam": 0.15, "slider": 0.25, "changeup": 0.20},
    "cutter": {"four_seam": 0.40, "cutter": 0.30, "curve": 0.15, "changeup": 0.15},
    "slider": {"four_seam": 0.50, "slider": 0.30, "changeup": 0.20},
    "sweeper": {"four_seam": 0.30, "sinker": 0.30, "sweeper": 0.25, "changeup": 0.15},
    "curve": {"four_seam": 0.46, "curve": 0.24, "slider": 0.15, "changeup": 0.15},
    "changeup": {"four_seam": 0.50, "changeup": 0.20, "slider": 0.30},
    "splitter": {"four_seam": 0.50, "splitter": 0.25, "slider": 0.25},
}
FASTBALLS = ("four_seam", "sinker")
CONDITIONS = Conditions(air_density=1.2)  # chosen: sea level at about 20 C

# Release: means of the same games; side: value from memory.
_RELEASE = (-1.9 * FOOT, 5.85 * FOOT, 6.25 * FOOT)
# Medians within a game over 71 professional pitchers and kinds (own analysis of public tracked pitches), but for clock
# and gyro: 5 deg, between a fastball's 3 and a slider's 13. Order of `pitch.LEVERS`.
_SPREAD = (1.05 * MPH, 81.0 * RPM, 5.0 * DEGREE, 5.0 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH)
# From this release to the front of the plate.
_FLIGHT_LENGTH = 52.83 * FOOT


@cache
def bundle(kind: str, speed: float | None = None) -> Bundle:
    """Prepare a kind of pitch.

    Parameters
    ----------
    kind : str
        Of `TYPICAL`.
    speed : float, optional
        mph; default: the kind's. Spin stays, so that the movement follows the speed as physics has it.
    """
    one = TYPICAL[kind]
    scatter = (one.height_sd * FOOT / _FLIGHT_LENGTH, one.side_sd * FOOT / _FLIGHT_LENGTH)
    # Of the ball: C_D scatters by 0.018 within four-seams (computed from open tracking); lift and seams: chosen.
    spread = Spread(np.array([*_SPREAD, *scatter]), drag_scale=0.05, lift_scale=0.04, seam_force=0.008)
    usual, aim = KINDS[kind], Target(one.side * FOOT, one.height * FOOT)
    pitch = Pitch(
        (speed or usual.speed) * MPH, usual.rate * RPM, one.clock * DEGREE, acos(one.efficiency / 100.0), *_RELEASE,
        aim, spread=spread,
    )  # fmt: skip
    return prepare(pitch, CONDITIONS)
