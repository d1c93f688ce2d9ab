"""Versions of one pitch before a hitter: who bats, what else the pitcher throws, and what is not known about it all."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.bundle import Bundle
from latebreak.engine.flight import Flight
from latebreak.engine.pitch import LEVERS
from latebreak.engine.stopping import checkpoint
from latebreak.perception.hitter import Hitter
from latebreak.perception.measures import both_arrive, throw_measures
from latebreak.perception.model import HitterModel
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.perception.swing import Readiness
from latebreak.service.questions.chance import Unknowns, draw_unknowns, drawn_pitch
from latebreak.service.questions.facing import Facing, Mix, hitter_of, mix_for
from latebreak.service.questions.setting import Setting

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Contest:
    """A pitch before a hitter, beside the fastball of the same draw; m columns.

    Attributes
    ----------
    name, fastball : str
        The pitch and the fastball.
    facing : Facing
        The hitter, and all pitches.
    ready : Readiness
        What the hitter brings to this pitch.
    """

    name: str
    fastball: str
    facing: Facing
    ready: Readiness

    def flown(self, normals: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Measure the flight of throws: values (6, n, m), and whether pitch and fastball arrived (n, m)."""
        (flight, releases), (other, fastballs) = self._pair(normals)
        hitter = self.facing.hitter
        values, keep = throw_measures(
            flight, releases, other, fastballs, hitter.eye.place, hitter.commit_before_arrival
        )
        n = normals.shape[1]
        return values.reshape(len(values), n, -1), keep.reshape(n, -1)

    def arrived(self, normals: Array) -> NDArray[np.bool_]:
        """Tell which throws arrived, as did their fastballs: (n, m)."""
        (flight, releases), (other, fastballs) = self._pair(normals)
        return both_arrive(flight, releases, other, fastballs).reshape(normals.shape[1], -1)

    def swung(self, normals: Array, noise: Array) -> Array:
        """Swing at throws: values (7, n, m)."""
        values = self.facing.model.swing(self.ready, normals[: len(LEVERS)], noise)
        return values.reshape(len(values), normals.shape[1], -1)

    def _pair(self, normals: Array) -> tuple[tuple[Flight, Array], tuple[Flight, Array]]:
        """Flight and releases (15, n m) of pitch and fastball: all columns of the first throw, then of the second."""
        pitch, fastball = (
            (self.facing.bundles[who].flight, _scattered(self.facing.pitches[who], self.facing.bundles[who], normals))
            for who in (self.name, self.fastball)
        )
        return pitch, fastball


@dataclass(frozen=True, eq=False)
class Contests:
    """The same versions of a pitch, twice.

    Attributes
    ----------
    own : Contest
        At the scenario's own values: v columns.
    drawn : tuple of Contest, or None
        Under draws of what is not known, version by version: draws + 1 columns each; None for no interval.
    usable : bool array, shape (v, draws + 1)
        Draws in which the version and every other pitch in mind can be thrown; (v, 1) where nothing is drawn.
    """

    own: Contest
    drawn: tuple[Contest, ...] | None
    usable: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Matchup:
    """A hitter, a fastball and the other pitches of a setting, before which versions of one pitch are judged.

    Attributes
    ----------
    setting : Setting
        Scenario and conditions.
    fastball : str
        The reference fastball.
    compared : tuple of str
        Pitches that are alternatives of each other.
    hitter, model : Hitter, HitterModel
        Who hits, and how.
    bundles : dict of str to Bundle
        The pitches as they are.
    unknowns : Unknowns or None
        Joint draws of what is not known.
    """

    setting: Setting
    fastball: str
    compared: tuple[str, ...]
    hitter: Hitter
    model: HitterModel
    bundles: dict[str, Bundle]
    unknowns: Unknowns | None

    def mix(self, name: str) -> Mix:
        """Types that the hitter has in mind where this pitch is judged."""
        return mix_for(self.setting.scenario, self.fastball, list(self.compared), name)

    def contests(self, name: str, versions: Bundle | None = None, reached: NDArray[np.bool_] | None = None) -> Contests:
        """Set versions of a pitch before the hitter.

        Parameters
        ----------
        name : str
            The pitch.
        versions : Bundle, optional
            v columns; default: the pitch as it is.
        reached : bool array, shape (v,), optional
            Which of them hit their target; default: all.
        """
        versions = self.bundles[name] if versions is None else versions
        v, mix = versions.mean.levers.shape[1], self.mix(name)
        own = (self._facing if v == 1 else self._columns(v)).judging(mix, versions, versions.mean)
        contest = Contest(name, self.fastball, own, own.ready(mix))
        usable = np.ones((v, 1), dtype=bool) if reached is None else reached[:, None]
        if self.unknowns is None or self._drawn is None:
            return Contests(contest, None, usable)
        thrown, hit = (
            (self.unknowns.pitches[name], self.unknowns.reached[name])
            if versions is self.bundles[name]
            else drawn_pitch(self.setting, name, versions, self.unknowns.ball)
        )
        draws, drawn = self.unknowns.draws, []
        for version in range(v):  # one by one, so that the work can be stopped between them
            checkpoint()
            its = thrown.columns(np.arange(version * draws, (version + 1) * draws))
            facing = self._drawn.judging(mix, versions, its)
            drawn.append(Contest(name, self.fastball, facing, facing.ready(mix)))
        usable = usable & hit.reshape(v, draws) & self.unknowns.usable(*(set(mix.types) - {name}))
        return Contests(contest, tuple(drawn), usable)

    def _columns(self, count: int) -> Facing:
        """The hitter before the pitches as they are, in so many equal columns."""
        same = np.zeros(count, np.int64)
        means = {one: bundle.mean.columns(same) for one, bundle in self.bundles.items()}
        return Facing(self.setting, self.hitter, self.model, self.bundles, means, self.hitter.traits.columns(same))

    @cached_property
    def _facing(self) -> Facing:
        """The hitter before the pitches as they are, kept with what he remembers of them."""
        return self._columns(1)

    @cached_property
    def _drawn(self) -> Facing | None:
        """The same under draws of what is not known."""
        unknowns = self.unknowns
        if unknowns is None:
            return None
        return Facing(self.setting, self.hitter, self.model, self.bundles, unknowns.pitches, unknowns.traits)


def matchup(
    setting: Setting, fastball: str, compared: tuple[str, ...], bundles: dict[str, Bundle], intervals: bool
) -> Matchup:
    """Put the hitter of a setting before its pitches; with `intervals`, under draws of what is not known too."""
    scenario = setting.scenario
    hitter, model = hitter_of(scenario), hitter_model(scenario.hitter.model or DEFAULT)
    unknowns = draw_unknowns(setting, bundles, hitter) if intervals else None
    return Matchup(setting, fastball, compared, hitter, model, bundles, unknowns)


def _scattered(pitches: MeanPitches, bundle: Bundle, normals: Array) -> Array:
    """Releases of every column with every throw's scatter."""
    if pitches.levers.shape[1] == 1:
        return bundle.releases(normals)
    return bundle.scattered(pitches, normals)
