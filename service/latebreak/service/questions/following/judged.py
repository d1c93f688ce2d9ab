"""A goal's measure, session by session: every session's pitch thrown behind one fastball and at one target."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot, isclose, isfinite
from typing import Any

import numpy as np

from latebreak.engine.errors import InputError
from latebreak.service.judging.estimates import ENOUGH, Estimate, Estimator, chance_of_lead
from latebreak.service.judging.lineup import Lineup, compared_with, line_up
from latebreak.service.judging.setting import Progress as Told
from latebreak.service.judging.setting import settle
from latebreak.service.judging.versions import measure_side_by_side
from latebreak.service.questions.fitting.base import Base
from latebreak.service.questions.fitting.session_changes import with_versions
from latebreak.service.questions.following.kept_goal import KeptGoal
from latebreak.service.questions.following.result import Beside, Progress
from latebreak.service.questions.following.shares import share_of, way_of
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import Scenario, from_mapping, reference_fastball
from latebreak.service.scenario.pitch_entry import NAME_LENGTH

#: How near numbers of a file, of six digits, lie to those that were written, relative.
_WRITTEN = 1e-5


@dataclass(frozen=True)
class Judged:
    """What became of judging: by session, in order; None where a measure has no value.

    Attributes
    ----------
    beside : {"goal", "last", ""}
        As of `GoalProgress`.
    sessions : tuple of Progress or None
        By session.
    trouble : str
        Why nothing could be judged; empty where it could.
    """

    beside: Beside
    sessions: tuple[Progress | None, ...]
    trouble: str = ""


def judge_sessions(
    goal: KeptGoal, base: Base, last: Mapping[str, Any], entries: Sequence[Mapping[str, Any]], progress: Told
) -> Judged:
    """Judge the pitch of every session.

    The base holds the fastball, the target and the other pitches where it is the scenario that the goal was asked of:
    then nothing but the pitch differs from where it stood. Else they are those of the last session, as for changes, and
    no share of the way is told: another fastball or target alone would be half of it.

    Parameters
    ----------
    goal : KeptGoal
        What is wanted.
    base : Base
        Of the fit.
    last : mapping
        The scenario of the last session.
    entries : sequence of mapping
        Tables of the pitch, session by session; the last is that of `last`.
    progress : callable
        Told the share of the work that is done.
    """
    try:
        if _may_be_asked_of(goal, base):
            asked = _without_errors(base.scenario, goal.pitch)
            versions = dict(zip(_names(goal.pitch, asked["pitch"], len(entries)), entries, strict=True))
            found = _judged(goal, asked, versions, progress)
            if _is_asked_of(goal, found[goal.pitch].estimate()):
                reference = found[goal.pitch]
                like = found.get(goal.goal.pitch or "")
                return Judged("goal", tuple(_progress(goal, found[name], reference, like) for name in versions))
        if reference_fastball(from_mapping(last).scenario) in (None, goal.pitch):
            return Judged("", tuple(None for _ in entries), "there is no fastball to judge it behind")
        before = _names(goal.pitch, last["pitch"], len(entries) - 1)
        versions = dict(zip(before, entries[:-1], strict=True))
        found = _judged(goal, last, versions, progress)
        like = found.get(goal.goal.pitch or "")
        return Judged("last", tuple(_progress(goal, found[name], None, like) for name in [*before, goal.pitch]))
    except InputError as error:
        return Judged("", tuple(None for _ in entries), "; ".join(fault.problem for fault in error.faults))


def _names(name: str, taken: Mapping[str, Any], count: int) -> list[str]:
    """Return names for versions of a pitch, none of which is taken."""
    mark = ""
    while any(f"{mark})" in other for other in taken):
        mark += "'"
    return [f"{name[: NAME_LENGTH - 20]} ({number}{mark})" for number in range(1, count + 1)]


def _may_be_asked_of(goal: KeptGoal, base: Base) -> bool:
    """Whether the levers of the base's pitch stand where they stood when the goal was written."""
    entry, hand = base.scenario.pitch.get(goal.pitch), base.scenario.pitcher.hand
    if entry is None or base.fastball in (None, goal.pitch) or hand != goal.pitcher.hand:
        return False
    stand = {key: BY_KEY[key].stands_at(entry, hand) for key in goal.roads if _has(entry, key)}
    return len(stand) == len(goal.roads) and all(
        isclose(stand[key], road.now, rel_tol=_WRITTEN, abs_tol=_WRITTEN) for key, road in goal.roads.items()
    )


