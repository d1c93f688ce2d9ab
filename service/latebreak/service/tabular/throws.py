"""Measured throws as they are used: the keys as columns, one row a throw; `fit` reads such a table again."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from latebreak.service.tabular.parquet import Kinds
from latebreak.service.tabular.writer import Cell, Kind, new_table
from latebreak.service.throws import Throws

_FIRST, _LAST = ("pitch", "session", "delivery"), ("file", "line")
#: A table of one's own may have the keys as columns too, but not where each throw was read.
KIND = Kind(
    "table of throws of latebreak fit",
    lambda columns: tuple(columns[:3]) == _FIRST and tuple(columns[-2:]) == _LAST,
)


def write_throws(table: Path, files: Sequence[Throws], names: Sequence[str]) -> None:
    """Write the throws that are used; a cell that is not used is empty.

    Parameters
    ----------
    table : Path
        Parquet where it ends in .parquet, else CSV.
    files : sequence of Throws
        As cleaned.
    names : sequence of str
        Of the sessions, where each file is one; else of one file's own.

    Raises
    ------
    ParquetError
        pyarrow is needed and not installed.
    OutputFileError
        Something else stands in its place, or it can't be written.
    """
    keys = list(dict.fromkeys(key for throws in files for key in throws.values))
    columns: dict[str, Kinds] = {
        **{key: {str} for key in _FIRST}, **{key: {float} for key in keys}, "file": {str}, "line": {int},
    }  # fmt: skip
    with new_table(table, columns, KIND) as write:
        for number, throws in enumerate(files):
            for row in range(len(throws)):
                session = throws.session[row] if len(files) == 1 else names[number]
                numbers: list[Cell] = [_number(throws, key, row) for key in keys]
                first: list[Cell] = [throws.pitch[row], session, throws.delivery[row]]
                write([*first, *numbers, throws.source, int(throws.line[row])])


def _number(throws: Throws, key: str, row: int) -> float | None:
    value = float(throws.values[key][row]) if key in throws.values else float("nan")
    return None if np.isnan(value) else value
