"""From rows of text to the table of throws, block by block, so that memory is bounded by the numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import islice

import numpy as np

from latebreak.engine.errors import Fault, InputError
from latebreak.service.throws.categorical import Category, alike, read_delivery, read_name, read_pitch
from latebreak.service.throws.cells import Decimals, seen_decimals
from latebreak.service.throws.column_map import ColumnMap
from latebreak.service.throws.delimiter import DELIMITERS
from latebreak.service.throws.header import Column
from latebreak.service.throws.measured import CLOCKS, DELIVERY, PITCH, SESSION, WORD_KEYS
from latebreak.service.throws.number_column import NumberColumn
from latebreak.service.throws.rows import Row, Rows
from latebreak.service.throws.swing_words import SWING_WORDS
from latebreak.service.throws.table import Flag, Throws, without_empty_rows

#: Cells that are held as text at a time, and rows at least (chosen: as quick as more, and small in memory).
BLOCK_CELLS, BLOCK_ROWS = 20_000, 100
#: Rows from which the decimals of a file are seen (chosen: more than a bullpen session).
DECIMALS_ROWS = 1000
#: Most flags of a file, and most names of pitches (chosen: more come from a wrong column, not from single slips).
MAX_FLAGS, MAX_PITCHES = 100_000, 1000


class TableReader:
    """Collects the throws of a file.

    Parameters
    ----------
    columns : list of Column
        The columns that are used.
    column_map : ColumnMap
        Other names of pitches, and decimals where it says them.
    source : str
        What messages call the file.
    """

    def __init__(self, columns: list[Column], column_map: ColumnMap, source: str) -> None:
        self._source, self._told = source, column_map.decimal_comma
        self._decimals = Decimals.UNKNOWN if self._told is None else Decimals.COMMA if self._told else Decimals.POINT
        self._numbers = [NumberColumn(column) for column in columns if column.meaning.key not in WORD_KEYS]
        self._words = {column.meaning.key: column for column in columns if column.meaning.key in WORD_KEYS}
        self._read_pitch = lru_cache(maxsize=10_000)(lambda text: read_pitch(text, column_map.pitches))
        self._line: list[int] = []
        self._pitch: list[str] = []
        self._session: list[str | None] = []
        self._delivery: list[str | None] = []
        self._swings: dict[str, list[str | None]] = {key: [] for key in SWING_WORDS if key in self._words}
        self._flags: list[Flag] = []
        self._warnings: list[str] = []

    def read(self, rows: Rows) -> Throws:
        """Read all rows.

        Parameters
        ----------
        rows : Rows
            The file.

        Raises
        ------
        InputError
            No row is a throw, a column holds no number at all, or far too much can't be read.
        """
        below_header, size = iter(rows), max(BLOCK_ROWS, BLOCK_CELLS // len(rows.header))
        while block := list(islice(below_header, size)):
            self._add(block, rows.delimiter)
            self._check_flags()
        faults = [*self._unreadable_columns(), *self._pitches_at_fault()]
        if faults:
            raise InputError(faults, self._source)
        self._say_not_measured()
        self._warnings += alike(self._pitch)
        return self._table()

    def _add(self, block: list[Row], delimiter: str) -> None:
        pitch, usable = self._words[PITCH].index, []
        for row in block:
            word = Category(None, row.trouble) if row.trouble else self._read_pitch(row.cells[pitch])
            if word.value is None:
                self._flags.append(Flag(row.line, "", "", f"{word.reason}; the row is not used", left_out=True))
            else:
                usable.append(row)
                self._pitch.append(word.value)
        if not self._line and self._told is None:
            self._see_decimals(usable[:DECIMALS_ROWS], delimiter)
        start = len(self._line)
        self._line += [row.line for row in usable]
        self._session += self._read_words(SESSION, read_name, usable, start)
        self._delivery += self._read_words(DELIVERY, read_delivery, usable, start)
        for key, told in self._swings.items():
            told.extend(self._read_words(key, SWING_WORDS[key], usable, start))
        table = [row.cells for row in usable]
        for number in self._numbers:
            index = number.column.index
            cells = [row_cells[index] for row_cells in table]
            for place, reason in number.read(cells, self._decimals, self._told is not None):
                self._flag(start + place, number.key, f"{number.column.where}: {reason}")

    def _see_decimals(self, rows: list[Row], delimiter: str) -> None:
        points, commas = seen_decimals(
            (text, number.is_possible)
            for number in self._numbers
            if not number.is_clock
            for row in rows
            if "," in (text := row.cells[number.column.index]) or "." in text
        )
        if points != commas:
            self._decimals = Decimals.POINT if points > commas else Decimals.COMMA
        if commas:
            mixed = f", {points} with a decimal point" if points else ""
            how = f"{DELIMITERS[delimiter]} between the columns and decimal commas, 89,2 for 89.2"
            self._warnings.append(f"read with {how}: {commas} of its numbers are written so{mixed}")

    def _read_words(self, key: str, read: Callable[[str], Category], rows: list[Row], start: int) -> list[str | None]:
        if key not in self._words:
            return [None] * len(rows)
        index = self._words[key].index
        known: dict[str, Category] = {}
        values = []
        for place, row in enumerate(rows, start):
            text = row.cells[index]
            word = known.get(text) or known.setdefault(text, read(text))
            values.append(word.value)
            if word.reason:
                self._flag(place, key, f"{self._words[key].where}: {word.reason}; not used")
        return values

    def _flag(self, place: int, key: str, reason: str) -> None:
        self._flags.append(Flag(self._line[place], self._pitch[place], key, reason, left_out=False))

    def _check_flags(self) -> None:
        if len(self._flags) <= MAX_FLAGS:
            return
        problem = f"more than {MAX_FLAGS:,} cells or rows can't be used, such as line {self._flags[0].line}"
        fault = Fault("", f"{problem}: {self._flags[0].reason}", "", "check header, delimiter and column map")
        raise InputError([fault], self._source)

    def _unreadable_columns(self) -> Iterator[Fault]:
        for number in self._numbers:
            if number.unreadable and not np.isfinite(number.values()).any():
                problem = f"none of its cells can be read as {number.key}: {number.example.removesuffix('; not used')}"
                is_time = number.key in CLOCKS and not number.is_clock and ":" in number.example
                remedy = 'name it break_clock, or say unit = "clock"' if is_time else "is it the right column?"
                yield Fault(number.column.where, problem, "", remedy)

    def _pitches_at_fault(self) -> Iterator[Fault]:
        names = len(set(self._pitch))
        if names > MAX_PITCHES:
            problem, allowed = f"it holds {names:,} different names", f"at most {MAX_PITCHES:,} pitches"
            yield Fault(self._words[PITCH].where, problem, allowed, "is it the right column?")
        if names == 0:
            reasons = "".join(f"; line {flag.line}: {flag.reason}" for flag in self._flags[:3])
            problem = f"none of its rows is a throw{reasons}" if self._flags else "there is no row below the header"
            yield Fault("", problem, "one row a throw", "" if self._flags else "add the throws")

    def _say_not_measured(self) -> None:
        total = sum((number.not_measured for number in self._numbers), Counter[str]())
        if total:
            counts = ", ".join(f"{text} ({count})" for text, count in total.most_common(5))
            self._warnings.append(f"these count as not measured: {counts}")

    def _table(self) -> Throws:
        values, written = {}, {}
        for number in self._numbers:
            column = number.values()
            if np.isfinite(column).any():
                values[number.key], written[number.key] = column, number.written
            else:
                self._warnings.append(f"{number.column.where} is empty")
        if not values:
            problem = "nothing is measured in any row"
            raise InputError([Fault("", problem, "at least one number a throw", "check the columns")], self._source)
        everything = Throws(
            self._source,
            np.array(self._line, dtype=np.int64),
            tuple(self._pitch),
            tuple(self._session),
            tuple(self._delivery),
            values,
            tuple(self._flags),
            tuple(self._warnings),
            written,
            {key: tuple(column) for key, column in self._swings.items()},
        )
        return without_empty_rows(everything)