def _has(entry: Any, key: str) -> bool:
    """Whether a pitch has a lever: it is aimed by a target or by launch angles."""
    return "." in key or key in ("spread_scale", "efficiency_percent") or getattr(entry, key) is not None


def _is_asked_of(goal: KeptGoal, now: Estimate) -> bool:
    """Whether the measure stands where it stood, but for other draws."""
    error = hypot(*(one for one in (now.sampling_error, goal.now.sampling_error or 0.0) if isfinite(one)))
    return abs(now.value - goal.now.value) <= _WRITTEN * max(abs(goal.now.value), 1.0) + 3.0 * error


def _without_errors(scenario: Scenario, name: str) -> dict[str, Any]:
    """Return the tables of a scenario, one pitch known exactly: a goal starts at a point that was written down.

    A coefficient without an error of its own is left as it is: nobody knew it.
    """
    tables = scenario.model_dump(exclude_none=True)
    entry = tables["pitch"][name]
    for key in ("mean_error", "spread_error"):
        entry[key] = dict.fromkeys(entry.get(key, {}), 0.0)
    return tables


def _judged(
    goal: KeptGoal, mapping: Mapping[str, Any], versions: Mapping[str, Mapping[str, Any]], progress: Told
) -> dict[str, Estimator]:
    """Judge the pitch, its versions, and the pitch that it is likened to, as `compare` judges them."""
    scenario = from_mapping(mapping).scenario
    setting = settle(from_mapping(with_versions(mapping, scenario.hitter.expects, goal.pitch, versions)), None, None)
    compared = compared_with(settle(scenario, None, None), "fit", goal.pitch)
    lineup: Lineup = line_up(setting, "fit", [*compared, *versions], intervals=True)
    names = [goal.pitch, *versions]
    if goal.goal.kind == "like" and goal.goal.pitch in scenario.pitch:
        names.append(str(goal.goal.pitch))
    found = {}
    for number, name in enumerate(names):
        progress(number / len(names))
        found[name] = measure_side_by_side(lineup, lineup.versions(name), setting.draws, goal.measure)[goal.measure]
    return found


def _progress(goal: KeptGoal, one: Estimator, reference: Estimator | None, like: Estimator | None) -> Progress | None:
    """Say how far a session is from where the pitch stood, which has no doubt in common with it but its own."""
    estimate, wanted = one.estimate(), goal.goal
    if not isfinite(estimate.value):
        return None
    change = None if reference is None else reference.beside(one).change(1, since=0)
    share = None if change is None else share_of(change, wanted.value - goal.now.value)
    way = way_of(goal.measure, goal.now.value, wanted.value)
    if wanted.kind == "value":
        return Progress(estimate, share, _chance(one, None, wanted.value, way))
    there, more = (like, 0.0) if wanted.kind == "like" else (reference, wanted.number or 0.0)
    return Progress(estimate, share, None if there is None else _chance(one, there, more, way))


def _chance(one: Estimator, there: Estimator | None, more: float, way: int) -> float | None:
    """Chance (percent) that a measure is at least `more` beyond what another has, or beyond 0 where there is none."""
    usable = one.usable[0] if there is None else one.usable[0] & there.usable[0]
    if one.members is None or (there is not None and there.members is None) or not way or usable[1:].sum() < ENOUGH:
        return None
    reached, wanted = (
        np.zeros(usable.size) if each is None or each.members is None
        # moved so that the scenario's own values, from fewer throws, lie at those from all throws
        else each.members[0] - each.members[0, 0] + each.value[0]
        for each in (one, there)
    )  # fmt: skip
    return chance_of_lead(way * reached[1:][usable[1:]], way * (wanted + more)[1:][usable[1:]])
