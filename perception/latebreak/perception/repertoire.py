"""The pitches of the experiments, invented but typical of professionals, set before a hitter.

What a source does not state is chosen here and said beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import acos

import numpy as np

from latebreak.engine.aim import MeanPitches, aimed, mean_pitches
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, prepare
from latebreak.engine.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.encounter import Encounter
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import Hitter, Traits
from latebreak.perception.kinds import Role
from latebreak.perception.model import observer
from latebreak.perception.templates import Template, remember

CONDITIONS = Conditions(air_density=1.2)  # kg/m3, a field near sea level at 20 C
_COMMIT = 0.150  # s before arrival: Tresilian (2004), read; no experiment here depends on it
_LEVEL = "professional"


@dataclass(frozen=True)
class Typical:
    """A pitch of the repertoire: mph, rpm, break clock (deg), efficiency (%), target (ft), role, share."""

    speed: float
    spin_rate: float
    clock: float
    efficiency: float
    target: tuple[float, float]
    role: Role
    share: float


# Speed, spin and direction: typical of a professional right-hander, values from memory. Targets chosen: the fastball in
# the middle, the others where they are usually aimed. Shares chosen: 55 % fastballs (common practice, no source).
REPERTOIRE = {
    "fastball": Typical(92.0, 2300.0, 21.0, 95.0, (0.0, 2.5), "fastball", 0.55),
    "curve": Typical(79.0, 2550.0, 198.0, 67.0, (0.0, 1.9), "breaking", 0.12),
    "slider": Typical(84.0, 2450.0, 262.0, 35.0, (0.5, 2.0), "breaking", 0.18),
    "changeup": Typical(84.0, 1800.0, 48.0, 90.0, (-0.4, 2.0), "offspeed", 0.15),
}
#: Release side, height and extension, ft, of every pitch of the repertoire: one point, so that only flight tells them
#: apart (chosen).
_RELEASE = (-2.0, 6.0, 6.0)
# deg, break clock and gyro from throw to throw: clock computed (own analysis of public tracked pitches), gyro chosen a
# little wider. The other SDs: medians within a game over 71 professional pitchers and types (computed, same analysis).
_CLOCK_AND_GYRO_SCATTER = {"fastball": (3.2, 4.0), "breaking": (5.1, 6.0), "offspeed": (2.9, 4.0)}


def _scatter(role: Role) -> Spread:
    clock, gyro = _CLOCK_AND_GYRO_SCATTER[role]
    point = np.array([1.2, 0.77, 1.3]) * INCH
    angles = np.array([clock, gyro, 0.87, 0.74]) * DEGREE  # the last two: launch elevation and azimuth
    return Spread(np.array([1.05 * MPH, 81.0 * RPM, *angles[:2], *point, *angles[2:]]))


@cache
def thrown(name: str) -> Bundle:
    """Return a pitch of the repertoire, ready to be thrown."""
    one = REPERTOIRE[name]
    side, height, extension = _RELEASE
    return prepare(
        Pitch(
            speed=one.speed * MPH,
            spin_rate=one.spin_rate * RPM,
            break_clock=one.clock * DEGREE,
            gyro=acos(one.efficiency / 100.0),
            release_side=side * FOOT,
            release_height=height * FOOT,
            extension=extension * FOOT,
            aim=Target(one.target[0] * FOOT, one.target[1] * FOOT),
            spread=_scatter(one.role),
        ),
        CONDITIONS,
    )


@cache
def machine_fastball(speed: float, distance: float, elevation: float = 0.0, azimuth: float = 0.0) -> Bundle:
    """Straight fastball of a machine, aimed at the middle of the zone.

    Pure backspin of 2,000 rpm from 1.5 m above the middle of the rubber (chosen).

    Parameters
    ----------
    speed : float
        m/s.
    distance : float
        m, from release to the plate's front edge.
    elevation, azimuth : float
        rad, SDs of the launch; nothing else varies.
    """
    front = CONDITIONS.rubber_to_plate - 17.0 * INCH  # the plate is 17 in deep (rule)
    return prepare(
        Pitch(
            speed=speed,
            spin_rate=2000.0 * RPM,
            break_clock=0.0,
            gyro=0.0,
            release_side=0.0,
            release_height=1.5,
            extension=front - distance,
            aim=Target(0.0, 2.5 * FOOT),
            spread=Spread(np.array([0.0] * 7 + [elevation, azimuth])),
        ),
        CONDITIONS,
    )


@cache
def template(bundle: Bundle, share: float, role: Role, familiarity: float, columns: int) -> Template:
    """Return what a professional hitter remembers of a pitch, in so many equal columns."""
    mean = _mean(bundle, columns)
    return remember(role, share, mean, bundle.flight, CONDITIONS, _LEVEL, role, "right", familiarity)


def meet(
    bundle: Bundle, types: Sequence[Template], own: int, traits: Traits, bats: str, familiarity: float
) -> Encounter:
    """Set a pitch before a professional hitter with m sets of traits, types of m columns in mind."""
    hitter = Hitter(Eye(bats=bats), _LEVEL, traits, familiarity, _COMMIT)
    mean = _mean(bundle, traits.lapse.size)
    return observer.meet(mean, bundle.flight, bundle.factor, types, own, hitter, traits)


def _mean(bundle: Bundle, columns: int) -> MeanPitches:
    return aimed(mean_pitches(bundle.pitch, CONDITIONS.rubber_to_plate, columns), bundle.flight)[0]
