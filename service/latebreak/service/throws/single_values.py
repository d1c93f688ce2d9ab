"""Single values that can't be used: impossible ones, and those written in another unit than their column says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES
from latebreak.service.throws.groups import Columns, Group
from latebreak.service.throws.measured import MEASURED
from latebreak.service.throws.other_unit import Reading, mistaken_unit, other_readings
from latebreak.service.throws.table import Written, possible_range, symbol_in_file, value_in_words


def is_impossible(key: str, values: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell which values lie outside the possible range of their quantity; NaN does not."""
    low, high = MEASURED[key].possible
    return np.asarray((values < low) | (values > high))


def faulty_values(group: Group, columns: Columns, written: Mapping[str, Written]) -> Iterator[tuple[int, str, str]]:
    """Find the values of a group that can't be used.

    Parameters
    ----------
    group : Group
        Its locations are made of possible values only.
    columns : mapping of str to float64 array, shape (n,)
        The table, in canonical units.
    written : mapping
        How the file writes its quantities.

    Yields
    ------
    tuple of int, str and str
        Row, key, reason.
    """
    for key, column in columns.items():
        values, others = column[group.rows], group.locations.get(key)
        impossible = is_impossible(key, values)
        far = impossible
        if others is not None:
            with np.errstate(over="ignore"):  # too large is far
                far = impossible | (others.distance(values) > others.cut)
        for place in np.flatnonzero(far).tolist():
            value = float(values[place])
            reading = None if others is None else mistaken_unit(value, others, written)
            here = value_in_words(key, value, written)
            if reading is not None and others is not None:
                centre = value_in_words(key, others.centre, written)
                reason = f"{here} looks like {reading.symbol} among {symbol_in_file(key, written)}: it would be "
                reason += f"{value_in_words(key, reading.value, written)}, and the median of {group.pitch} is {centre}"
            elif impossible[place]:
                reason = f"{here} is impossible ({possible_range(key, written)})"
                reason += _hint(key, value, written)
            else:
                continue
            yield int(group.rows[place]), key, f"{QUANTITIES[key].brief} {reason}; this value is not used"


def _hint(key: str, value: float, written: Mapping[str, Written]) -> str:
    usual = MEASURED[key].usual
    if usual is None:
        return ""
    fitting = [reading for reading in other_readings(key, value, written) if usual[0] <= reading.value <= usual[1]]
    return f"; {_ways(key, fitting, written)}" if fitting else ""


def _ways(key: str, readings: list[Reading], written: Mapping[str, Written]) -> str:
    return " or ".join(f"in {one.symbol} it would be {value_in_words(key, one.value, written)}" for one in readings)
