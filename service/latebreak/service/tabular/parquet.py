"""Tables in Parquet: typed columns, written some thousand rows at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, BinaryIO

from latebreak.engine.errors import LatebreakError
from latebreak.service.wording import clean

#: What a cell can hold, if anything.
Value = bool | int | float | str
#: Kinds of the cells of a column.
Kinds = set[type]

#: Rows of a row group (chosen: some megabytes of a hundred columns).
ROW_GROUP = 10_000


class ParquetError(LatebreakError):
    """Parquet was asked for, and what writes it is not installed."""


def parquet_library() -> Any:
    """Return pyarrow with its Parquet part.

    Raises
    ------
    ParquetError
        It is not installed.
    """
    try:
        import pyarrow.parquet  # noqa: PLC0415 - heavy, and an extra
    except ImportError as error:
        remedy = "install it with: pip install 'latebreak[parquet]'; or let the name of the table end in .csv"
        raise ParquetError(f"a table that ends in .parquet needs pyarrow, which is not installed; {remedy}") from error
    return pyarrow


def parquet_columns(file: BinaryIO) -> list[str] | None:
    """Return the columns of a table; None where a file is no table in Parquet.

    Raises
    ------
    ParquetError
        pyarrow is needed and not installed.
    """
    arrow = parquet_library()
    try:
        columns: list[str] = arrow.parquet.read_schema(file).names
    except arrow.ArrowException:
        return None
    return columns


@contextmanager
def write_parquet(file: BinaryIO, columns: Mapping[str, Kinds]) -> Iterator[Callable[[list[Value | None]], None]]:
    """Write a table.

    Parameters
    ----------
    file : binary file
        Open for writing.
    columns : mapping of str to set of type
        Kinds of the cells of each column: numbers become 64-bit numbers, truth values stay so, all else is text. Every
        cell may be empty.

    Yields
    ------
    callable
        Writes one row.

    Raises
    ------
    ParquetError
        pyarrow is needed and not installed.
    """
    arrow = parquet_library()
    schema = arrow.schema([(column, _column_type(arrow, kinds)) for column, kinds in columns.items()])
    waiting: list[list[Value | None]] = []

    with arrow.parquet.ParquetWriter(file, schema) as writer:

        def flush() -> None:
            arrays = [
                arrow.array(map(_text, cells) if kind == arrow.string() else cells, kind)
                for kind, cells in zip(schema.types, zip(*waiting, strict=True), strict=True)
            ]
            writer.write_table(arrow.Table.from_arrays(arrays, schema=schema))
            waiting.clear()

        def write(row: list[Value | None]) -> None:
            waiting.append(row)
            if len(waiting) == ROW_GROUP:
                flush()

        yield write
        if waiting:
            flush()


def _column_type(arrow: Any, kinds: Kinds) -> Any:
    if kinds == {bool}:
        return arrow.bool_()
    if kinds == {int}:
        return arrow.int64()
    return arrow.float64() if kinds <= {int, float} else arrow.string()


def _text(cell: Value | None) -> str | None:
    return None if cell is None else str(cell).lower() if isinstance(cell, bool) else clean(str(cell))
