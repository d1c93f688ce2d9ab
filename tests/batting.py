"""Pitches before a hitter: the standard mix, what he makes of it, and how exactly a mean of that is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import acos, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.flying import Paths
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.model import HitterModel, Judgement, Situation, one_glance
from latebreak.perception.moments import SPACING, Moments, moments
from latebreak.perception.parameters import Parameters, preset
from latebreak.perception.repertoire import Types, remember
from latebreak.perception.seeing import NOISE

Array = NDArray[np.float64]

CONDITIONS = Conditions(air_density=1.2)
THROWS = 2048
#: Rows that change their sign in the mirror: of the levers (break clock, gyro, release side, azimuth) and of the noise.
MIRRORED_LEVERS = [2, 3, 4, 8]
MIRRORED_NOISE = [NOISE.index(name) for name in ("heading_x", "line_x", "bend_x", "memory_direction")]
PROFESSIONAL = preset("professional")
#: A right-hander against a right-hander, over all counts.
ANYBODY = Situation()


@dataclass(frozen=True)
class Thrown:
    """A pitch of a right-hander: mph, rpm, degrees of the clock, efficiency in %, and its target in ft."""

    speed: float
    rate: float
    clock: float
    efficiency: float
    side: float = 0.0
    height: float = 2.2
    hand: str = "right"
    scatter: float = 1.0

    def at(self, height: float, side: float = 0.0) -> Thrown:
        return replace(self, height=height, side=side)

    @property
    def mirrored(self) -> Thrown:
        return replace(self, hand="left" if self.hand == "right" else "right")

    @property
    def bundle(self) -> Bundle:
        return _bundle(self)

    @property
    def mean(self) -> Paths:
        return _mean(self)

    def paths(self, throws: int = THROWS) -> Paths:
        """Throws of one block of draws: 4,096 at most."""
        return _paths(self, throws)


FASTBALL = Thrown(92.0, 2300.0, 21.0, 95.0, height=2.6)
SLIDER = Thrown(84.0, 2450.0, 262.0, 35.0, 0.3, 2.0)
CURVE = Thrown(79.0, 2550.0, 198.0, 67.0, 0.2, 2.0)
CHANGEUP = Thrown(84.0, 1800.0, 48.0, 90.0, -0.3, 1.9)
#: What the tests' pitcher throws: pitch and share. Chosen.
MIX: dict[str, tuple[Thrown, float]] = {
    "fastball": (FASTBALL, 0.55),
    "slider": (SLIDER, 0.2),
    "curve": (CURVE, 0.12),
    "changeup": (CHANGEUP, 0.13),
}


@cache
def _bundle(thrown: Thrown) -> Bundle:
    sign = 1.0 if thrown.hand == "right" else -1.0
    # medians of professional pitchers within a game (see conftest.py), launch angles without deliberate aiming
    spread = np.array([1.05 * MPH, 81 * RPM, 4 * DEGREE, 5 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH,
                       0.6 * DEGREE, 0.5 * DEGREE])  # fmt: skip
    pitch = Pitch(
        thrown.speed * MPH, thrown.rate * RPM, sign * thrown.clock * DEGREE, sign * acos(thrown.efficiency / 100.0),
        -sign * 2.0 * FOOT, 6.0 * FOOT, 6.0 * FOOT, Target(sign * thrown.side * FOOT, thrown.height * FOOT),
        spread=Spread(thrown.scatter * spread),
    )  # fmt: skip
    return prepare(pitch, CONDITIONS)


@cache
def _mean(thrown: Thrown) -> Paths:
    return thrown.bundle.flight.paths(thrown.bundle.mean.releases())


@cache
def _paths(thrown: Thrown, throws: int) -> Paths:
    normals = Draws(1, 8 * throws).normals(0)[:, :throws].copy()
    if thrown.hand == "left":
        normals[MIRRORED_LEVERS] *= -1.0
    return thrown.bundle.flight.paths(thrown.bundle.releases(normals))


@cache
def noise_of(throws: int = THROWS, hand: str = "right") -> Array:
    """The hitter's draws."""
    noise = np.random.default_rng(1).standard_normal((len(NOISE), throws))
    if hand == "left":
        noise[MIRRORED_NOISE] *= -1.0
    return noise


