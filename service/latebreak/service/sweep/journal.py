"""The journal of a sweep: outcomes as they come, in an SQLite file beside the table; a rerun takes them from it.

SQLite's lock is that of the system, which lets go when the process ends, however it ends; its write-ahead log, in
TABLE.part-wal, keeps what was added through such an end, and through a power cut but for the last seconds.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from latebreak.engine.errors import LatebreakError
from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.software import differences
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.wording import clean

#: By which SQLite files tell whose they are; any number of our own ("late" in ASCII).
_OURS = int.from_bytes(b"late")


class JournalError(LatebreakError):
    """The journal belongs to something else, or can't be used."""


def identity(ask: Ask, what_ifs: WhatIfs) -> dict[str, Any]:
    """Return what tells one sweep from another: digests of its parts, and the software that computes it."""
    apart = ("scenarios", "software")
    return {
        "software": dict(ask.software),
        "scenario": _digest(ask.scenarios),
        "what-ifs": _digest([[axis.keys, axis.rows] for axis in what_ifs.axes]),
        "options": _digest({key: value for key, value in vars(ask).items() if key not in apart}),
    }


class Journal:
    """Outcomes on disk, by the number of the what-if.

    Parameters
    ----------
    database : sqlite3.Connection
        Locked, with the table of outcomes.
    path : Path
        Of its file.
    columns : tuple of str
        Columns of the numbers.
    """

    def __init__(self, database: sqlite3.Connection, path: Path, columns: tuple[str, ...]) -> None:
        self._database, self._path, self._columns = database, path, columns
        (self.finished,) = database.execute("SELECT count(*) FROM outcome").fetchone()

    def __contains__(self, number: int) -> bool:
        return self._database.execute("SELECT 1 FROM outcome WHERE number = ?", (number,)).fetchone() is not None

    def add(self, number: int, outcome: Outcome) -> None:
        """Write an outcome; it is safe from an end of this process at once.

        Raises
        ------
        JournalError
            The disk is full or takes nothing.
        """
        numbers = {name: [row[column] for column in self._columns] for name, row in outcome.pitches.items()}
        told = json.dumps({**vars(outcome), "pitches": numbers}, separators=(",", ":"), allow_nan=False)
        try:
            self._database.execute("INSERT INTO outcome VALUES (?, ?)", (number, told))
        except sqlite3.Error as error:
            raise _unusable(self._path, error, "; what is finished is kept: run the same sweep again") from error
        self.finished += 1

    def outcome(self, number: int) -> Outcome:
        """Read an outcome that was added.

        Raises
        ------
        JournalError
            It is damaged.
        """
        try:
            (told,) = self._database.execute("SELECT told FROM outcome WHERE number = ?", (number,)).fetchone()
            found = json.loads(told)
            pitches = {name: dict(zip(self._columns, row, strict=True)) for name, row in found["pitches"].items()}
            return Outcome(**{**found, "pitches": pitches, "warnings": tuple(found["warnings"])})
        except (sqlite3.Error, ValueError, TypeError, KeyError, AttributeError) as error:
            raise _damaged(self._path, error) from error


@contextmanager
def journal_beside(
    table: Path, ask: Ask, what_ifs: WhatIfs, notice: Callable[[str], None] = lambda words: None
) -> Iterator[Journal]:
    """Open the journal of a sweep; it is kept where the block is left by an error, and removed at its end.

    What other software has computed is not taken, since its digits may differ: the sweep starts again then.

    Parameters
    ----------
    table : Path
        The table or page that the sweep will write; the journal is the same name with .part after it.
    ask, what_ifs
        The sweep.
    notice : callable
        Told where it starts again.

    Raises
    ------
    JournalError
        Another sweep writes this table just now, or has left a journal that is not finished; or the journal can't be
        written, or is damaged.
    """
    path = table.with_name(table.name + ".part")
    if path.is_symlink():
        raise JournalError(
            f"{clean(str(path))} stands where the journal of this sweep belongs, and is a link; remove it"
        )
    is_new = not path.exists() or not path.stat().st_size
    try:
        database = sqlite3.connect(path, isolation_level=None, timeout=0.0)
    except sqlite3.Error as error:
        raise _unusable(path, error) from error
    with closing(database):
        try:
            _lock(database, path, is_new)
            _begin(database, identity(ask, what_ifs), clean(str(path)), notice)
            journal = Journal(database, path, ask.columns)
        except sqlite3.Error as error:
            raise _unusable(path, error) from error
        try:
            yield journal
        except BaseException:
            if not journal.finished:
                _remove(database, path)
            raise
        _remove(database, path)


