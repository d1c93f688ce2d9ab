"""Writing a file that a command was asked for: whole or not at all, and over nothing but what latebreak wrote."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from secrets import token_hex
from typing import BinaryIO

from latebreak.engine.errors import LatebreakError
from latebreak.service.wording import clean, quoted


class OutputFileError(LatebreakError):
    """A file can't be written, or something else stands in its place."""


@dataclass(frozen=True)
class Own:
    """Files that may be written anew, because latebreak wrote them and nobody edits them.

    Attributes
    ----------
    noun : str
        What they are called in messages: "page of latebreak report".
    known : callable
        Tells from the content, open at its start, whether a file is one.
    """

    noun: str
    known: Callable[[BinaryIO], bool]


def check_place(path: Path, own: Own | None = None) -> None:
    """Make sure, before the work is done, that a file may be written there.

    Parameters
    ----------
    path : Path
        Of the file.
    own : Own, optional
        What may stand there already; default: nothing.

    Raises
    ------
    OutputFileError
        Something else stands there, a link too; or there is no such folder; or it can't be written to.
    """
    if not path.parent.is_dir():
        raise _refused(path, f"can't be written: there is no folder {quoted(path.parent)}")
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        if not os.access(path.parent, os.W_OK):
            raise _refused(path, f"can't be written: its folder {quoted(path.parent)} is write-protected") from None
        return
    except OSError as error:
        raise _failed(path, error) from error
    if stat.S_ISDIR(mode):
        raise _refused(path, "is a folder and is not overwritten; choose another name")
    if stat.S_ISLNK(mode):
        raise _refused(path, "is a link, which is not followed and is not overwritten; choose another name")
    if own is None or not stat.S_ISREG(mode) or not _known(path, own):
        no_such = "" if own is None else f", is no {own.noun}"
        raise _refused(path, f"exists already{no_such} and is not overwritten; choose another name")


@contextmanager
def new_file(path: Path, own: Own | None = None) -> Iterator[BinaryIO]:
    """Write a file under another name in the same folder, and put it in place when the block ends without an error.

    Whatever stood there stays as it is until the new file is whole and on the disk.

    Parameters
    ----------
    path, own
        As in `check_place`.

    Yields
    ------
    binary file
        Open for writing.

    Raises
    ------
    OutputFileError
        As in `check_place`, or the disk is full or takes nothing.
    """
    check_place(path, own)
    draft = path.with_name(f".latebreak-{token_hex(8)}")
    try:
        try:
            with draft.open("xb") as file:  # never one that somebody has laid there
                yield file
                file.flush()
                os.fsync(file.fileno())
            _put(draft, path, own)
        finally:
            draft.unlink(missing_ok=True)
    except OSError as error:
        raise _failed(path, error) from error


def write(path: Path, text: str, own: Own | None = None) -> None:
    """Write a text in UTF-8, its lines ended as they are.

    Raises
    ------
    OutputFileError
        As in `new_file`.
    """
    with new_file(path, own) as file:
        file.write(text.encode())


def _put(draft: Path, path: Path, own: Own | None) -> None:
    """Give a finished file its name; what came to stand there since the start is not overwritten either."""
    try:
        path.open("xb").close()  # takes the name for this process alone
    except FileExistsError:
        check_place(path, own)
        draft.chmod(stat.S_IMODE(path.stat().st_mode))  # what was private stays so
        draft.replace(path)
        return
    try:
        draft.replace(path)
    except OSError:
        path.unlink()
        raise


def _known(path: Path, own: Own) -> bool:
    try:
        with path.open("rb") as file:
            return own.known(file)
    except OSError:
        return False


def _refused(path: Path, reason: str) -> OutputFileError:
    return OutputFileError(f"{quoted(path)} {reason}")


def _failed(path: Path, error: OSError) -> OutputFileError:
    return _refused(path, f"can't be written: {clean(error.strerror or str(error))}")
