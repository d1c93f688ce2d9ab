"""Writing a new file: one that exists is never overwritten."""

from __future__ import annotations

from pathlib import Path

from latebreak.engine.errors import LatebreakError
from latebreak.service.wording import clean, shown


def refuse_existing(path: Path | None) -> None:
    """Refuse a path that exists.

    Raises
    ------
    ScenarioFileError
        It does.
    """
    if path is not None and path.exists():
        raise _exists(path)


def write_new(path: Path, text: str) -> None:
    """Write a new file.

    Raises
    ------
    ScenarioFileError
        It exists, or can't be written.
    """
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise _exists(path) from None
    except OSError as error:
        raise _error(f"{shown(str(path))} can't be written: {clean(error.strerror or str(error))}") from error


def _exists(path: Path) -> LatebreakError:
    return _error(f"{shown(str(path))} exists already and is not overwritten; name another file with -o")


def _error(message: str) -> LatebreakError:
    from latebreak.service.scenario import ScenarioFileError  # noqa: PLC0415 - not for the help

    return ScenarioFileError(message)
