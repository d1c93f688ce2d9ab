"""Cells of the league: one kind of pitch thrown within a mix to hitters of both sides, and what they make of it.

A cell is flown once; what hitters make of it is worked out for any parameters, always with the same throws and the same
noise, so that rates are smooth in them. Misses are per swing: one less the sum of P(swing and contact) over that of
P(swing).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_X, AT_Z
from latebreak.engine.units import FOOT
from latebreak.perception.bat import CONTACT
from latebreak.perception.calibration.typical import FASTBALLS, MIXES, TYPICAL, bundle
from latebreak.perception.decision import Zone
from latebreak.perception.model import HitterModel, Judgement, Situation, one_glance
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import remember
from latebreak.perception.seeing import NOISE

Array = NDArray[np.float64]

ZONE = Zone(1.5 * FOOT, 3.5 * FOOT)  # an adult's (chosen)
SIDES = ("right", "left")
#: Throws of a cell to hitters of each side: misses are good to 0.4 points (SD over seeds; a third of the zone: 1).
THROWS = 2048


@dataclass(frozen=True)
class Cell:
    """A kind of pitch under a condition: its own speed, the speed of the fastballs beside it (mph), type known."""

    kind: str
    speed: float | None = None
    fastball: float | None = None
    known: bool = False


@dataclass(frozen=True, eq=False)
class Flown:
    """What the parameters do not change about a cell: its throws, and the mean path of each type of the mix."""

    paths: Paths
    names: tuple[str, ...]
    means: Sequence[Paths]


@dataclass(frozen=True, eq=False)
class Rates:
    """Chances of a swing and of a swing with contact, of weighted throws: arrays of shape (n,).

    Sums are not written as products of vectors: a linear algebra library would start threads for them.
    """

    weight: Array
    swing: Array
    met: Array

    def swings(self, where: NDArray[np.bool_] | None = None) -> float:
        """Percent of pitches swung at, of all or of some."""
        weight = self.weight if where is None else self.weight * where
        return 100.0 * float((weight * self.swing).sum() / weight.sum())

    def misses(self, where: NDArray[np.bool_] | None = None) -> float:
        """Percent of swings that miss."""
        weight = self.weight if where is None else self.weight * where
        return 100.0 * (1.0 - float((weight * self.met).sum() / (weight * self.swing).sum()))

    def scaled(self, factor: float) -> Rates:
        """The same with other weights."""
        return Rates(self.weight * factor, self.swing, self.met)


def together(parts: Sequence[Rates]) -> Rates:
    """Put throws of several cells together."""
    return Rates(*(np.concatenate([getattr(part, row) for part in parts]) for row in ("weight", "swing", "met")))


@cache
def draws(seed: int, throws: int) -> tuple[Array, Array]:
    """Standard normal draws of throws, (9, n), and of hitters, (9, n): two sets of Sobol points, paired at random."""
    own, hitters = (Draws(number, throws * FEWEST_BLOCKS).normals(0) for number in (seed, seed + 1))
    order = np.random.default_rng(seed).permutation(throws)
    return own, np.ascontiguousarray(hitters[: len(NOISE), order])


@cache
def flown(cell: Cell) -> Flown:
    """Fly a cell."""
    names = tuple(MIXES[cell.kind])
    speeds = {name: cell.fastball if name in FASTBALLS else None for name in names} | {cell.kind: cell.speed}
    types = [bundle(name, speeds[name]) for name in names]
    own = types[names.index(cell.kind)]
    means = [one.flight.paths(one.mean.releases()) for one in types]
    return Flown(own.flight.paths(own.releases(draws(1, THROWS)[0])), names, means)


def judged(cell: Cell, parameters: Parameters, model: HitterModel = one_glance) -> tuple[Judgement, Judgement]:
    """What right-handed and left-handed hitters make of a cell; the pitcher is right-handed."""
    thrown = flown(cell)
    mix = MIXES[cell.kind]
    types = remember(thrown.names, tuple(mix.values()), thrown.means, model.parameters(parameters))
    if cell.known:
        types = types.expected([float(name == cell.kind) for name in thrown.names])
    right, left = (
        model.judge(thrown.paths, types, parameters, Situation(bats, "right", ZONE), draws(1, THROWS)[1])
        for bats in SIDES
    )
    return right, left


def rates_of(cell: Cell, judgements: Sequence[Judgement], swings: Sequence[Array] | None = None) -> Rates:
    """Rates of one column, throws to right-handed hitters first; `swings`, (1, n), in place of those judged."""
    same = TYPICAL[cell.kind].same_side
    parts = [
        Rates(np.full(swing.shape[1], share / swing.shape[1]), swing[0], swing[0] * one.contact[CONTACT, 0])
        for share, one, swing in zip(
            (same, 1.0 - same), judgements, swings or [one.swing for one in judgements], strict=True
        )
    ]
    return together(parts)


def rates(cell: Cell, parameters: Parameters, model: HitterModel = one_glance) -> Rates:
    """Rates of a cell for one column of parameters."""
    return rates_of(cell, judged(cell, parameters, model))


def places(cell: Cell) -> tuple[Array, Array]:
    """Side and height (m) at which the throws of `rates` cross the plate."""
    arrivals = flown(cell).paths.arrivals
    return np.tile(arrivals[AT_X], len(SIDES)), np.tile(arrivals[AT_Z], len(SIDES))


def in_zone(cell: Cell) -> NDArray[np.bool_]:
    """Which throws of `rates` cross the zone."""
    return ZONE.holds(*places(cell))
