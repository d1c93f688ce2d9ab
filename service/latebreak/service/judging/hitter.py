"""Who hits, as the scenario and the files it names say, and what he has in mind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.engine.units import FOOT
from latebreak.perception.decision import Zone
from latebreak.perception.eye import Eye
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import Joint, Parameters, fitted, keys, preset, uncertain, unit_of
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.perception.repertoire import Types, remember
from latebreak.service.judging.setting import random_stream
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.hitters_file import triangle

__all__ = ["Hitter", "Parameters", "expected", "hitter_of", "in_mind", "mix_of"]

#: Share at which a pitch that nobody expects is in mind: it can't be told from what is not there (chosen).
_LEAST_SHARE = 1e-4


@dataclass(frozen=True)
class Hitter:
    """Who hits.

    Attributes
    ----------
    eye : Eye
        Where his eye is.
    model : HitterModel
        How he sees and swings.
    parameters : Parameters
        One column.
    given : frozenset of str
        Names of parameters that the file gives: known, not drawn.
    situation : Situation
        Sides, zone, count.
    taught : Joint, optional
        How sure the parameters are that a record of swings taught.
    """

    eye: Eye
    model: HitterModel
    parameters: Parameters
    given: frozenset[str]
    situation: Situation
    taught: Joint | None = None

    def members(self, count: int, seed: int) -> Parameters:
        """Sample what is not known about him: count + 1 columns, his own first."""
        return uncertain(self.parameters, count, random_stream(seed, "hitter"), self.given, self.taught)


def mix_of(scenario: Scenario, fastball: str, alternatives: Sequence[str], name: str) -> dict[str, float]:
    """Return the types that a hitter has in mind and their shares: the fastball first, the judged pitch last.

    Compared pitches are alternatives: those that are not compared keep their shares, and the judged one holds the sum
    of the compared.
    """
    expects = scenario.hitter.expects
    # what nobody expects is no type in mind; the fastball always is one. By name: sums don't follow the file's order
    others = sorted(one for one in scenario.pitch if expects.get(one, 0.0) > 0.0 and one != fastball)
    kept = [one for one in (fastball, *others) if one not in (name, *alternatives)]
    # rounded, so that equal sums of different parts are equal to the last digit
    shares = {one: round(expects.get(one, 0.0), 12) for one in kept}
    return shares | {name: round(fsum(expects.get(one, 0.0) for one in alternatives), 12)}


def in_mind(
    hitter: Hitter,
    parameters: Parameters,
    mix: Mapping[str, float],
    fastball: str,
    bundles: Mapping[str, Bundle],
    means: Mapping[str, MeanPitches],
) -> Types:
    """Return what a hitter has in mind.

    Parameters
    ----------
    hitter : Hitter
        Who hits.
    parameters : Parameters
        His parameters, m columns.
    mix : mapping of str to float
        Shares of the types that he expects.
    fastball : str
        The one that he is ready for.
    bundles, means : mappings of str to Bundle and to MeanPitches
        The pitches, and the same in m columns.
    """
    names = (fastball, *sorted(one for one in mix if one != fastball))  # sums over types don't follow the file's order
    paths = [bundles[one].flight.paths(means[one].releases()) for one in names]
    shares = [max(mix.get(one, 0.0), _LEAST_SHARE) for one in names]
    return remember(names, shares, paths, hitter.model.parameters(parameters))


def expected(types: Types, mix: Mapping[str, float]) -> Types:
    """Return types in mind with the shares of another mix of the same pitches."""
    return types.expected([max(mix[one], _LEAST_SHARE) for one in types.names])


def hitter_of(scenario: Scenario) -> Hitter:
    """Return the hitter of a scenario: the preset of the level with what the file says."""
    entry = scenario.hitter
    values = entry.taught or {}
    taught = {name: values[key] * unit_of(key) for name, key in keys().items() if key in values}
    sure = Joint(tuple(name for name in fitted().names if name in taught), triangle(entry.taught_factor or []))
    given = {
        name: value * unit_of(key) for name, key in keys().items() if (value := getattr(entry, key, None)) is not None
    }
    zone = Zone(entry.zone_bottom_ft * FOOT, entry.zone_top_ft * FOOT)
    count = None if entry.balls is None or entry.strikes is None else (entry.balls, entry.strikes)
    return Hitter(
        Eye(entry.eye_side_ft * FOOT, entry.eye_height_ft * FOOT, entry.eye_depth_ft * FOOT, entry.bats),
        hitter_model(entry.model or DEFAULT),
        preset(entry.level, entry.familiarity, **(taught | given)),
        frozenset(given),
        Situation(entry.bats, scenario.pitcher.hand, zone, count),
        sure if taught else None,
    )
