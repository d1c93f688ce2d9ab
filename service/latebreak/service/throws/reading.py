"""From rows of text to the table of throws: column by column, and each distinct text of a column is read once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.service.throws.cells import Cell, Decimals, read_clock, read_number, seen_decimals
from latebreak.service.throws.column_map import CLOCK, ColumnMap
from latebreak.service.throws.header import Column
from latebreak.service.throws.measured import CLOCKS, DELIVERY, MEASURED, PITCH, SESSION, SWING_KEYS, WORD_KEYS
from latebreak.service.throws.rows import DELIMITERS, Row, Rows
from latebreak.service.throws.table import Flag, Throws, Written, without_empty_rows
from latebreak.service.throws.words import READERS, Word, alike, read_pitch

#: Rows from which the decimals of a file are seen (chosen: more than a bullpen session).
DECIMALS_ROWS = 1000
#: Most flags of a file, and most names of pitches (chosen: more come from a wrong column, not from single slips).
MAX_FLAGS, MAX_PITCHES = 100_000, 1000
FULL_TURN = 360.0  # deg

T = TypeVar("T")


def read_table(rows: Rows, columns: Sequence[Column], column_map: ColumnMap, source: str) -> Throws:
    """Read the throws of a file.

    Parameters
    ----------
    rows : Rows
        The file.
    columns : sequence of Column
        The columns that are used.
    column_map : ColumnMap
        Other names of pitches, and decimals where it says them.
    source : str
        What messages call the file.

    Raises
    ------
    InputError
        No row is a throw, a column holds no number at all, or far too much can't be read.
    """
    of = {column.meaning.key: column for column in columns}
    throws, pitch, flags = _named(rows.below, of[PITCH].index, column_map.pitches)

    def read(column: Column, how: Callable[[str], Cell[T]]) -> list[Cell[T]]:
        texts = [row.cells[column.index] for row in throws]
        known = {text: how(text) for text in dict.fromkeys(texts)}
        found = [known[text] for text in texts]
        for row, name, one in zip(throws, pitch, found, strict=True):
            if one.reason:
                reason = f"{column.where}: {one.reason}; not used"
                flags.append(Flag(row.line, name, column.meaning.key, reason, left_out=False))
        if len(flags) > MAX_FLAGS:
            problem = f"more than {MAX_FLAGS:,} cells or rows can't be used, such as line {flags[0].line}"
            fault = Fault("", f"{problem}: {flags[0].reason}", "", "check header, delimiter and column map")
            raise InputError([fault], source)
        return found

    words = {key: tuple(one.value for one in read(of[key], how)) for key, how in READERS.items() if key in of}
    numbers = [column for column in columns if column.meaning.key not in WORD_KEYS]
    is_told = column_map.decimal_comma is not None
    decimals, warnings = _decimals(throws[:DECIMALS_ROWS], numbers, column_map.decimal_comma, rows.delimiter)
    values: dict[str, NDArray[np.float64]] = {}
    faults: list[Fault] = []
    not_measured: Counter[str] = Counter()
    empty: list[str] = []
    for column in numbers:
        cells = read(column, _reader(column, decimals, is_told))
        numbers_of_column = _values(column, cells)
        not_measured += _not_measured(column, throws, cells)
        if np.isfinite(numbers_of_column).any():
            values[column.meaning.key] = numbers_of_column
        elif wrong := next((one.reason for one in cells if one.reason), ""):
            faults.append(_unreadable(column, wrong))
        else:
            empty.append(f"{column.where} is empty")
    faults += _faults_of_pitches(of[PITCH], pitch, flags)
    if faults:
        raise InputError(faults, source)
    if not values:
        problem = "nothing is measured in any row"
        raise InputError([Fault("", problem, "at least one number a throw", "check the columns")], source)
    if not_measured:
        counts = ", ".join(f"{text} ({count})" for text, count in not_measured.most_common(5))
        warnings.append(f"these count as not measured: {counts}")
    none_given = (None,) * len(throws)
    everything = Throws(
        source,
        np.array([row.line for row in throws], dtype=np.int64),
        tuple(pitch),
        words.get(SESSION, none_given),
        words.get(DELIVERY, none_given),
        values,
        tuple(flags),
        (*warnings, *alike(pitch), *empty),
        {key: _written(of[key]) for key in values},
        {key: words[key] for key in SWING_KEYS if key in words},
    )
    return without_empty_rows(everything)


def _named(rows: Iterable[Row], index: int, other_names: Mapping[str, str]) -> tuple[list[Row], list[str], list[Flag]]:
    """Part the throws, with the names of their pitches, from the rows that are none, with a flag each."""
    throws, pitch, flags = [], [], []
    known: dict[str, Word] = {}
    texts: dict[str, str] = {}  # equal ones are held once: a million rows of ten numbers peak at 0.5 GB so, not at 1.1
    for row in rows:
        word = Word(None, row.trouble) if row.trouble else known.get(row.cells[index])
        if word is None:
            word = known[row.cells[index]] = read_pitch(row.cells[index], other_names)
        if word.value is None:
            flags.append(Flag(row.line, "", "", f"{word.reason}; the row is not used", left_out=True))
        else:
            throws.append(Row(row.line, [texts.setdefault(cell, cell) for cell in row.cells]))
            pitch.append(word.value)
    return throws, pitch, flags


def _decimals(
    throws: Sequence[Row], numbers: Sequence[Column], comma: bool | None, delimiter: str
) -> tuple[Decimals, list[str]]:
    """Return how the file writes decimals, as told or else as seen, and what is to be said of it."""
    if comma is not None:
        return Decimals.COMMA if comma else Decimals.POINT, []
    points, commas = seen_decimals(
        (text, is_possible)
        for column in numbers
        if column.meaning.symbol != CLOCK
        for is_possible in [_possible(column)]
        for row in throws
        if "," in (text := row.cells[column.index]) or "." in text
    )
    mixed = f", {points} with a decimal point" if points else ""
    how = f"{DELIMITERS[delimiter]} between the columns and decimal commas, 89,2 for 89.2"
    warnings = [f"read with {how}: {commas} of its numbers are written so{mixed}"] if commas else []
    if points == commas:
        return Decimals.UNKNOWN, warnings
    return Decimals.POINT if points > commas else Decimals.COMMA, warnings


def _reader(column: Column, decimals: Decimals, is_told: bool) -> Callable[[str], Cell[float]]:
    if column.meaning.symbol == CLOCK:
        return read_clock
    is_possible = _possible(column)
    return lambda text: read_number(text, decimals, is_told, is_possible, column.meaning.symbol)


def _possible(column: Column) -> Callable[[float], bool]:
    """Return what tells whether a number as written is possible for the quantity of its column."""
    low, high = MEASURED[column.meaning.key].possible
    return lambda number: low <= column.meaning.factor * number <= high


def _values(column: Column, cells: Sequence[Cell[float]]) -> NDArray[np.float64]:
    """Return a column in the canonical unit; clocks 0 to 360 deg where they are possible at all."""
    with np.errstate(over="ignore"):  # too large is impossible
        values = np.array([one.value for one in cells], dtype=np.float64) * column.meaning.factor
    if column.meaning.key not in CLOCKS:
        return values
    low, high = MEASURED[column.meaning.key].possible
    # A mirrored face runs from 0 to -360.
    is_direction = (values >= min(low, -FULL_TURN)) & (values <= high)
    return np.where(is_direction, values % FULL_TURN, values)


def _not_measured(column: Column, throws: Sequence[Row], cells: Sequence[Cell[float]]) -> Counter[str]:
    """Count the words that stand for a missing measurement."""
    missing = (
        row.cells[column.index].strip()
        for row, one in zip(throws, cells, strict=True)
        if not one.reason and np.isnan(one.value)
    )
    return Counter(text for text in missing if text)


def _written(column: Column) -> Written:
    """Tell how the file writes a quantity."""
    symbol = "" if column.meaning.symbol == CLOCK else column.meaning.symbol
    return Written(column.header, symbol, column.meaning.factor)


def _unreadable(column: Column, wrong: str) -> Fault:
    key = column.meaning.key
    is_time = key in CLOCKS and column.meaning.symbol != CLOCK and ":" in wrong
    remedy = 'name it break_clock, or say unit = "clock"' if is_time else "is it the right column?"
    return Fault(column.where, f"none of its cells can be read as {key}: {wrong}", "", remedy)


def _faults_of_pitches(column: Column, pitch: Sequence[str], flags: Sequence[Flag]) -> Iterator[Fault]:
    names = len(set(pitch))
    if names > MAX_PITCHES:
        problem, allowed = f"it holds {names:,} different names", f"at most {MAX_PITCHES:,} pitches"
        yield Fault(column.where, problem, allowed, "is it the right column?")
    if names == 0:
        reasons = "".join(f"; line {flag.line}: {flag.reason}" for flag in flags[:3])
        problem = f"none of its rows is a throw{reasons}" if flags else "there is no row below the header"
        yield Fault("", problem, "one row a throw", "" if flags else "add the throws")
