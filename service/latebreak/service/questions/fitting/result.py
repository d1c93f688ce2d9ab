"""What `fit` finds out: fitted values with how sure they are, flagged rows, changes, and the scenario."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Self

from latebreak.engine.inverse.fitted import Origin
from latebreak.service.plain import LIFTED, OPTIONAL, built
from latebreak.service.quantities import SPREAD
from latebreak.service.questions.answer import Estimate, Json
from latebreak.service.questions.following.result import GoalProgress
from latebreak.service.throws import Flag


@dataclass(frozen=True)
class Flagged:
    """A row, or a cell of it, that was not used, and the file that holds it."""

    file: str
    flag: Flag = field(metadata=LIFTED)


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

    def parts(self) -> Json:
        """Return what is told: the spreads stand in a table of their own."""
        spread = {key.removeprefix(SPREAD): value for key, value in self.values.items() if key.startswith(SPREAD)}
        return {
            "role": self.role,
            "count": self.count,
            "used": self.used,
            "sessions": [{"session": name, "used": used} for name, used in self.sessions.items()],
            "flagged": self.flagged,
            **{key: value for key, value in self.values.items() if not key.startswith(SPREAD)},
            "spread": spread,
            "origin": self.origin,
            "learned": self.learned,
        }

    @classmethod
    def of_parts(cls, found: Mapping[str, Any]) -> Self:
        """Build it from what is told."""
        own = ("role", "count", "used", "sessions", "flagged", "spread", "origin", "learned")
        values = {key: one for key, one in found.items() if key not in own}
        values |= {SPREAD + key: one for key, one in found.get("spread", {}).items()}
        return cls(
            found.get("role"),
            found["count"],
            found["used"],
            {one["session"]: one["used"] for one in found["sessions"]},
            built(tuple[Flagged, ...], found["flagged"]),
            built(dict[str, Estimate], values),
            dict(found["origin"]),
            tuple(found["learned"]),
        )


@dataclass(frozen=True)
class Change:
    """Later minus earlier, with the chance (percent) that it has the sign it shows."""

    estimate: Estimate = field(metadata=LIFTED)
    chance_percent: float


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
    changes: Mapping[str, dict[str, Change]] = field(default_factory=dict, metadata=OPTIONAL)
    moved: Mapping[str, tuple[str, ...]] = field(default_factory=dict, metadata=OPTIONAL)
    goal: GoalProgress | None = field(default=None, metadata=OPTIONAL)
