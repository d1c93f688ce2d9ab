"""Reading measured throws: a file or a ready name, with its column map."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.scenario.model import Pitcher
from latebreak.service.scenario.ready import ready_names, ready_path
from latebreak.service.scenario.section import Hand
from latebreak.service.throws.column_map import ColumnMap, read_column_map
from latebreak.service.throws.header import used_columns
from latebreak.service.throws.outliers import flag_outliers
from latebreak.service.throws.reading import read_table
from latebreak.service.throws.rows import read_rows
from latebreak.service.throws.table import Throws
from latebreak.service.throws.text_check import MAX_BYTES, text_of
from latebreak.service.toml_text import TooDeepError, read_toml
from latebreak.service.wording import clean, did_you_mean, shown

#: Endings of ready throws and ready column maps.
THROWS, COLUMN_MAP = ".csv", ".columns.toml"
#: Largest column map in bytes (chosen: a thousand columns fit).
MAX_MAP_BYTES = 100_000
#: A column map: its path, its ready name, or its tables.
Columns = str | Path | Mapping[str, Any]


class ThrowsFileError(LatebreakError):
    """A file of throws, or a column map, can't be found or read."""


def clean_throws(sources: Sequence[str | Path | Throws], columns: Columns | None, pitcher: Pitcher) -> list[Throws]:
    """Read throws as a fit uses them, with a flag for each slip and stray that is left out.

    Parameters
    ----------
    sources : sequence of str, Path or Throws
        CSV files, names of ready ones, or tables as read.
    columns : str, Path or mapping, optional
        Column map of the files.
    pitcher : Pitcher
        Who threw.

    Raises
    ------
    InputError, ThrowsFileError
        As `read_throws`.
    """
    read = (one if isinstance(one, Throws) else read_throws(one, columns, hand=pitcher.hand) for one in sources)
    return [flag_outliers(one, level=pitcher.level) for one in read]


def read_throws(path: str | Path, columns: Columns | None = None, hand: Hand | None = None) -> Throws:
    """Read measured throws from a CSV file or by the name of a ready one.

    Parameters
    ----------
    path : str or Path
        Path of a CSV file, or a name of `ready_throws`; a file of that path comes first.
    columns : str, Path or mapping, optional
        Path of a column map (TOML), or a name of `ready_column_maps`, or its tables; see
        `latebreak.service.throws.column_map`.
    hand : str, optional
        "right" or "left": the pitcher's throwing hand; needed where the map says view = "arm_side".

    Returns
    -------
    Throws
        As written: values that are impossible or far off are in it until `flag_outliers` takes them out.

    Raises
    ------
    ThrowsFileError
        There is no such file or name, or the file can't be read.
    InputError
        Its content, or the column map, is at fault.
    """
    if isinstance(columns, (str, Path)):
        column_map = _parse_map(map_content(columns), clean(str(columns)), hand)
    else:
        column_map = read_column_map(columns, "column map", hand)
    return _parse(throws_content(path), column_map, clean(str(path)))


def ready_throws() -> dict[str, Path]:
    """Return the ready files of throws, by name."""
    return _ready(THROWS)


def ready_column_maps() -> dict[str, Path]:
    """Return the ready column maps, by name."""
    return _ready(COLUMN_MAP)


def _ready(ending: str) -> dict[str, Path]:
    # They lie beside the ready scenarios.
    folders = {path.parent for name in ready_names() if (path := ready_path(name)) is not None}
    files = sorted(file for folder in folders for file in folder.glob(f"*{ending}"))
    return {file.name.removesuffix(ending): file for file in files}


def throws_content(path: str | Path) -> bytes:
    """Return the bytes of a CSV file, or of the ready one of that name.

    Raises
    ------
    ThrowsFileError
        There is no such file or name, or the file can't be read.
    """
    return _content(path, ready_throws(), "a ready bullpen", MAX_BYTES)


def map_content(path: str | Path) -> bytes:
    """Return the bytes of a column map, or of the ready one of that name; raises as `throws_content` does."""
    return _content(path, ready_column_maps(), "a ready column map", MAX_MAP_BYTES)


def parse_throws(
    content: bytes,
    column_map: Mapping[str, Any] | bytes | None = None,
    source: str = "throws",
    hand: Hand | None = None,
) -> Throws:
    """Read measured throws from the bytes of a CSV file.

    Parameters
    ----------
    content : bytes
        UTF-8, with or without a byte-order mark.
    column_map : mapping or bytes, optional
        Tables of a column map, as TOML gives them, or the TOML itself.
    source : str
        What messages call the input.
    hand : str, optional
        As in `read_throws`.

    Returns
    -------
    Throws
        As in `read_throws`.

    Raises
    ------
    InputError
        With every fault that was found.
    """
    if isinstance(column_map, bytes):
        return _parse(content, _parse_map(column_map, "column map", hand), clean(source))
    return _parse(content, read_column_map(column_map, "column map", hand), clean(source))


def _parse(content: bytes, column_map: ColumnMap, source: str) -> Throws:
    rows = read_rows(content, column_map, source)
    columns, warnings = used_columns(rows.header, column_map, source)
    throws = read_table(rows, columns, column_map, source)
    return replace(throws, warnings=(*warnings, *throws.warnings))


def _parse_map(content: bytes, source: str, hand: Hand | None) -> ColumnMap:
    text = text_of(content, source, MAX_MAP_BYTES)
    try:
        return read_column_map(read_toml(text), source, hand)
    except TooDeepError as error:
        raise InputError([error.fault], source) from None
    except ValueError as error:  # TOMLDecodeError is one; so is a whole number of too many digits
        remedy = "names and units need quotes"
        fault = Fault("", f"not TOML: {clean(str(error))[:200]}", '"NAME" = {key = "KEY"} below [columns]', remedy)
        raise InputError([fault], source) from None


def _content(name: str | Path, ready: dict[str, Path], kind: str, limit: int) -> bytes:
    """Read a file, or the ready one of that name; one byte more than the limit tells that it is too large."""
    path, said = Path(name), shown(clean(str(name)))
    if isinstance(name, str) and name in ready and not path.is_file():
        path = ready[name]
    try:
        with path.open("rb") as file:
            return file.read(limit + 1)
    except FileNotFoundError:
        endings = [path.name + ending for ending in (THROWS, COLUMN_MAP)]
        beside = [other for other in endings if path.with_name(other).is_file()]
        near = did_you_mean(path.name, [*beside, *ready])
        message = f"{said} is neither a file nor {kind}" + (f" ({', '.join(ready)})" if ready else "")
        raise ThrowsFileError(message + (f"; {near}" if near else "")) from None
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte
        reason = getattr(error, "strerror", None) or str(error)
        raise ThrowsFileError(f"{said} can't be read: {clean(reason)}") from error
