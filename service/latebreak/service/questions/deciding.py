"""The measure that decides between alternatives, before one hitter or another, at one count or another."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from latebreak.engine.errors import Fault
from latebreak.perception.model import Situation
from latebreak.service.judging.estimates import MEMBERS, Estimate, Estimator
from latebreak.service.judging.hitter import Hitter, hitter_of
from latebreak.service.judging.lineup import Lineup
from latebreak.service.judging.measures import measure_pitches
from latebreak.service.judging.setting import Progress
from latebreak.service.judging.whole_mix import MIX, OF_PITCH, judge_others, of_mix
from latebreak.service.quantities import QUANTITIES
from latebreak.service.questions.goal import MEASURES, faults_of_measure
from latebreak.service.questions.verdict import Better, verdict
from latebreak.service.wording import shown

#: Counts before the pitch, balls then strikes.
COUNTS = tuple((balls, strikes) for balls in range(4) for strikes in range(3))
#: What a hitter knows of this pitcher, by what it is called.
FAMILIAR = {"first look": 0.0, "has seen him": 0.5, "knows him well": 1.0}


@dataclass(frozen=True)
class BeforeHitter:
    """The verdict before one hitter.

    Attributes
    ----------
    bats : {"right", "left"}
        On which side he hits.
    familiarity : float
        0 first look .. 1 thoroughly scouted.
    pitches : dict of str to Estimate
        The measure that decides, by pitch.
    better : Better
        The verdict.
    """

    bats: Literal["right", "left"]
    familiarity: float
    pitches: dict[str, Estimate]
    better: Better


def faults_of_deciding(measure: str) -> tuple[Fault, ...]:
    """Return what is wrong with judging by a measure: there is none of this name, or neither way of it is better."""
    if measure in MEASURES and QUANTITIES[measure].better:
        return ()
    allowed = "one of " + ", ".join(key for key in MEASURES if QUANTITIES[key].better)
    if unknown := faults_of_measure(measure):
        return tuple(replace(fault, where="by", allowed=allowed) for fault in unknown)
    return (Fault("by", f"neither more nor less of {measure} is better in itself", allowed),)


def read_count(count: str | None) -> tuple[int, int] | Fault | None:
    """Read a count, balls then strikes: "0-2"."""
    if count is None:
        return None
    counts = {f"{balls}-{strikes}": (balls, strikes) for balls, strikes in COUNTS}
    if count in counts:
        return counts[count]
    return Fault("count", f"{shown(count)} is no count", "balls and strikes, 0-0 to 3-2")


def decide(lineup: Lineup, measure: str) -> dict[str, Estimator]:
    """Measure the alternatives of a lineup by one measure."""
    draws = lineup.setting.draws
    key = OF_PITCH if measure == MIX else measure
    judged = {name: lineup.judge(name) for name in lineup.compared}
    others = judge_others(lineup, [lineup.versions(name) for name in judged]) if measure == MIX else {}
    found = measure_pitches([(one, key) for one in (*judged.values(), *others.values())], draws)
    of_key = [one[key] for one in found]
    own = dict(zip(judged, of_key, strict=False))
    if measure != MIX:
        return own
    return mixes_of(lineup, own, dict(zip(others, of_key[len(own) :], strict=True)))


def mixes_of(lineup: Lineup, own: Mapping[str, Estimator], others: Mapping[str, Estimator]) -> dict[str, Estimator]:
    """Add up the mix with each alternative: of its own, and of the others, a version for each alternative."""
    return {
        name: of_mix(lineup.mix(name), {one: held.version(number) for one, held in others.items()} | {name: own[name]})
        for number, name in enumerate(lineup.compared)
    }


def by_count(lineup: Lineup, measure: str, progress: Progress) -> dict[str, dict[str, Estimate]]:
    """Estimate the measure that decides at each count, by count ("0-2") and pitch."""
    result = {}
    for number, count in enumerate(COUNTS):
        situation: Situation = replace(lineup.hitter.situation, count=count)
        found = decide(replace(lineup, hitter=replace(lineup.hitter, situation=situation)), measure)
        result["{}-{}".format(*count)] = {name: one.estimate() for name, one in found.items()}
        progress((number + 1) / len(COUNTS))
    return result


def by_hitter(lineup: Lineup, measure: str, progress: Progress) -> tuple[BeforeHitter, ...]:
    """Decide before right- and left-handed hitters who know this pitcher little, some and well."""
    result = []
    sides: tuple[Literal["right", "left"], ...] = ("right", "left")
    for bats in sides:
        for familiarity in FAMILIAR.values():
            scenario = lineup.setting.scenario
            entry = scenario.hitter.model_copy(update={"bats": bats, "familiarity": familiarity})
            found = decide(_facing(lineup, hitter_of(scenario.model_copy(update={"hitter": entry}))), measure)
            estimates = {name: one.estimate() for name, one in found.items()}
            better = verdict({name: {measure: one} for name, one in estimates.items()}, found, measure)
            result.append(BeforeHitter(bats, familiarity, estimates, better))
            progress(len(result) / (len(sides) * len(FAMILIAR)))
    return tuple(result)


def _facing(lineup: Lineup, hitter: Hitter) -> Lineup:
    """Return the same pitches before another hitter, of whom the same draws tell what is not known."""
    e = lineup.ensemble
    if e is not None:
        e = replace(e, parameters=hitter.members(MEMBERS, lineup.setting.scenario.seed))
    return replace(lineup, hitter=hitter, ensemble=e)
