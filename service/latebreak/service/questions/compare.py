"""The question which of these pitches is harder to hit behind this fastball, and how sure that is.

Compared pitches are alternatives, each judged alone behind the reference fastball. With each of them the whole mix is
judged, because what hitters do with the fastball depends on what else they have in mind.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.estimates import Estimate, Estimator
from latebreak.service.judging.lineup import Lineup, faults_of_names, line_up
from latebreak.service.judging.measures import ALL_SWINGS, measure_pitches
from latebreak.service.judging.setting import Progress, one_blas_thread, settle
from latebreak.service.judging.whole_mix import MIX, OF_PITCH, judge_others
from latebreak.service.plain import OPTIONAL
from latebreak.service.quantities import Reader
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.deciding import (
    BeforeHitter,
    by_count,
    by_hitter,
    faults_of_deciding,
    mixes_of,
    read_count,
)
from latebreak.service.questions.verdict import MEASURE, Better, verdict
from latebreak.service.scenario import Scenario, Source


@dataclass(frozen=True)
class CompareResult:
    """Estimates of every compared pitch by key, and which is better.

    Attributes
    ----------
    fastball : str
        The fastball that the pitches are judged behind.
    pitches : dict of str to dict of str to Estimate
        By name, then by key; the unit is in the key.
    better : Better
        The leading pitch, None where it leads by no more than chance.
    why : tuple of str
        Plain sentences in US units, three at most, of `why_better`.
    judged_among : str
        Among which pitches each compared pitch is judged, with their shares.
    others : dict of str to dict of str to Estimate
        Every other pitch of the mix, the fastball included: by name, then by key; hitters have every pitch in mind.
    mixes : dict of str to dict of str to dict of str to Estimate
        What hitters do with every other pitch when they have a compared one in mind: by that one, then by the other's
        name, then by key.
    counts : dict of str to dict of str to Estimate
        The measure that decides at each count: by count ("0-2"), then by compared pitch; empty if not asked for.
    hitters : tuple of BeforeHitter
        The verdict before other hitters; empty if not asked for.
    estimators : dict of str to dict of str to Estimator
        What stands behind the estimates, by name: for differences between pitches. Not part of the JSON.
    """

    fastball: str
    pitches: dict[str, dict[str, Estimate]]
    better: Better
    why: tuple[str, ...]
    judged_among: str
    others: dict[str, dict[str, Estimate]] = field(default_factory=dict)
    mixes: dict[str, dict[str, dict[str, Estimate]]] = field(default_factory=dict)
    counts: dict[str, dict[str, Estimate]] = field(default_factory=dict, metadata=OPTIONAL)
    hitters: tuple[BeforeHitter, ...] = field(default=(), metadata=OPTIONAL)
    estimators: dict[str, dict[str, Estimator]] = field(default_factory=dict, repr=False, compare=False)


def compare(
    source: Source,
    *,
    pitches: Sequence[str] | None = None,
    by: str = MEASURE,
    count: str | None = None,
    counts: bool = False,
    hitters: bool = False,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[CompareResult]:
    """Compare pitches behind the reference fastball.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitches : sequence of str, optional
        Names of the pitches to compare; default: all that are no fastballs.
    by : str, optional
        Key of the measure that decides; default: strikes without contact per 100 pitches of the mix.
    count : str, optional
        Balls and strikes before the pitch, "0-2"; default: the scenario's, else over all counts.
    counts : bool, optional
        Whether to tell the measure that decides at each count too.
    hitters : bool, optional
        Whether to decide before right- and left-handed hitters who know this pitcher little, some and well too.
    intervals : bool, optional
        Whether to sample what is not known: intervals and the chance of the lead; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of CompareResult
        Estimates are those of a model.

    Raises
    ------
    InputError
        If the scenario, a name, the measure or the count is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        setting = settle(source, seed, throws)
        at = read_count(count)
        faults = [*faults_of_deciding(by), *([at] if isinstance(at, Fault) else [])]
        if faults:
            raise InputError([*faults_of_names(setting, "compare", pitches), *faults], setting.source)
        lineup = line_up(setting, "compare", pitches, intervals)
        if at is not None and not isinstance(at, Fault):
            lineup = replace(
                lineup, hitter=replace(lineup.hitter, situation=replace(lineup.hitter.situation, count=at))
            )
        more = 1 + 5 * counts + 3 * hitters  # as much work as the comparison itself takes, roughly
        answer = compare_lineup(lineup, lambda share: progress(share / more), by)
        result, done = answer.result, 1.0 / more
        if counts:
            told = by_count(lineup, by, lambda share: progress(done + share * 5 / more))
            result, done = replace(result, counts=told), done + 5 / more
        if hitters:
            before = by_hitter(lineup, by, lambda share: progress(done + share * (1.0 - done)))
            result = replace(result, hitters=before)
        return replace(answer, result=_with_words(setting.scenario, result))


def compare_lineup(lineup: Lineup, progress: Progress = lambda share: None, by: str = MEASURE) -> Answer[CompareResult]:
    """Compare the pitches of a lineup by a measure, and judge the rest of the mix beside them."""
    names, scenario, draws = lineup.compared, lineup.setting.scenario, lineup.setting.draws
    every = [*names, *(name for name in scenario.pitch if name not in names)]
    judged = [lineup.judge(name) for name in every]
    others = judge_others(lineup, [lineup.versions(name) for name in names])
    asked = [*((one, None) for one in judged), *((one, ALL_SWINGS) for one in others.values())]
    asked.sort(key=lambda one: one[0].name)  # what is thrown more than once is flown once
    measured = measure_pitches(asked, draws, progress)
    found = {one.name: measures for (one, only), measures in zip(asked, measured, strict=True) if only is None}
    beside = {one.name: measures for (one, only), measures in zip(asked, measured, strict=True) if only}
    warnings = list(lineup.warnings)
    for name in every:
        kept = found[name]["late_break_in"].throws[0]
        if kept < 0.9 * draws.throws:
            warnings.append(
                f"pitch.{name}: {100.0 * (1.0 - kept / draws.throws):.0f} % of the throws, or of the fastballs beside "
                "them, did not reach the plate in the air; what is told of flights leaves them out"
            )
    of_others = {one: beside[one][OF_PITCH] for one in others}
    for name, mix in mixes_of(lineup, {name: found[name][OF_PITCH] for name in names}, of_others).items():
        found[name][MIX] = mix
    estimates = {name: {key: one.estimate() for key, one in found[name].items()} for name in every}
    compared = {name: estimates[name] for name in names}
    mixes = {
        name: {other: {key: one.estimate(number) for key, one in beside[other].items()} for other in others}
        for number, name in enumerate(names)
    }
    result = CompareResult(
        lineup.fastball,
        compared,
        verdict(compared, {name: found[name][by] for name in names}, by),
        (),
        lineup.judged_among(names[0]),
        {name: one for name, one in estimates.items() if name not in names},
        mixes,
        estimators=found,
    )
    return answer_to(
        "compare",
        scenario,
        warnings,
        _with_words(scenario, result),
    )


def _with_words(scenario: Scenario, result: CompareResult) -> CompareResult:
    """Say in words what was found out."""
    reader = Reader(hand=scenario.pitcher.hand)
    one = result
    why = why_better(scenario, one.fastball, one.pitches, one.better, reader, one.mixes, one.hitters)
    return replace(result, why=tuple(map(str, why)))
