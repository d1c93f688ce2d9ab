"""The measured throws of a file as a clean table, and the flags that tell what was left out and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities.units import clock_face, worded_range
from latebreak.service.throws.measured import CLOCKS, MEASURED


@dataclass(frozen=True)
class Flag:
    """One row, or one cell, that is not used.

    Attributes
    ----------
    line : int
        Line of the file; the header is line 1.
    pitch : str
        Name of the pitch; empty where it can't be read.
    key : str
        Canonical key of the cell, for example speed_mph; empty where the whole row is meant.
    reason : str
        Plain words: the value with its unit, what is wrong with it, and what was done.
    left_out : bool
        True: the whole row is not used. False: only this cell is not used.
    """

    line: int
    pitch: str
    key: str
    reason: str
    left_out: bool


@dataclass(frozen=True)
class Written:
    """How the file writes a quantity: value of the canonical unit = factor * written.

    Attributes
    ----------
    header : str
        Name of the column.
    symbol : str
        Unit of its numbers; empty where it holds clock times.
    factor : float
        Negative where the file's viewpoint mirrors the side.
    """

    header: str
    symbol: str
    factor: float


def value_in_words(key: str, value: float, written: Mapping[str, Written]) -> str:
    """Word a value of the canonical unit in the unit of its column; a direction as a clock time."""
    low, high = MEASURED[key].possible
    column = written.get(key)
    if key in CLOCKS and low <= value <= high:
        return clock_face(-value if column is not None and column.factor < 0.0 else value)
    if column is None or not column.symbol:
        return f"{value:.4g} {MEASURED[key].unit.symbol}"
    return f"{value / column.factor:.4g} {column.symbol}"


def possible_range(key: str, written: Mapping[str, Written]) -> str:
    """Word the possible range of a quantity in the unit of its column."""
    low, high = MEASURED[key].possible
    column = written.get(key)
    if column is None or not column.symbol:
        return worded_range(low, high, MEASURED[key].unit.symbol)
    low, high = sorted((low / column.factor, high / column.factor))
    return worded_range(low, high, column.symbol)


def symbol_in_file(key: str, written: Mapping[str, Written]) -> str:
    """Return the symbol of the unit in which the file writes a quantity."""
    column = written.get(key)
    return column.symbol if column is not None and column.symbol else MEASURED[key].unit.symbol


@dataclass(frozen=True, eq=False)
class Throws:
    """The rows of a file that are used; n rows.

    Every row of the file that holds anything is either here or has exactly one flag with `left_out`.

    Attributes
    ----------
    source : str
        Name of the file, printable.
    line : int64 array, shape (n,)
        Line of the file on which the row begins; the header is line 1.
    pitch : tuple of str, length n
        Name of the pitch.
    session, delivery : tuple of str or None, length n
        None = not given. Deliveries are "wind_up" and "stretch".
    values : dict of str to float64 array, shape (n,)
        By canonical key, in the unit that the key names; NaN = not measured. Only quantities that the file holds;
        clocks as break_clock_deg, 0 to 360.
    flags : tuple of Flag
        In the order of the lines.
    warnings : tuple of str
        What concerns the file as a whole.
    written : dict of str to Written
        How the file writes each quantity of `values`.
    words : dict of str to tuple of str or None, length n
        What a record of swings tells besides, by key; only columns that the file holds.
    """

    source: str
    line: NDArray[np.int64]
    pitch: tuple[str, ...]
    session: tuple[str | None, ...]
    delivery: tuple[str | None, ...]
    values: dict[str, NDArray[np.float64]]
    flags: tuple[Flag, ...] = ()
    warnings: tuple[str, ...] = ()
    written: dict[str, Written] = field(default_factory=dict)
    words: dict[str, tuple[str | None, ...]] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.pitch)

    @property
    def pitches(self) -> tuple[str, ...]:
        """Names of the pitches, in the order of their first used throw."""
        return tuple(dict.fromkeys(self.pitch))

    @property
    def sessions(self) -> tuple[str, ...]:
        """Names of the sessions, in the order of their first used throw."""
        return tuple(dict.fromkeys(name for name in self.session if name is not None))

    @property
    def rows(self) -> int:
        """Rows of the file: used and left out."""
        return len(self) + sum(flag.left_out for flag in self.flags)

    def count(self, pitch: str) -> int:
        """Return how many throws of a pitch are used."""
        return self.pitch.count(pitch)

    def left_out(self, pitch: str) -> int:
        """Return how many rows of a pitch are not used."""
        return sum(flag.left_out and flag.pitch == pitch for flag in self.flags)

    def select(self, rows: NDArray[np.bool_]) -> Throws:
        """Return the table of some of its rows, with all flags and warnings.

        Parameters
        ----------
        rows : bool array, shape (n,)
            True = keep.
        """
        kept = np.flatnonzero(rows).tolist()
        return Throws(
            self.source,
            self.line[rows],
            tuple(self.pitch[i] for i in kept),
            tuple(self.session[i] for i in kept),
            tuple(self.delivery[i] for i in kept),
            {key: column[rows] for key, column in self.values.items()},
            self.flags,
            self.warnings,
            self.written,
            {key: tuple(column[i] for i in kept) for key, column in self.words.items()},
        )


def without_empty_rows(throws: Throws) -> Throws:
    """Take out the rows in which nothing is measured, each with a flag; flags come in the order of the lines."""
    is_measured = np.zeros(len(throws), dtype=np.bool_)
    for column in throws.values.values():
        is_measured |= np.isfinite(column)
    reason = "nothing is measured that can be used; the row is not used"
    empty = [
        Flag(int(throws.line[i]), throws.pitch[i], "", reason, left_out=True)
        for i in np.flatnonzero(~is_measured).tolist()
    ]
    flags = tuple(sorted((*throws.flags, *empty), key=lambda flag: flag.line))
    return replace(throws.select(is_measured) if empty else throws, flags=flags)