def _lock(database: sqlite3.Connection, path: Path, is_new: bool) -> None:
    """Lock the file for this process alone, and make sure that it is a journal, and sound."""
    database.execute("PRAGMA locking_mode = EXCLUSIVE")  # first of all: then no memory is shared, in a file beside it
    (whose,) = database.execute("PRAGMA application_id").fetchone()
    if not is_new and whose != _OURS:
        raise _stranger(path)
    if whose != _OURS:
        database.execute(f"PRAGMA application_id = {_OURS}")
    database.execute("PRAGMA journal_mode = WAL")
    database.execute("PRAGMA synchronous = NORMAL")
    (found,) = database.execute("PRAGMA quick_check(1)").fetchone()
    if found != "ok":
        raise _damaged(path, found)


def _begin(database: sqlite3.Connection, own: dict[str, Any], name: str, notice: Callable[[str], None]) -> None:
    """Note whose journal it is, or check that of an old one."""
    database.execute("BEGIN IMMEDIATE")
    database.execute("CREATE TABLE IF NOT EXISTS identity (part TEXT PRIMARY KEY, told TEXT NOT NULL)")
    database.execute("CREATE TABLE IF NOT EXISTS outcome (number INTEGER PRIMARY KEY, told TEXT NOT NULL)")
    before = {part: json.loads(told) for part, told in database.execute("SELECT part, told FROM identity")}
    other = [part for part, told in own.items() if before and before.get(part) != told and part != "software"]
    if other:
        raise JournalError(
            f"{name} is the journal of another sweep that is not finished (it differs in {', '.join(other)}): "
            "finish that one, or remove the file to give up what it has computed, or choose another table"
        )
    if before and before["software"] != own["software"]:
        others = differences(before["software"], own["software"])
        notice(
            f"{name} was computed by other software (here {clean(others) or 'is more'}), whose digits may differ: "
            "the sweep starts again"
        )
        database.execute("DELETE FROM outcome")
    if before != own:
        told = [(part, json.dumps(value)) for part, value in own.items()]
        database.executemany("INSERT OR REPLACE INTO identity VALUES (?, ?)", told)
    database.execute("COMMIT")


def _remove(database: sqlite3.Connection, path: Path) -> None:
    """Remove the journal while it is locked, so that nobody takes it up; Windows can't remove an open file."""
    with suppress(sqlite3.Error):  # a full disk takes no log apart; it is not needed any more
        database.execute("PRAGMA journal_mode = DELETE")
    if sys.platform == "win32":
        database.close()
    for one in (path.with_name(f"{path.name}-wal"), path):
        one.unlink(missing_ok=True)


def _unusable(path: Path, error: sqlite3.Error, kept: str = "") -> JournalError:
    """Word an error of SQLite, by its code."""
    kind = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
    if kind in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        table = clean(str(path)).removesuffix(".part")
        return JournalError(f"another sweep is writing {table} just now; wait for it, or choose another table")
    if kind == sqlite3.SQLITE_NOTADB:
        return _stranger(path)
    if kind == sqlite3.SQLITE_CORRUPT:
        return _damaged(path, error)
    return JournalError(f"{clean(str(path))} can't be written: {clean(str(error))}{kept}")


def _damaged(path: Path, why: object) -> JournalError:
    return JournalError(f"{clean(str(path))} is damaged ({clean(str(why))}): remove it, and all is computed again")


def _stranger(path: Path) -> JournalError:
    return JournalError(f"{clean(str(path))} stands where the journal of this sweep belongs, and is none; move it away")


def _digest(value: object) -> str:
    # the order of pitches matters to an answer, so keys are not sorted
    return hashlib.sha256(json.dumps(value, default=float).encode()).hexdigest()
