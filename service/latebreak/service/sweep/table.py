"""The table of a sweep: one row a what-if and pitch, as CSV or Parquet, put in place when it is complete."""

from __future__ import annotations

import csv
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from latebreak.engine.errors import Fault, InputError
from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.overrides import Value
from latebreak.service.sweep.parquet import Kinds, write_parquet
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.wording import clean

#: What stands in a row under a column.
Cell = Value | None
#: Writes one row, its cells in the order of the columns.
Write = Callable[[list[Cell]], None]

#: What a spreadsheet takes for the start of a formula when it opens a CSV file.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def is_parquet(table: Path) -> bool:
    """Tell whether a table is to be Parquet; every other name gives CSV."""
    return table.suffix.lower() == ".parquet"


def check_place(table: Path, *inputs: Path | None) -> None:
    """Check that a table can stand where it is to stand, before hours of work.

    Raises
    ------
    InputError
        It is a folder, lies in none, or would take the place of an input.
    """
    name, allowed = clean(str(table)), "a file name in a folder that exists"
    if not table.name or table.is_dir():
        raise InputError([Fault("output", f"{name} is a folder", allowed)])
    if not table.parent.is_dir():
        raise InputError([Fault("output", f"{name} is to stand in a folder that does not exist", allowed)])
    for path in inputs:
        if path is not None and path.exists() and table.exists() and path.samefile(table):
            raise InputError([Fault("output", f"{name} is an input of the sweep", allowed, "choose another name")])


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
    OSError
        The table can't be written.
    """
    draft = table.with_name(table.name + ".new")
    try:
        writing = write_parquet(draft, schema_of(ask, what_ifs)) if is_parquet(table) else _csv(draft, ask, what_ifs)
        with writing as write:
            yield write
        with draft.open("rb+") as written:
            os.fsync(written.fileno())
        draft.replace(table)
    finally:
        draft.unlink(missing_ok=True)


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
def _csv(draft: Path, ask: Ask, what_ifs: WhatIfs) -> Iterator[Write]:
    with draft.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow([csv_cell(column) for column in columns_of(ask, what_ifs)])
        yield lambda row: writer.writerow([csv_cell(cell) for cell in row])
