"""The question how much must be added: the change of each lever that takes a measure of a pitch to a goal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Self, get_type_hints

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.estimates import Estimate
from latebreak.service.judging.lineup import Lineup, faults_of_pitch, line_up_for
from latebreak.service.judging.setting import Progress, Setting, one_blas_thread, settle
from latebreak.service.plain import built
from latebreak.service.quantities import SPREAD_SCALE
from latebreak.service.questions.answer import Answer, Json, answer_to
from latebreak.service.questions.frontier import FrontierPoint
from latebreak.service.questions.goal import Goal, faults_of_measure, read_goal
from latebreak.service.questions.lever import LEVERS, Lever, levers_of
from latebreak.service.questions.road import Road
from latebreak.service.questions.search import Search
from latebreak.service.scenario import Source, reference_fastball
from latebreak.service.wording import did_you_mean, shown

#: Levers that are tried where none are named: what an arm, a grip, an aim and practice can change.
USUAL = (
    "speed_mph", "spin_rpm", "efficiency_percent", "break_clock_deg", "target_height_ft", "launch_elevation_deg",
    SPREAD_SCALE,
)  # fmt: skip


@dataclass(frozen=True)
class ReachResult:
    """The roads to a goal.

    Attributes
    ----------
    pitch, fastball : str
        The pitch, and the fastball that it is judged behind.
    measure : str
        Key of the measure.
    goal : Goal
        As asked.
    goal_value : float
        What the measure is to be.
    now : Estimate
        What it is.
    levers : dict of str to Road
        By lever.
    frontier : tuple of FrontierPoint
        Pairs of speed and spin rate that reach the goal.
    judged_among : str
        Among which pitches it is judged, with their shares.
    """

    pitch: str
    fastball: str
    measure: str
    goal: Goal
    goal_value: float
    now: Estimate
    levers: dict[str, Road]
    frontier: tuple[FrontierPoint, ...]
    judged_among: str

    def parts(self) -> Json:
        """Return what is told: the value of the goal stands in its table."""
        of = {"pitch": self.goal.pitch} if self.goal.pitch else {"number": self.goal.number}
        told = {key: value for key, value in vars(self).items() if key != "goal_value"}
        return {**told, "goal": {"kind": self.goal.kind, **of, "value": self.goal_value}}

    @classmethod
    def of_parts(cls, found: Json) -> Self:
        """Build it from what is told."""
        goal = found["goal"]
        own = {"goal": Goal(goal["kind"], goal.get("number", 0.0), goal.get("pitch", "")), "goal_value": goal["value"]}
        hints = {key: kind for key, kind in get_type_hints(cls).items() if key not in own}
        return cls(**own, **{key: built(kind, found[key]) for key, kind in hints.items()})


def reach(
    source: Source,
    *,
    pitch: str,
    measure: str,
    goal: str | float,
    by: Sequence[str] | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    progress: Progress = lambda share: None,
) -> Answer[ReachResult]:
    """Find how far each lever must be moved until a measure of a pitch reaches a goal.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitch : str
        Name of the pitch; it is judged as `compare` does.
    measure : str
        Key of an estimate of `compare`.
    goal : str or float
        A value (14.5, "=-3"), a change ("+2", "-2"), or "like:PITCH".
    by : sequence of str, optional
        Keys of the levers to try, one at a time; default: `USUAL`.
    intervals : bool, optional
        Whether to sample what is not known; False is faster.
    seed, throws : int, optional
        In place of the scenario's own.
    progress : callable, optional
        Told the share of the work that is done.

    Returns
    -------
    Answer of ReachResult
        Where the response is not monotone, the nearest root counts, and it is said.

    Raises
    ------
    InputError
        If the scenario or what is asked is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        setting = settle(source, seed, throws)
        asked = asked_of(setting, pitch, measure, goal, by)
        return _reach(line_up_for(setting, "reach", pitch, intervals), pitch, measure, *asked, progress)


def reach_in(
    lineup: Lineup,
    pitch: str,
    measure: str,
    goal: str | float,
    by: Sequence[str] | None = None,
    progress: Progress = lambda share: None,
    *,
    pairs: bool = True,
) -> Answer[ReachResult]:
    """Find how far each lever of a pitch of a lineup must be moved; `pairs` of speed and spin rate too, or not.

    Raises
    ------
    InputError
        If what is asked is at fault.
    """
    return _reach(lineup, pitch, measure, *asked_of(lineup.setting, pitch, measure, goal, by), progress, pairs=pairs)


def _reach(
    lineup: Lineup,
    pitch: str,
    measure: str,
    goal: Goal,
    levers: list[Lever],
    progress: Progress,
    *,
    pairs: bool = True,
) -> Answer[ReachResult]:
    setting, scenario = lineup.setting, lineup.setting.scenario
    search = Search(lineup, pitch, measure, goal, progress)
    if not isfinite(search.goal_value):
        problem = f"{goal.pitch or pitch} has no {measure} as it is, from which a goal could be told"
        raise InputError([Fault("goal", problem, "a value, such as 14.5")], setting.source)
    roads = search.roads(levers)
    return answer_to(
        "reach",
        scenario,
        (*lineup.warnings, *search.warnings),
        ReachResult(
            pitch,
            lineup.fastball,
            measure,
            goal,
            search.goal_value,
            search.now,
            roads,
            search.frontier() if pairs else (),
            lineup.judged_among(pitch),
        ),
        proposes_more=True,
    )


def asked_of(
    setting: Setting,
    pitch: str,
    measure: str,
    written: str | float,
    by: Sequence[str] | None = None,
) -> tuple[Goal, list[Lever]]:
    """Read what is asked of a pitch: the goal and the levers.

    Raises
    ------
    InputError
        With all that is at fault.
    """
    pitches = setting.scenario.pitch
    faults = [*faults_of_pitch(setting, "reach", pitch), *faults_of_measure(measure)]
    fastball = reference_fastball(setting.scenario)
    goal = read_goal(written, [name for name in pitches if name not in (pitch, fastball)])
    if isinstance(goal, Fault):
        faults.append(goal)
    there = {lever.key: lever for lever in (levers_of(pitches[pitch]) if pitch in pitches else LEVERS)}
    names = [key for key in USUAL if key in there] if by is None else list(dict.fromkeys(by))
    for name in names:
        if name not in there:
            problem = f"{shown(pitch)} has no lever {shown(name)}"
            faults.append(Fault("by", problem, "any of " + ", ".join(there), did_you_mean(name, there)))
    if not names:
        faults.append(Fault("by", "no lever is named", "any of " + ", ".join(there)))
    if faults:
        raise InputError(faults, setting.source)
    assert isinstance(goal, Goal)  # a fault would have been raised
    return goal, [there[name] for name in names]