def columns(paths: Paths, count: int) -> Paths:
    """The same throws in each of some columns."""
    return Paths(np.tile(paths.releases, count), np.tile(paths.nodes, count), paths.plate)


def in_mind(mix: Mapping[str, tuple[Thrown, float]], p: Parameters, shares: Sequence[float] | None = None) -> Types:
    """What he has in mind of a mix."""
    paths = [columns(thrown.mean, p.lapse.size) for thrown, _ in mix.values()]
    expected = [share for _, share in mix.values()] if shares is None else shares
    return remember(tuple(mix), expected, paths, p)


def with_pitch(
    name: str, thrown: Thrown, mix: Mapping[str, tuple[Thrown, float]] = MIX
) -> dict[str, tuple[Thrown, float]]:
    """A mix of which one pitch is another."""
    return {**mix, name: (thrown, mix[name][1])}


def face(
    name: str,
    mix: Mapping[str, tuple[Thrown, float]] = MIX,
    p: Parameters = PROFESSIONAL,
    situation: Situation = ANYBODY,
    model: HitterModel = one_glance,
    throws: int = THROWS,
    shares: Sequence[float] | None = None,
) -> Judgement:
    """Let a hitter face one pitch of a mix."""
    thrown = mix[name][0]
    paths, types = columns(thrown.paths(throws), p.lapse.size), in_mind(mix, model.parameters(p), shares)
    return model.judge(paths, types, p, situation, noise_of(throws, thrown.hand))


def moments_of(
    name: str,
    mix: Mapping[str, tuple[Thrown, float]] = MIX,
    p: Parameters = PROFESSIONAL,
    model: HitterModel = one_glance,
    throws: int = 256,
    spacing: float = SPACING,
) -> Moments:
    """Moments of one pitch of a mix."""
    thrown, own = mix[name][0], list(mix).index(name)
    types = in_mind(mix, model.parameters(p))
    return moments(model, thrown.paths(throws), types, own, p, Situation(), noise_of(throws), spacing)


@dataclass(frozen=True)
class Mean:
    """A mean over throws, and what each throw adds to it: so a difference on the same throws knows its error."""

    value: float
    influence: Array

    @property
    def error(self) -> float:
        """Standard error."""
        return float(self.influence.std() / sqrt(self.influence.size))

    def __sub__(self, other: Mean) -> Mean:
        return Mean(self.value - other.value, self.influence - other.influence)

    def exceeds(self, other: Mean, errors: float = 3.0) -> bool:
        """Whether this is larger by more than so many standard errors of the difference."""
        return (self - other).value > errors * (self - other).error

    def below(self, other: Mean, errors: float = 3.0) -> bool:
        """Whether this is no larger, within so many standard errors of the difference."""
        return (self - other).value <= errors * (self - other).error + 1e-9

    def __repr__(self) -> str:
        return f"{self.value:.4f} +- {self.error:.4f}"


def share_of(part: Sequence[Array], whole: Sequence[Array], weights: Sequence[float]) -> Mean:
    """Ratio of weighted sums over throws."""
    above = sum(weight * one for weight, one in zip(weights, part, strict=True))
    below = sum(weight * one for weight, one in zip(weights, whole, strict=True))
    value = float(np.mean(above) / np.mean(below))
    return Mean(value, np.asarray((above - value * below) / np.mean(below)))


def misses(*faced: Judgement, weights: Sequence[float] | None = None, column: int = 0) -> Mean:
    """Misses per swing, over one pitch or several."""
    swings = [one.swing[column] for one in faced]
    missed = [one.swing[column] * (1.0 - one.contact[0, column]) for one in faced]
    return share_of(missed, swings, weights or [1.0] * len(faced))


def swings(*faced: Judgement, weights: Sequence[float] | None = None) -> Mean:
    """Swings per pitch."""
    each = [one.swing[0] for one in faced]
    return share_of(each, [np.ones_like(one) for one in each], weights or [1.0] * len(faced))


def mix_misses(p: Parameters = PROFESSIONAL, situation: Situation = ANYBODY, throws: int = THROWS) -> Mean:
    """Misses per swing over the standard mix."""
    faced = [face(name, MIX, p, situation, throws=throws) for name in MIX]
    return misses(*faced, weights=[share for _, share in MIX.values()])
