"""Writing a page: whole or not at all, and never over a file that is something else."""

from __future__ import annotations

import os
from pathlib import Path
from secrets import token_hex

from latebreak.engine.errors import LatebreakError
from latebreak.service.wording import clean, shown

#: First line of every page, by which it is known again.
FIRST_LINE = "<!DOCTYPE html><!-- a page of latebreak report -->"


class PageFileError(LatebreakError):
    """A page can't be written, or would overwrite something else."""


def check_place(path: Path) -> None:
    """Make sure, before the work is done, that a page may be written there.

    Raises
    ------
    PageFileError
        There is something else under this name, or no such folder.
    """
    name = shown(str(path))
    if not path.parent.is_dir():
        raise PageFileError(f"{name} can't be written: there is no folder {shown(str(path.parent))}")
    if path.exists() and not _is_page(path):
        raise PageFileError(f"{name} exists already, is no page of ours and is not overwritten; name another with -o")


def save(path: Path, page: str) -> None:
    """Write a page; an earlier page of the same name stays as it is until the new one is whole.

    Raises
    ------
    PageFileError
        It can't be written.
    """
    check_place(path)
    place = path.resolve()  # a link stays a link
    draft = place.with_name(f".{place.name[:80]}.{token_hex(4)}")
    try:
        try:
            with draft.open("x", encoding="utf-8", newline="\n") as file:
                file.write(page)
                file.flush()
                os.fsync(file.fileno())
            draft.replace(place)
        finally:
            draft.unlink(missing_ok=True)
    except OSError as error:
        reason = clean(error.strerror or str(error))
        raise PageFileError(f"{shown(str(path))} can't be written: {reason}") from error


def _is_page(path: Path) -> bool:
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            return file.read(len(FIRST_LINE)) == FIRST_LINE.encode()
    except OSError:
        return False
