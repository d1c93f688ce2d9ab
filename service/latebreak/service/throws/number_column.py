"""A column of numbers or clock times: the cells of a block at a time, quickly where they leave no doubt."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from math import isfinite, nan

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws.cells import Cell, Decimals, read_clock, read_number
from latebreak.service.throws.column_map import CLOCK
from latebreak.service.throws.header import Column
from latebreak.service.throws.measured import CLOCKS, MEASURED
from latebreak.service.throws.table import Written

_THOUSANDS = re.compile(r"^[+-]?[1-9][0-9]{0,2}(?:,[0-9]{3})+$", re.MULTILINE)
FULL_TURN = 360.0  # deg


class NumberColumn:
    """A column of a file and what was read of it.

    Parameters
    ----------
    column : Column
        Its place in the file and what it holds.

    Attributes
    ----------
    unreadable : int
        Cells so far that could not be read.
    example : str
        What is wrong with the first of them; empty where there is none.
    not_measured : Counter of str
        Words so far that stand for a missing measurement.
    """

    def __init__(self, column: Column) -> None:
        self.column, self.key = column, column.meaning.key
        self.is_clock = column.meaning.symbol == CLOCK
        self.unreadable, self.example = 0, ""
        self.not_measured: Counter[str] = Counter()
        self._factor = column.meaning.factor
        self._low, self._high = MEASURED[self.key].possible
        # 2,250 may mean thousands only where thousands are possible.
        self._has_thousands = max(abs(self._low), abs(self._high)) >= 1000.0 * abs(self._factor)
        self._parts: list[NDArray[np.float64]] = []

    @property
    def written(self) -> Written:
        """How the file writes the quantity."""
        return Written(self.column.header, "" if self.is_clock else self.column.meaning.symbol, self._factor)

    def is_possible(self, number: float) -> bool:
        """Tell whether a number of this column is possible for its quantity."""
        return self._low <= self._factor * number <= self._high

    def read(self, cells: Sequence[str], decimals: Decimals, is_told: bool) -> list[tuple[int, str]]:
        """Read a block of cells.

        Parameters
        ----------
        cells : sequence of str
            Cells of this column, one a row.
        decimals : Decimals
            How the file writes decimals.
        is_told : bool
            Whether the column map says so.

        Returns
        -------
        list of tuple of int and str
            Places in the block that can't be used, with the reason.
        """
        quick = None if self.is_clock else self._quick(cells, decimals)
        if quick is not None:
            self._parts.append(quick)
            return []
        known: dict[str, Cell] = {}
        values, trouble = np.empty(len(cells)), []
        for place, text in enumerate(cells):
            cell = known.get(text) or known.setdefault(text, self._read_cell(text, decimals, is_told))
            values[place] = cell.value
            if cell.reason:
                trouble.append((place, cell.reason))
            elif not isfinite(cell.value) and text.strip():
                self.not_measured[text.strip()] += 1
        self._parts.append(values)
        self.unreadable += len(trouble)
        self.example = self.example or (trouble[0][1] if trouble else "")
        return trouble

    def values(self) -> NDArray[np.float64]:
        """Return the whole column in the canonical unit; clocks 0 to 360 deg where they are possible at all."""
        with np.errstate(over="ignore"):  # too large is impossible
            values = np.concatenate(self._parts) * self._factor if self._parts else np.empty(0)
        if self.key not in CLOCKS:
            return values
        # A mirrored face runs from 0 to -360.
        is_direction = (values >= min(self._low, -FULL_TURN)) & (values <= self._high)
        return np.where(is_direction, values % FULL_TURN, values)

    def _read_cell(self, text: str, decimals: Decimals, is_told: bool) -> Cell:
        if self.is_clock:
            return read_clock(text)
        return read_number(text, decimals, is_told, self.is_possible, self.column.meaning.symbol)

    def _quick(self, cells: Sequence[str], decimals: Decimals) -> NDArray[np.float64] | None:
        """Read cells that leave no doubt; None where one does."""
        joined = "\n".join(cells)
        if "_" in joined:  # 1_000 is a number to Python alone
            return None
        if decimals is not Decimals.POINT and ("," in joined or "." in joined):
            if decimals is Decimals.UNKNOWN or "." in joined or (self._has_thousands and _THOUSANDS.search(joined)):
                return None
            cells = joined.replace(",", ".").split("\n")
        gaps = cells.count("") if "" in cells else 0
        try:
            read = ((float(cell) if cell else nan) for cell in cells) if gaps else map(float, cells)
            numbers = np.fromiter(read, np.float64, len(cells))
        except ValueError:
            return None
        # Words such as inf and nan are numbers to Python.
        return numbers if int(np.isfinite(numbers).sum()) + gaps == len(cells) else None
