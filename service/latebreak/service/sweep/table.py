"""The table of a sweep: one row a what-if and pitch, as CSV or Parquet, put in place when it is complete."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from latebreak.service import writing
from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.measures import MEASURES
from latebreak.service.sweep.overrides import Value
from latebreak.service.sweep.parquet import Kinds, parquet_columns, write_parquet
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.wording import clean

#: What stands in a row under a column.
Cell = Value | None
#: Writes one row, its cells in the order of the columns.
Write = Callable[[list[Cell]], None]

#: What a spreadsheet takes for the start of a formula when it opens a CSV file.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
#: Longest first line of a table, in bytes (chosen: many times that of all measures).
_LONGEST_HEADER = 1_000_000


def is_parquet(table: Path) -> bool:
    """Tell whether a table is to be Parquet; every other name gives CSV."""
    return table.suffix.lower() == ".parquet"


def check_place(table: Path) -> None:
    """Check that a table can stand where it is to stand, before hours of work.

    Raises
    ------
    OutputFileError
        It lies in no folder, or would take the place of anything but a table of an earlier sweep.
    ParquetError
        pyarrow is needed and not installed.
    """
    writing.check_place(table, _own(table))


def columns_of(ask: Ask, what_ifs: WhatIfs) -> list[str]:
    """Return the columns: swept keys, pitch, numbers, verdict, status, warnings."""
    verdict = [] if ask.question == "fly" else ["better", *(["chance_percent"] if ask.intervals else [])]
    return [*what_ifs.keys, "pitch", *ask.columns, *verdict, "status", "warnings"]


def rows_of(ask: Ask, what_ifs: WhatIfs, number: int, outcome: Outcome) -> Iterator[list[Cell]]:
    """Return the rows of one what-if, one a pitch; one row without a pitch where it is at fault."""
    change = what_ifs[number]
    swept = [change.get(key) for key in what_ifs.keys]
    verdict: list[Cell] = [] if ask.question == "fly" else [outcome.better]
    if ask.question != "fly" and ask.intervals:
        verdict.append(outcome.chance_percent)
    end = [*verdict, outcome.status, " | ".join(outcome.warnings) or None]
    if not outcome.pitches:
        yield [*swept, None, *[None] * len(ask.columns), *end]
    for name, numbers in outcome.pitches.items():
        yield [*swept, name, *(numbers[column] for column in ask.columns), *end]


@contextmanager
def new_table(table: Path, ask: Ask, what_ifs: WhatIfs) -> Iterator[Write]:
    """Write a table under another name, and put it in its place when the block ends without an error.

    Yields
    ------
    callable
        Writes one row.

    Raises
    ------
    ParquetError
        pyarrow is needed and not installed.
    OutputFileError
        Something else stands in its place, or it can't be written.
    """
    with writing.new_file(table, _own(table)) as file:
        into = write_parquet(file, schema_of(ask, what_ifs)) if is_parquet(table) else _csv(file, ask, what_ifs)
        with into as write:
            yield write


def schema_of(ask: Ask, what_ifs: WhatIfs) -> dict[str, Kinds]:
    """Return the columns, each with the kinds of its cells: text and numbers of the answer, and what was swept."""
    swept = {key: what_ifs.kinds(key) for key in what_ifs.keys}
    texts = ("pitch", "better", "status", "warnings")
    return {column: swept.get(column, {str} if column in texts else {float}) for column in columns_of(ask, what_ifs)}


def csv_cell(cell: Cell) -> Cell:
    """Return a cell of a CSV file: text that a spreadsheet would run gets an apostrophe, numbers stay numbers."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if not isinstance(cell, str):
        return cell
    return "'" * cell.startswith(FORMULA_STARTS) + clean(cell)


@contextmanager
def _csv(file: BinaryIO, ask: Ask, what_ifs: WhatIfs) -> Iterator[Write]:
    lines = io.TextIOWrapper(file, encoding="utf-8", newline="")
    writer = csv.writer(lines, lineterminator="\n")
    writer.writerow([csv_cell(column) for column in columns_of(ask, what_ifs)])
    yield lambda row: writer.writerow([csv_cell(cell) for cell in row])
    lines.detach()  # writes what is waiting


def _own(table: Path) -> writing.Own:
    """Tables of earlier sweeps, known by their columns."""
    return writing.Own("table of latebreak sweep", _is_own_parquet if is_parquet(table) else _is_own_csv)


def _is_own_parquet(file: BinaryIO) -> bool:
    columns = parquet_columns(file)
    return columns is not None and _are_own(columns)


def _is_own_csv(file: BinaryIO) -> bool:
    try:
        return _are_own(next(csv.reader([file.readline(_LONGEST_HEADER).decode()])))
    except (ValueError, csv.Error):
        return False


def _are_own(columns: Sequence[str]) -> bool:
    """Tell whether columns are those of a sweep: what was swept, the pitch, measures, and what became of it."""
    if "pitch" not in columns or tuple(columns[-2:]) != ("status", "warnings"):
        return False
    first = columns[columns.index("pitch") + 1]
    return any(first in known for known in MEASURES.values())
