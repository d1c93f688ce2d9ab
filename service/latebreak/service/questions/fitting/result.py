"""What `fit` finds out: fitted values with how sure they are, flagged rows, changes, and the scenario."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from latebreak.engine.inverse.fitted import Origin
from latebreak.service.quantities import SPREAD
from latebreak.service.questions.answer import Estimate, Json, dicts
from latebreak.service.questions.following.result import GoalProgress
from latebreak.service.throws import Flag


@dataclass(frozen=True)
class Flagged:
    """A row, or a cell of it, that was not used, and the file that holds it."""

    source: str
    flag: Flag

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {"file": self.source, **vars(self.flag)}


@dataclass(frozen=True)
class PitchFit:
    """What the throws of one pitch tell.

    Attributes
    ----------
    role : str or None
        Of the pitch; None where nothing could be fitted.
    count, used : int
        Rows of this pitch, and how many of them its values rest on.
    sessions : dict of str to int
        Usable throws of every session, earliest first; the values rest on the last.
    flagged : tuple of Flagged
        Rows and cells that were left out.
    values : dict of str to Estimate
        By key of the scenario; spreads as `spread.KEY`.
    origin : dict of str to {"measured", "inferred", "assumed"}
        By the same keys.
    learned : tuple of str
        What these throws tell and what they can't.
    """

    role: str | None
    count: int
    used: int
    sessions: dict[str, int]
    flagged: tuple[Flagged, ...]
    values: dict[str, Estimate] = field(default_factory=dict)
    origin: dict[str, Origin] = field(default_factory=dict)
    learned: tuple[str, ...] = ()

    def to_dict(self) -> Json:
        """Return the JSON object; the spreads stand in a table of their own."""
        spread = {key.removeprefix(SPREAD): value for key, value in self.values.items() if key.startswith(SPREAD)}
        return {
            "role": self.role,
            "count": self.count,
            "used": self.used,
            "sessions": [{"session": name, "used": used} for name, used in self.sessions.items()],
            "flagged": [one.to_dict() for one in self.flagged],
            **dicts({key: value for key, value in self.values.items() if not key.startswith(SPREAD)}),
            "spread": dicts(spread),
            "origin": dict(self.origin),
            "learned": list(self.learned),
        }


@dataclass(frozen=True)
class Change:
    """Later minus earlier, with the chance (percent) that it has the sign it shows."""

    estimate: Estimate
    chance_percent: float

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {**self.estimate.to_dict(), "chance_percent": self.chance_percent}


@dataclass(frozen=True)
class FitResult:
    """A scenario from measured throws.

    Attributes
    ----------
    pitches : dict of str to PitchFit
        By name.
    rows : dict of str to int
        Rows that were `read`, and of these `used` and `left_out`.
    unreadable : tuple of Flagged
        Rows of which not even the pitch can be told.
    scenario : str
        TOML text.
    changes : dict of str to dict of str to Change
        By pitch and key, between first and last session; empty where there is one.
    moved : dict of str to tuple of str
        The same in plain sentences in US units, of `moved`.
    goal : GoalProgress or None
        How far a goal is; None where none was given.
    """

    pitches: dict[str, PitchFit]
    rows: dict[str, int]
    unreadable: tuple[Flagged, ...]
    scenario: str
    changes: Mapping[str, dict[str, Change]] = field(default_factory=dict)
    moved: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    goal: GoalProgress | None = None

    def to_dict(self) -> Json:
        """Return the JSON object; `changes` and `moved` are absent without a second session, `goal` without one."""
        between: Json = {}
        if self.changes:
            between = {
                "changes": {name: dicts(changes) for name, changes in self.changes.items()},
                "moved": {name: list(sentences) for name, sentences in self.moved.items()},
            }
        return {
            "pitches": dicts(self.pitches),
            "rows": dict(self.rows),
            "unreadable": [one.to_dict() for one in self.unreadable],
            "scenario": self.scenario,
            **between,
            **({} if self.goal is None else {"goal": self.goal.to_dict()}),
        }
