"""How far a goal is, session by session."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from latebreak.service.judging.estimates import Estimate
from latebreak.service.plain import OPTIONAL
from latebreak.service.questions.following.kept_goal import KeptGoal

#: Behind whose fastball and at whose target sessions were judged: the base's, of which the goal was asked; or those of
#: the last session; or nothing could be judged.
Beside = Literal["goal", "last", ""]


@dataclass(frozen=True)
class Progress:
    """How far one quantity has come toward what is wanted of it.

    Attributes
    ----------
    estimate : Estimate
        Where it stands, in the unit of its key.
    share_percent : Estimate or None
        Share of the way from where it stood to what is wanted; below 0 it went the other way. None where there was no
        way to go.
    chance_percent : float or None
        Chance that it truly is there, or beyond; None where none can be told.
    """

    estimate: Estimate
    share_percent: Estimate | None = field(metadata=OPTIONAL)
    chance_percent: float | None = field(metadata=OPTIONAL)


@dataclass(frozen=True)
class SessionProgress:
    """One session.

    Attributes
    ----------
    session : str
        Its name; "" where there is one.
    used : int
        Throws of the pitch that count; 0 where it was not thrown.
    measure : Progress or None
        None where it could not be judged.
    levers : dict of str to Progress
        By key, of the roads those that these throws tell something about.
    """

    session: str
    used: int
    measure: Progress | None = field(default=None, metadata=OPTIONAL)
    levers: dict[str, Progress] = field(default_factory=dict)


@dataclass(frozen=True)
class GoalProgress:
    """How far a goal is.

    Attributes
    ----------
    kept : KeptGoal
        What is wanted.
    beside : {"goal", "last", ""}
        Behind whose fastball and at whose target every session was judged.
    sessions : tuple of SessionProgress
        Earliest first.
    said : tuple of str
        The same in plain sentences in US units, of `progress_said`.
    """

    kept: KeptGoal
    beside: Beside
    sessions: tuple[SessionProgress, ...]
    said: tuple[str, ...] = ()
