"""The question what a step on each lever does to each measure, and where the leak is."""

from __future__ import annotations

from dataclasses import dataclass, field

from latebreak.engine.errors import InputError
from latebreak.service.judging.estimates import Estimate
from latebreak.service.judging.lineup import Lineup, faults_of_pitch, line_up_for
from latebreak.service.judging.setting import Progress, one_blas_thread, settle
from latebreak.service.judging.versions import measure_side_by_side, measure_versions
from latebreak.service.plain import OPTIONAL
from latebreak.service.quantities import QUANTITIES, Reader
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.goal import faults_of_measure
from latebreak.service.questions.leaks import MEASURE, Leak, for_the_better, leaks_among, short_levers
from latebreak.service.questions.lever import BY_KEY, cut_step, levers_of
from latebreak.service.questions.levers_words import note_of, why_leaks
from latebreak.service.scenario import Source

#: Share of the work of the steps; the rest are the moves behind the leaks.
_STEPS = 0.8


@dataclass(frozen=True)
class Move:
    """What a step on a lever does.

    Attributes
    ----------
    step : float
        In the unit of the lever's key.
    measures : dict of str to Estimate
        Change of each measure, by key; empty where the step can't be thrown.
    note : str
        Why the step is cut or can't be thrown; empty for a whole step.
    """

    step: float
    measures: dict[str, Estimate]
    note: str = field(default="", metadata=OPTIONAL)


@dataclass(frozen=True)
class LeversResult:
    """What moves a pitch.

    Attributes
    ----------
    pitch, fastball : str
        The pitch, and the fastball that it is judged behind.
    now : dict of str to Estimate
        Every measure of the pitch as it is.
    levers : dict of str to Move
        By lever.
    leaks : dict of str to Leak
        By lever, the largest first.
    why : tuple of str
        The leaks in plain sentences in US units, of `why_leaks`.
    judged_among : str
        Among which pitches it is judged, with their shares.
    """

    pitch: str
    fastball: str
    now: dict[str, Estimate]
    levers: dict[str, Move]
    leaks: dict[str, Leak]
    why: tuple[str, ...]
    judged_among: str


def levers(
    source: Source,
    *,
    pitch: str,
    measure: str | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[LeversResult]:
    """Step on each lever of a pitch.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitch : str
        Name of the pitch; it is judged as `compare` does.
    measure : str, optional
        The one measure that is wanted, which takes less than half the time; default: all. Leaks are told in it where
        more of it, or less, is better, and else in misses per swing.
    intervals : bool, optional
        Whether to sample what is not known; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of LeversResult
        Changes come from common throws and a common ensemble, so they are surer than the measures themselves.

    Raises
    ------
    InputError
        If the scenario, the name or the measure is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        setting = settle(source, seed, throws)
        if measure is not None and (faults := faults_of_measure(measure)):
            raise InputError([*faults_of_pitch(setting, "levers", pitch), *faults], setting.source)
        return levers_in(line_up_for(setting, "levers", pitch, intervals), pitch, measure, progress)


def levers_in(
    lineup: Lineup, name: str, only: str | None = None, progress: Progress = lambda share: None
) -> Answer[LeversResult]:
    """Step on each lever of a pitch of a lineup."""
    scenario, draws = lineup.setting.scenario, lineup.setting.draws
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    reader = Reader(hand=hand)
    stands = {lever: lever.stands_at(entry, hand) for lever in levers_of(entry)}
    steps = {lever: cut_step(lever, now) for lever, now in stands.items()}
    versions = [entry, *(lever.moved(entry, hand, stands[lever] + step) for lever, step in steps.items())]
    found, on_target = measure_versions(lineup, name, versions, draws, only, lambda share: progress(_STEPS * share))
    moves = {
        lever.key: Move(
            step,
            {key: one.change(number, since=0) for key, one in found.items()} if on_target[number] else {},
            note_of(lever, stands[lever], step, bool(on_target[number]), reader),
        )
        for number, (lever, step) in enumerate(steps.items(), 1)
    }
    costs = only if only is not None and QUANTITIES[only].better else MEASURE
    leaks = _leaks(lineup, name, costs, lambda share: progress(_STEPS + (1.0 - _STEPS) * share))
    now = measure_side_by_side(lineup, lineup.versions(name), draws, only)
    warnings = [f"{key}: {move.note}" for key, move in moves.items() if move.note]
    return answer_to(
        "levers",
        scenario,
        (*lineup.warnings, *warnings),
        LeversResult(
            name,
            lineup.fastball,
            {key: one.estimate() for key, one in now.items()},
            moves,
            leaks,
            tuple(map(str, why_leaks(scenario, name, leaks, reader, costs))),
            lineup.judged_among(name),
        ),
        proposes_more=True,
    )


def _leaks(lineup: Lineup, name: str, measure: str, progress: Progress) -> dict[str, Leak]:
    scenario, draws = lineup.setting.scenario, lineup.setting.draws
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    short = short_levers(scenario, name)
    if not short:
        return {}
    good = [BY_KEY[key].moved(entry, hand, goal) for key, (_, goal) in short.items()]
    found, on_target = measure_versions(lineup, name, [entry, *good], draws, measure, progress)
    gains = {
        key: for_the_better(found[measure].change(number), measure)
        for number, key in enumerate(short, 1)
        if on_target[number]
    }
    return leaks_among(short, gains, measure)
