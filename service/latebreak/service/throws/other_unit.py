"""Values that were written in another unit than their column says: named, never converted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES
from latebreak.service.throws.foreign_units import factors
from latebreak.service.throws.measured import CLOCKS, MEASURED
from latebreak.service.throws.robust_location import RobustLocation
from latebreak.service.throws.table import Written, symbol_in_file, value_in_words
from latebreak.service.wording import shown

#: Scales from the centre of a pitch within which a value is one of it (chosen: holds 99.7 % of a normal sample).
INSIDE = 3.0
#: Units nearer to each other than this are no likely mistake and can't be told from a slip (chosen: between ft/s and
#: mph, 1.47, and km/h and mph, 1.61).
LEAST_RATIO = 1.5
#: A column of which so large a share is impossible, and which another unit would explain, is not used (chosen).
IMPOSSIBLE_SHARE = 0.25
#: Usual range of the mean efficiency, in %, for columns written as shares (chosen: a bullet spin still has some).
USUAL_EFFICIENCY = (2.0, 100.0)


@dataclass(frozen=True)
class Reading:
    """A value read in another unit: the unit and what the value would be, in the canonical unit."""

    symbol: str
    value: float


def other_readings(key: str, value: float, written: Mapping[str, Written]) -> Iterator[Reading]:
    """Yield what a value would be, had it been written in another unit than the column's.

    Parameters
    ----------
    key : str
        Canonical key.
    value : float
        In the canonical unit.
    written : mapping
        How the file writes its quantities.
    """
    if key in CLOCKS:
        return
    units = factors(MEASURED[key].unit.symbol)
    own = symbol_in_file(key, written)
    for symbol, factor in units.items():
        ratio = factor / units[own]
        if max(ratio, 1.0 / ratio) > LEAST_RATIO:
            yield Reading(symbol, value * ratio)


def mistaken_unit(value: float, others: RobustLocation, written: Mapping[str, Written]) -> Reading | None:
    """Return the unit that brings a far value among the others, the nearest of several; None where none does.

    Nothing can be told where the others lie around 0: any smaller number is among those.
    """
    if others.distance(np.zeros(1)) <= INSIDE:
        return None
    readings = list(other_readings(others.key, value, written))
    distance = others.distance(np.array([reading.value for reading in readings]))
    if len(readings) == 0 or distance.min() > INSIDE:
        return None
    return readings[int(distance.argmin())]


def column_in_other_unit(
    key: str, values: NDArray[np.float64], written: Mapping[str, Written]
) -> tuple[str, bool] | None:
    """Tell whether a whole column seems to be written in another unit.

    Parameters
    ----------
    key : str
        Canonical key.
    values : float64 array, shape (n,)
        The column, in the canonical unit; NaN = not measured.
    written : mapping
        How the file writes its quantities.

    Returns
    -------
    tuple of str and bool, or None
        The warning, and whether the column can't be used; None where nothing is unusual.
    """
    usual = USUAL_EFFICIENCY if key == "efficiency_percent" else MEASURED[key].usual
    measured = values[np.isfinite(values)]
    if usual is None or len(measured) == 0:
        return None
    median = float(np.median(measured))
    if usual[0] <= median <= usual[1]:
        return None
    readings = [r for r in other_readings(key, median, written) if usual[0] <= r.value <= usual[1]]
    if not readings:
        return None
    low, high = MEASURED[key].possible
    is_useless = float(np.mean((measured < low) | (measured > high))) >= IMPOSSIBLE_SHARE
    here, unit = value_in_words(key, median, written), MEASURED[key].unit.symbol
    ways = " or ".join(f"{reading.symbol} ({reading.value:.4g} {unit})" for reading in readings)
    header = written[key].header if key in written else key
    outcome = "the column is not used" if is_useless else "it is used as it is"
    warning = f"{QUANTITIES[key].brief}, column {shown(header)}: the median is {here}; is it in {ways}? {outcome}; "
    return warning + 'a column map says the unit: unit = "..."', is_useless
