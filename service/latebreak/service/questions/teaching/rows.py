"""Which rows of a record of swings count, and what they say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.service.scenario.section import Hand
from latebreak.service.throws import Flag, Throws
from latebreak.service.wording import did_you_mean, shown

Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: Columns that every record has, with what each says and what it may hold.
NEEDED = {
    "bats": ("the side from which the hitter bats", "right, left"),
    "balls": ("balls before the pitch", "0 to 3"),
    "strikes": ("strikes before the pitch", "0 to 2"),
    "swing": ("whether he swung", "yes, no"),
    "miss": ("whether he swung and missed", "yes, no"),
    "day": ("on which day it was", "a date, or any name"),
}


@dataclass(frozen=True, eq=False)
class SwingRows:
    """The rows that count; n of them.

    Attributes
    ----------
    throws : Throws
        Their measured part, with all flags.
    bats, hand, pitcher : tuple of str, length n
        Sides of hitter and pitcher, and who threw; "" where the file does not tell the pitcher.
    hitter : tuple of str or None, length n
        Who hit.
    balls, strikes : int array, shape (n,)
        Before the pitch.
    swung, missed : bool array, shape (n,)
        What he did.
    day : int array, shape (n,)
        Number of the day, in the order of their names.
    other_levels : int
        Rows that were left out because their hitters are of another level.
    """

    throws: Throws
    bats: tuple[str, ...]
    hand: tuple[str, ...]
    pitcher: tuple[str, ...]
    hitter: tuple[str | None, ...]
    balls: Numbers
    strikes: Numbers
    swung: Flags
    missed: Flags
    day: Numbers
    other_levels: int


def swing_rows(throws: Throws, level: str, hand: Hand) -> SwingRows:
    """Take the rows that tell all that is needed of them.

    Parameters
    ----------
    throws : Throws
        Without outliers.
    level : str
        Of the hitters: rows of another level don't count.
    hand : str
        The pitcher's, where the file does not say it.

    Raises
    ------
    InputError
        A column is missing, or no row is left.
    """
    faults = list(_missing(throws))
    if faults:
        raise InputError(faults, throws.source)
    words, n = throws.words, len(throws)
    other = np.array([one not in (None, level) for one in words.get("level", [None] * n)], dtype=bool)
    flagged, keep = list(throws.flags), ~other
    for row in np.flatnonzero(keep).tolist():
        reason = _trouble({key: words[key][row] for key in NEEDED})
        if reason:
            flagged.append(Flag(int(throws.line[row]), throws.pitch[row], "", f"{reason}; the row is not used", True))
            keep[row] = False
    if not keep.any():
        reasons = "; ".join(f"line {flag.line}: {flag.reason}" for flag in flagged[:3])
        allowed = f"at least one pitch to a hitter of level {level}, with {', '.join(NEEDED)}"
        raise InputError(
            [Fault("", f"no row can be used ({reasons or 'all are of other levels'})", allowed)], throws.source
        )

    def column(key: str, default: str | None) -> tuple[str | None, ...]:
        values = words.get(key, (default,) * n)
        return tuple(values[i] or default for i in np.flatnonzero(keep).tolist())

    def text(key: str, default: str = "") -> tuple[str, ...]:
        return tuple(value or "" for value in column(key, default))

    return SwingRows(
        _with_flags(throws, keep, flagged),
        text("bats"),
        text("throws", hand),
        text("pitcher"),
        column("hitter", None),
        np.array(text("balls"), dtype=np.int64),
        np.array(text("strikes"), dtype=np.int64),
        np.array(text("swing")) == "yes",
        np.array(text("miss")) == "yes",
        np.unique(np.array(text("day")), return_inverse=True)[1].astype(np.int64),
        int(other.sum()),
    )


def _with_flags(throws: Throws, keep: Flags, flags: list[Flag]) -> Throws:
    return replace(throws.select(keep), flags=tuple(sorted(flags, key=lambda flag: flag.line)))


def _trouble(said: dict[str, str | None]) -> str:
    """Tell why a row can't count; empty where it can."""
    needed = [key for key in NEEDED if key != "miss" or said["swing"] == "yes"]
    unsaid = [key for key in needed if said[key] is None]
    if unsaid:
        return f"it does not say {' or '.join(unsaid)} ({'; '.join(f'{key}: {NEEDED[key][1]}' for key in unsaid)})"
    return "it says miss = yes, but swing = no" if said["swing"] == "no" and said["miss"] == "yes" else ""


def _missing(throws: Throws) -> Iterator[Fault]:
    held = [*throws.words, *throws.values]
    for key, (meaning, allowed) in NEEDED.items():
        if key not in throws.words:
            near = did_you_mean(key, held)
            remedy = f"add the column, or map one: [columns] NAME = {shown(key)}" + (f"; {near}" if near else "")
            yield Fault(f"column {shown(key)}", f"missing: {meaning}", allowed, remedy)
