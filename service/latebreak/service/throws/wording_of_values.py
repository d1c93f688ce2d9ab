"""How a measured value stands in a reason: as the file writes it, with its unit."""

from __future__ import annotations

from collections.abc import Mapping

from latebreak.service.quantities.units import clock_face, worded_range
from latebreak.service.throws.measured import CLOCKS, MEASURED
from latebreak.service.throws.table import Written


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
