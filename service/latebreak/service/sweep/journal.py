"""The journal of a sweep: outcomes as they come, one a line, in a file beside the table; a rerun takes them from it."""

from __future__ import annotations

import hashlib
import json
import os
import sys
import time
from array import array
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, BinaryIO

from latebreak.engine.errors import LatebreakError
from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.lock import lock
from latebreak.service.sweep.software import differences
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.wording import clean

#: s between forcing the journal onto the disk (chosen: a power cut costs this much work, and disks keep up).
SYNC_AFTER = 5.0


class JournalError(LatebreakError):
    """The journal belongs to something else, or can't be used."""


def identity(ask: Ask, what_ifs: WhatIfs) -> dict[str, Any]:
    """Return what tells one sweep from another: digests of its parts, and the software that computes it."""
    asked = {key: getattr(ask, key) for key in ("question", "pitches", "measures", "intervals", "seed", "throws")}
    return {
        "journal of": "latebreak sweep",
        "software": dict(ask.software),
        "scenario": _digest(ask.scenario),
        "what-ifs": _digest([[axis.keys, axis.rows] for axis in what_ifs.axes]),
        "options": _digest(asked),
    }


class Journal:
    """Outcomes on disk, by the number of the what-if.

    Parameters
    ----------
    file : binary file
        Locked, and past its first line.
    columns : tuple of str
        Columns of the numbers.
    count : int
        How many what-ifs there are.
    """

    def __init__(self, file: BinaryIO, columns: tuple[str, ...], count: int) -> None:
        self._file, self._columns = file, columns
        self._offset = array("q", [-1]) * count
        self._synced = time.monotonic()
        self.finished = 0
        self._read()

    def __contains__(self, number: int) -> bool:
        return self._offset[number] >= 0

    def add(self, number: int, outcome: Outcome) -> None:
        """Write an outcome; it is safe from an end of this process at once, from a power cut after seconds.

        Raises
        ------
        JournalError
            The disk is full or takes nothing.
        """
        numbers = {name: [row[column] for column in self._columns] for name, row in outcome.pitches.items()}
        line = [number, outcome.status, numbers, outcome.better, outcome.chance_percent, outcome.warnings]
        try:
            offset = self._file.seek(0, os.SEEK_END)
            self._file.write(json.dumps(line, separators=(",", ":"), allow_nan=False).encode() + b"\n")
            self._file.flush()
            if time.monotonic() - self._synced > SYNC_AFTER:
                os.fsync(self._file.fileno())
                self._synced = time.monotonic()
        except OSError as error:
            raise _unwritable(self._file.name, error, "; what is finished is kept: run the same sweep again") from error
        self._note(number, offset)

    def outcome(self, number: int) -> Outcome:
        """Read an outcome that was added."""
        self._file.seek(self._offset[number])
        _, status, numbers, better, chance, warnings = json.loads(self._file.readline())
        pitches = {name: dict(zip(self._columns, row, strict=True)) for name, row in numbers.items()}
        return Outcome(status, pitches, better, chance, tuple(warnings))

    def _read(self) -> None:
        """Note what is there; what was cut off in the middle of a line is taken away."""
        at = self._file.tell()
        for line in self._file:
            if not line.endswith(b"\n"):
                self._file.truncate(at)
                break
            number = self._number(line)
            if number is not None and number not in self:
                self._note(number, at)
            at += len(line)

    def _number(self, line: bytes) -> int | None:
        """Return the number of a line; None where it is damaged, so that its what-if is asked again."""
        try:
            number, status, numbers, _, _, warnings = json.loads(line)
        except (ValueError, TypeError):
            return None
        if not isinstance(number, int) or not 0 <= number < len(self._offset) or not isinstance(numbers, dict):
            return None
        sound = isinstance(status, str) and isinstance(warnings, list)
        return number if sound and all(len(row) == len(self._columns) for row in numbers.values()) else None

    def _note(self, number: int, offset: int) -> None:
        self._offset[number] = offset
        self.finished += 1


@contextmanager
def journal_beside(
    table: Path, ask: Ask, what_ifs: WhatIfs, notice: Callable[[str], None] = lambda words: None
) -> Iterator[Journal]:
    """Open the journal of a sweep; it is kept where the block is left by an error, and removed at its end.

    What other software has computed is not taken, since its digits may differ: the sweep starts again then.

    Parameters
    ----------
    table : Path
        The table that the sweep will write; the journal is the same name with .part after it.
    ask, what_ifs
        The sweep.
    notice : callable
        Told where it starts again.

    Raises
    ------
    JournalError
        Another sweep writes this table just now, or has left a journal that is not finished; or the journal can't be
        written.
    """
    path = table.with_name(table.name + ".part")
    if path.is_symlink():
        raise JournalError(
            f"{clean(str(path))} stands where the journal of this sweep belongs, and is a link; remove it"
        )
    try:
        file = open(path, "r+b", opener=_opened)  # noqa: SIM115 - closed below, where a full disk is silent
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        if not lock(file, path):
            name = clean(str(table))
            raise JournalError(f"another sweep is writing {name} just now; wait for it, or choose another table")
        try:
            _begin(file, identity(ask, what_ifs), path, notice)
        except OSError as error:
            raise _unwritable(path, error) from error
        journal = Journal(file, ask.columns, len(what_ifs))
        try:
            yield journal
        except BaseException:
            if not journal.finished:
                _remove(file, path)
            raise
        _remove(file, path)
    finally:
        with suppress(OSError):  # what a full disk has not taken was said when it was written
            file.close()


def _opened(path: str, flags: int) -> int:
    """Open a journal, or make a new one; a link is not followed."""
    return os.open(path, flags | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o666)


def _unwritable(path: str | Path, error: OSError, kept: str = "") -> JournalError:
    return JournalError(f"{clean(str(path))} can't be written: {clean(error.strerror or str(error))}{kept}")


def _remove(file: BinaryIO, path: Path) -> None:
    """Remove the journal while it is locked, so that nobody takes it up; Windows can't remove an open file."""
    if sys.platform == "win32":
        file.close()
    path.unlink(missing_ok=True)


def _begin(file: BinaryIO, own: dict[str, Any], path: Path, notice: Callable[[str], None]) -> None:
    """Write the first line of a new journal, or check that of an old one."""
    wanted = json.dumps(own).encode() + b"\n"
    first = file.readline(10_000)
    if first == wanted:
        return
    name = clean(str(path))
    if not wanted.startswith(first):
        try:
            found = json.loads(first)
        except ValueError:
            found = None
        if not isinstance(found, dict) or found.get("journal of") != own["journal of"]:
            raise JournalError(f"{name} stands where the journal of this sweep belongs, and is none; move it away")
        other = [key for key, value in own.items() if found.get(key) != value and key != "software"]
        if other:
            raise JournalError(
                f"{name} is the journal of another sweep that is not finished (it differs in {', '.join(other)}): "
                "finish that one, or remove the file to give up what it has computed, or choose another table"
            )
        before = found.get("software")
        others = differences(before if isinstance(before, dict) else {}, own["software"])
        notice(
            f"{name} was computed by other software (here {clean(others) or 'is more'}), whose digits may differ: "
            "the sweep starts again"
        )
    file.seek(0)
    file.truncate()
    file.write(wanted)
    file.flush()


def _digest(value: object) -> str:
    # the order of pitches matters to an answer, so keys are not sorted
    return hashlib.sha256(json.dumps(value, default=float).encode()).hexdigest()
