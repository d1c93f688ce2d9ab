"""Writing a table row by row, as CSV or Parquet, over nothing but an earlier table of its own kind."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from latebreak.service import writing
from latebreak.service.tabular.parquet import Kinds, parquet_columns, parquet_library, write_parquet
from latebreak.service.wording import clean

#: What stands in a row under a column.
Cell = bool | int | float | str | None
#: Writes one row, its cells in the order of the columns.
Write = Callable[[list[Cell]], None]

#: What a spreadsheet takes for the start of a formula when it opens a CSV file.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
#: Longest first line of a table, in bytes (chosen: many times that of all measures).
_LONGEST_HEADER = 1_000_000


@dataclass(frozen=True)
class Kind:
    """A kind of table.

    Attributes
    ----------
    noun : str
        What messages call it: "table of latebreak sweep".
    known : callable
        Tells from the columns of a table whether it is one, and may be written anew.
    """

    noun: str
    known: Callable[[Sequence[str]], bool]

    def own(self, table: Path) -> writing.Own:
        """Return which files may be written anew."""
        return writing.Own(self.noun, self._is_parquet if is_parquet(table) else self._is_csv)

    def _is_parquet(self, file: BinaryIO) -> bool:
        columns = parquet_columns(file)
        return columns is not None and self.known(columns)

    def _is_csv(self, file: BinaryIO) -> bool:
        try:
            return self.known(next(csv.reader([file.readline(_LONGEST_HEADER).decode()])))
        except (ValueError, csv.Error):
            return False


def is_parquet(table: Path) -> bool:
    """Tell whether a table is to be Parquet; every other name gives CSV."""
    return table.suffix.lower() == ".parquet"


def check_place(table: Path, kind: Kind) -> None:
    """Check that a table can stand where it is to stand, before the work is done.

    Raises
    ------
    OutputFileError
        It lies in no folder, or would take the place of anything but a table of its kind.
    ParquetError
        pyarrow is needed and not installed.
    """
    if is_parquet(table):
        parquet_library()
    writing.check_place(table, kind.own(table))


@contextmanager
def new_table(table: Path, columns: Mapping[str, Kinds], kind: Kind) -> Iterator[Write]:
    """Write a table under another name, and put it in its place when the block ends without an error.

    Parameters
    ----------
    table : Path
        Parquet where it ends in .parquet, else CSV in UTF-8.
    columns : mapping of str to set of type
        Names with the kinds of their cells.
    kind : Kind
        What it is.

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
    with writing.new_file(table, kind.own(table)) as file:
        into = write_parquet(file, columns) if is_parquet(table) else _csv(file, columns)
        with into as write:
            yield write


def csv_cell(cell: Cell) -> Cell:
    """Return a cell of a CSV file: text that a spreadsheet would run gets an apostrophe, numbers stay numbers."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if not isinstance(cell, str):
        return cell
    return "'" * cell.startswith(FORMULA_STARTS) + clean(cell)


@contextmanager
def _csv(file: BinaryIO, columns: Sequence[str] | Mapping[str, Kinds]) -> Iterator[Write]:
    lines = io.TextIOWrapper(file, encoding="utf-8", newline="")
    writer = csv.writer(lines, lineterminator="\n")
    writer.writerow([csv_cell(column) for column in columns])
    yield lambda row: writer.writerow([csv_cell(cell) for cell in row])
    lines.detach()  # writes what is waiting
