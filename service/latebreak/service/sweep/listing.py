"""What-ifs from a CSV file: one a row, key paths as the header; an empty cell leaves the scenario's own value."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.sweep.grid import read_value
from latebreak.service.sweep.key_paths import Key, locate, resolve
from latebreak.service.sweep.overrides import Value
from latebreak.service.sweep.what_ifs import MOST, Axis
from latebreak.service.wording import clean

#: Most faults that one message lists (chosen: more can't be read, and come from one cause).
_MOST_FAULTS = 50


class ListFileError(LatebreakError):
    """A list of what-ifs can't be read."""


def read_list(path: Path, scenario: Mapping[str, Any]) -> Axis:
    """Read a list of what-ifs.

    Parameters
    ----------
    path : Path
        A CSV file.
    scenario : mapping
        Tables of the scenario whose keys stand in the header.

    Raises
    ------
    ListFileError
        The file can't be read.
    InputError
        Its header names keys that there are not, or it is no table.
    """
    name = clean(str(path))
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            return _read(csv.reader(file, strict=True), scenario, name)
    except UnicodeDecodeError as error:
        raise InputError([Fault("", "it is not UTF-8 text", "a CSV file in UTF-8")], name) from error
    except csv.Error as error:
        raise InputError([Fault("", f"it is not CSV: {clean(str(error))}", "values with commas")], name) from error
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte
        reason = getattr(error, "strerror", None) or str(error)
        raise ListFileError(f"{name} can't be read: {clean(reason)}") from error


def _read(rows: Iterator[list[str]], scenario: Mapping[str, Any], name: str) -> Axis:
    texts = [cell.strip() for cell in next(rows, [])]
    faults: list[Fault] = []
    keys: list[Key] = []
    for text in texts:
        try:
            keys.append(resolve(text, scenario))
        except InputError as error:
            faults += error.faults
    paths = [key.path for key in keys]
    faults += [
        Fault(text, "it heads two columns", "each key once", "remove one of the columns")
        for at, text in enumerate(texts)
        if not faults and locate(text).path in paths[:at]
    ]
    if not texts:
        faults.append(Fault("", "it is empty", "a header of key paths, then one what-if a row"))
    if faults:
        raise InputError(faults, name)
    found: list[tuple[Value | None, ...]] = []
    for number, cells in enumerate(rows, start=2):
        if not cells:
            continue  # an empty line
        if len(cells) != len(keys):
            faults.append(Fault(f"row {number}", f"{len(cells)} cells below {len(keys)} column heads", f"{len(keys)}"))
        elif len(found) == MOST:
            raise InputError([Fault("", f"more than {MOST:,} what-ifs", f"at most {MOST:,}", "split the list")], name)
        else:
            read = (
                read_value(cell.strip(), key.kind) if cell.strip() else None
                for cell, key in zip(cells, keys, strict=True)
            )
            found.append(tuple(read))
        if len(faults) == _MOST_FAULTS:
            break
    if not found and not faults:
        faults.append(Fault("", "there is no row below the header", "one what-if a row"))
    if faults:
        raise InputError(faults, name)
    return Axis(tuple(texts), tuple(found))
