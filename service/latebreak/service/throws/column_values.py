"""What the values of a column say of its unit: how large they are, held against what pitches are like."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws.cells import CLOCK_TIME, NOT_MEASURED, Decimals, read_number
from latebreak.service.throws.foreign_units import factors
from latebreak.service.throws.measured import CLOCKS, MEASURED
from latebreak.service.throws.other_unit import other_readings

#: Of the absolute values of a column: the part that is told, the largest tenth left out as slips (chosen).
PART = 0.9
#: What that is for the pitches of anybody from eight years to a professional, in the canonical unit (chosen from common
#: practice, no source; narrow enough to tell feet from metres and inches from centimetres where that can be told).
_SIZES = {
    "speed_mph": (45.0, 106.0),
    "spin_rpm": (500.0, 3600.0),
    "efficiency_percent": (2.0, 100.0),
    "gyro_deg": (4.0, 90.0),
    "release_side_ft": (0.7, 5.0),
    "release_height_ft": (2.8, 7.5),
    "extension_ft": (3.0, 8.0),
    "launch_elevation_deg": (0.8, 15.0),
    "launch_azimuth_deg": (0.8, 10.0),
    "arrival_side_ft": (0.5, 3.5),
    "arrival_height_ft": (2.0, 5.0),
    "arrival_speed_mph": (40.0, 100.0),
    "induced_vertical_break_in": (4.0, 25.0),
    "induced_side_break_in": (4.0, 25.0),
    "x0_ft": (0.7, 5.0),
    "y0_ft": (40.0, 60.0),
    "z0_ft": (2.8, 7.5),
    "vx0_ft_s": (2.0, 30.0),
    "vy0_ft_s": (66.0, 156.0),
    "vz0_ft_s": (2.0, 30.0),
    "ax_ft_s2": (3.0, 40.0),
    "ay_ft_s2": (8.0, 50.0),
    "az_ft_s2": (16.0, 70.0),
}
#: A direction in degrees reaches beyond this, and one in radians never beyond a turn.
_TURN = 2.0 * np.pi


@dataclass(frozen=True, eq=False)
class Values:
    """The values of a column.

    Attributes
    ----------
    numbers : float64 array, shape (n,)
        As written; NaN = no number.
    clocks : int
        How many are clock times, 7:05.
    texts : tuple of str
        Those that are neither, each once.
    filled : int
        How many cells hold anything.
    """

    numbers: NDArray[np.float64]
    clocks: int
    texts: tuple[str, ...]
    filled: int

    @property
    def size(self) -> float:
        """What nine of ten values don't exceed, as absolute values; NaN where there is no number."""
        known = np.abs(self.numbers[np.isfinite(self.numbers)])
        return float(np.quantile(known, PART)) if len(known) else float("nan")

    @property
    def are_numbers(self) -> bool:
        """Whether most filled cells are numbers."""
        return bool(np.isfinite(self.numbers).sum() > 0.5 * self.filled > 0)

    @property
    def are_clocks(self) -> bool:
        """Whether most filled cells are clock times."""
        return self.clocks > 0.5 * self.filled > 0


def read_values(cells: Sequence[str], decimals: Decimals) -> Values:
    """Read the cells of a column, whatever they hold.

    Parameters
    ----------
    cells : sequence of str
        As written.
    decimals : Decimals
        How the file writes them.
    """
    filled = [cell.strip() for cell in cells if cell.strip().lower() not in NOT_MEASURED]
    found = [read_number(cell, decimals, True, lambda value: True, "") for cell in cells]
    clocks = sum(CLOCK_TIME.fullmatch(cell) is not None for cell in filled)
    texts = (cell.strip() for cell, one in zip(cells, found, strict=True) if one.reason)
    words = dict.fromkeys(text for text in texts if not CLOCK_TIME.fullmatch(text))
    return Values(np.array([one.value for one in found]), clocks, tuple(words), len(filled))


def fitting_units(key: str, values: Values) -> tuple[str, ...]:
    """Return the units in which the values are those of pitches, the canonical one first.

    Units that are nearer to each other than `other_unit.LEAST_RATIO` can't be told apart; the canonical one stands for
    them.

    Parameters
    ----------
    key : str
        Canonical key of a quantity that is measured.
    values : Values
        The column.
    """
    own = MEASURED[key].unit.symbol
    if key in CLOCKS:
        if not values.size <= 360.0:
            return ()
        return (own,) if values.size > 12.0 else tuple(unit for unit in ("rad",) if values.size <= _TURN)
    low, high = _SIZES[key]
    found = [own] if low <= values.size <= high else []
    return (*found, *(one.symbol for one in other_readings(key, values.size, {}) if low <= one.value <= high))


def fits(key: str, values: Values, symbol: str) -> bool:
    """Whether values in a unit are those of pitches."""
    if key in CLOCKS:
        return symbol in fitting_units(key, values)
    low, high = _SIZES[key]
    return bool(low <= values.size * factors(MEASURED[key].unit.symbol)[symbol] <= high)
