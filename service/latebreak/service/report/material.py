"""What a page shows: every answer about one scenario, asked of the same pitches on the same draws."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from threading import Lock

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.setting import Progress, one_blas_thread, settle
from latebreak.service.questions import (
    AimResult,
    Answer,
    CompareResult,
    FitResult,
    LeversResult,
    MixResult,
    PortraitResult,
    ReachResult,
    fit,
)
from latebreak.service.questions.aim import aim_in
from latebreak.service.questions.compare import compare_lineup
from latebreak.service.questions.fit import Later
from latebreak.service.questions.goal import usual_goal
from latebreak.service.questions.levers import levers_in
from latebreak.service.questions.mix import faults_of_number, mix_in
from latebreak.service.questions.portray import portray_lineup
from latebreak.service.questions.reach import asked_of, reach_in
from latebreak.service.questions.verdict import MEASURE, ranked
from latebreak.service.scenario import Scenario, Source, parse
from latebreak.service.throws import Columns
from latebreak.service.wording import did_you_mean, shown

#: Share of the work that the comparison is, for the progress.
_COMPARED = 0.2


@dataclass(frozen=True)
class Measured:
    """Throws from which a scenario is made before it is asked about.

    Attributes
    ----------
    throws, later : str or Path
        CSV files, or names of ready ones; the second of a later session, several of several, or None.
    columns : str, Path, mapping or None
        Column map of the files.
    fastball : str or None
        Which pitch is the fastball.
    goal : str, Path or None
        File of a goal: how far it is is shown too.
    """

    throws: str | Path
    later: Later = None
    columns: Columns | None = None
    fastball: str | None = None
    goal: str | Path | None = None


@dataclass(frozen=True)
class Material:
    """Answers about one scenario.

    Attributes
    ----------
    scenario : Scenario
        What was asked about.
    compared : Answer of CompareResult
        Every measure of the compared pitches, and which makes the better mix.
    portrayed : Answer of PortraitResult
        What can be drawn of them.
    pitch : str
        The pitch to work on.
    levers : Answer of LeversResult
        What a step on each of its levers does to the measure that is to reach a goal.
    reached : Answer of ReachResult
        What it takes to reach a goal, one lever at a time: no pairs of speed and spin rate.
    aimed : Answer of AimResult
        Where that pitch should be aimed.
    mixed : Answer of MixResult or None
        How often each pitch should be thrown; None where they are too many for that question.
    fitted : Answer of FitResult or None
        Where the scenario was made from measured throws.
    """

    scenario: Scenario
    compared: Answer[CompareResult]
    portrayed: Answer[PortraitResult]
    pitch: str
    levers: Answer[LeversResult]
    reached: Answer[ReachResult]
    aimed: Answer[AimResult]
    mixed: Answer[MixResult] | None = None
    fitted: Answer[FitResult] | None = None


def gather(
    source: Source,
    *,
    measured: Measured | None = None,
    pitches: Sequence[str] | None = None,
    pitch: str | None = None,
    measure: str = MEASURE,
    goal: str | float | None = None,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Material:
    """Ask everything that a page shows.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one; with measured throws, their base.
    measured : Measured, optional
        Throws from which the scenario is made first.
    pitches : sequence of str, optional
        The pitches to compare, by key or as the page calls them; default: all that are no fastballs.
    pitch : str, optional
        The compared pitch to work on, likewise; default: the leader.
    measure, goal : str, optional
        What that pitch is to reach, as `reach` takes it; default: `usual_goal` of the measure that decides.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Raises
    ------
    InputError
        If the scenario, the throws, a name, the measure or the goal is at fault, or there is no fastball.
    ScenarioFileError, ThrowsFileError
        If a file can't be read.
    """
    goal = usual_goal(measure) if goal is None else goal
    fitted = None
    if measured is not None:
        fitted = fit(
            measured.throws,
            base=source,
            later=measured.later,
            columns=measured.columns,
            fastball=measured.fastball,
            goal=measured.goal,
            seed=seed,
            throws_per_pitch=throws,
        )
        source = parse(fitted.result.scenario, "the scenario from the throws")
    with one_blas_thread():
        setting = settle(source, seed, throws)
        setting = replace(setting, scenario=with_names(setting.scenario))
        keys = {setting.scenario.called(key): key for key in setting.scenario.pitch}
        pitch = None if pitch is None else keys.get(pitch, pitch)
        pitches = None if pitches is None else [keys.get(name, name) for name in pitches]
        lineup = line_up(setting, "compare", pitches, intervals=True)
        if pitch is not None and pitch not in lineup.compared:
            allowed = "any of " + ", ".join(lineup.compared)
            problem = f"{shown(pitch)} is none of the compared pitches"
            raise InputError([Fault("pitch", problem, allowed, did_you_mean(pitch, lineup.compared))], setting.source)
        asked_of(setting, pitch or lineup.compared[0], measure, goal)  # faults are said before the work is done
        compared = compare_lineup(lineup, lambda share: progress(_COMPARED * share))
        pitch = pitch or ranked(compared.result.pitches, compared.result.better.measure)[0]
        mixes = not faults_of_number(setting)
        done, one_by_one = dict.fromkeys(("steps", "roads", "aim", *(["mix"] if mixes else [])), 0.0), Lock()

        def part(name: str, share: float) -> None:
            with one_by_one:
                done[name] = share
                progress(_COMPARED + (1.0 - _COMPARED) * sum(done.values()) / len(done))

        with ThreadPoolExecutor(2) as threads:  # most of the work lets go of the interpreter
            levers = threads.submit(levers_in, lineup, pitch, measure, partial(part, "steps"))
            roads = threads.submit(reach_in, lineup, pitch, measure, goal, pairs=False, progress=partial(part, "roads"))
            aims = threads.submit(aim_in, lineup, pitch, progress=partial(part, "aim"))
            mixed = threads.submit(mix_in, lineup, partial(part, "mix")) if mixes else None
            portraits = portray_lineup(lineup)
        progress(1.0)
        return Material(
            setting.scenario,
            compared,
            portraits,
            pitch,
            levers.result(),
            roads.result(),
            aims.result(),
            None if mixed is None else mixed.result(),
            fitted,
        )


def with_names(scenario: Scenario) -> Scenario:
    """Give every pitch a name that people read: its own, else its key in plain letters."""
    taken = {entry.name for entry in scenario.pitch.values()}
    named = {}
    for key, entry in scenario.pitch.items():
        plain = key.replace("_", " ").replace("-", " ").strip()
        plain = plain[:1].upper() + plain[1:]
        use = plain if entry.name is None and plain and plain not in taken else entry.name
        taken.add(use)
        named[key] = entry.model_copy(update={"name": use})
    return scenario.model_copy(update={"pitch": named})
