"""From the fitted sessions of a pitch to how far its goal is."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from latebreak.engine.errors import Fault, InputError
from latebreak.service.judging.setting import Progress as Told
from latebreak.service.quantities import Reader
from latebreak.service.questions.fitting.base import Base
from latebreak.service.questions.fitting.entry import entry_of
from latebreak.service.questions.fitting.values import Known
from latebreak.service.questions.following.judged import judge_sessions
from latebreak.service.questions.following.kept_goal import KeptGoal
from latebreak.service.questions.following.progress_words import progress_said
from latebreak.service.questions.following.result import GoalProgress, SessionProgress
from latebreak.service.questions.following.shares import lever_progress
from latebreak.service.wording import did_you_mean, shown


def check_thrown(goal: KeptGoal, thrown: Sequence[str], source: str) -> None:
    """Refuse throws none of which is of the pitch.

    Raises
    ------
    InputError
        Then nothing can be said of the goal.
    """
    if goal.pitch not in thrown:
        allowed = ", ".join(map(shown, thrown))
        remedy = did_you_mean(goal.pitch, thrown) or "name it in the goal's file as the column `pitch` does"
        raise InputError([Fault("goal.pitch", f"no throw is of a pitch {shown(goal.pitch)}", allowed, remedy)], source)


def follow(
    goal: KeptGoal,
    base: Base,
    last: Mapping[str, Any],
    known: Sequence[Known],
    sessions: Sequence[str],
    progress: Told,
) -> tuple[GoalProgress, list[str]]:
    """Say how far a goal is.

    Parameters
    ----------
    goal : KeptGoal
        What is wanted.
    base : Base
        Of the fit.
    last : mapping
        The scenario of the last session.
    known : sequence of Known
        The pitch in every session that it was thrown in, earliest first; at least one.
    sessions : sequence of str
        Every session, earliest first.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    GoalProgress
        Session by session.
    list of str
        Warnings.
    """
    entries = [entry_of(one, base, reference=False) for one in known]
    judged = judge_sessions(goal, base, last, entries, progress)
    stood = base.scenario.pitch[goal.pitch].spread if judged.beside == "goal" else None
    told = {
        one.session: SessionProgress(
            one.session,
            one.fitted.count,
            measure,
            {
                key: progressed
                for key, road in goal.roads.items()
                if (progressed := lever_progress(key, road, one, stood)) is not None
            },
        )
        for one, measure in zip(known, judged.sessions, strict=True)
    }
    result = GoalProgress(goal, judged.beside, tuple(told.get(name, SessionProgress(name, 0)) for name in sessions))
    said = tuple(map(str, progress_said(result, base.scenario, Reader(hand=base.scenario.pitcher.hand))))
    return replace(result, said=said), [*_of_another(goal, base), *_unjudged(goal, judged.trouble, judged.sessions)]


def _of_another(goal: KeptGoal, base: Base) -> list[str]:
    """Warn where goal and base seem to be of two pitchers."""
    own, other = base.scenario.pitcher, goal.pitcher
    pairs = {
        "of hand": (own.hand, other.hand),
        "of level": (own.level, other.level),
        "of": (_plain(base.scenario.title), _plain(goal.title)),
    }
    differ = [
        f"the goal is {what} {shown(its)}, the base {shown(mine)}" for what, (mine, its) in pairs.items() if mine != its
    ]
    return [f"is this goal of another pitcher? {'; '.join(differ)}"] if differ else []


def _plain(title: str) -> str:
    """Return the title that a scenario had before it was fitted."""
    return re.sub(r" \(fitted to .*\)$", "", title)


def _unjudged(goal: KeptGoal, trouble: str, sessions: Sequence[object]) -> list[str]:
    if trouble:
        return [f"pitch.{goal.pitch}: how far {goal.measure} is from its goal can't be said: {trouble}"]
    lost = sum(one is None for one in sessions)
    return [f"pitch.{goal.pitch}: {goal.measure} has no value in {lost} of the sessions"] if lost else []
