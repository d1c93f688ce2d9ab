"""Writing a page, over an earlier page at most."""

from __future__ import annotations

from pathlib import Path

from latebreak.service import writing

#: First line of every page, by which it is known again.
FIRST_LINE = "<!DOCTYPE html><!-- a page of latebreak report -->"

_PAGE = writing.Own("page of latebreak report", lambda file: file.read(len(FIRST_LINE)) == FIRST_LINE.encode())


def check_place(path: Path) -> None:
    """Make sure, before the work is done, that a page may be written there.

    Raises
    ------
    OutputFileError
        There is something else under this name, or no such folder.
    """
    writing.check_place(path, _PAGE)


def save(path: Path, page: str) -> None:
    """Write a page; an earlier page of the same name stays as it is until the new one is whole.

    Raises
    ------
    OutputFileError
        It can't be written.
    """
    writing.write(path, page, _PAGE)
