"""Quantities of a scenario: a number with its unit, its possible range, its usual range, and its second unit.

A field of a section is declared as ``Annotated[float, Quantity(...)]``; that declaration alone drives reading the key
in either unit, the faults, the warnings and their wording.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from numbers import Real
from typing import TypeGuard

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from latebreak.engine.units import FOOT, INCH, KMH, MPH, OUNCE


def is_finite_number(value: object) -> TypeGuard[float]:
    """Tell whether a value is a real, finite number; true and false are not numbers here."""
    try:
        return isinstance(value, Real) and not isinstance(value, bool) and isfinite(value)
    except OverflowError:  # a whole number beyond the floating-point range
        return False


@dataclass(frozen=True)
class OtherUnit:
    """A second unit in which a key is accepted: value = factor * written + offset."""

    suffix: str
    symbol: str
    factor: float
    offset: float = 0.0

    def key(self, key: str, suffix: str) -> str:
        """Name the key in this unit, for example speed_kmh for speed_mph."""
        return key.removesuffix(suffix) + self.suffix

    def read(self, written: object) -> float | None:
        """Convert to the first unit; None where the value is no number."""
        return self.factor * float(written) + self.offset if is_finite_number(written) else None

    def range(self, low: float, high: float) -> str:
        """Word a range of the first unit in this unit."""
        return worded_range((low - self.offset) / self.factor, (high - self.offset) / self.factor, self.symbol)


@dataclass(frozen=True)
class ClockFace:
    """A direction written as a clock time, "12:45", read as degrees clockwise from 12:00."""

    suffix: str = ""
    symbol: str = ""

    def key(self, key: str, suffix: str) -> str:
        """Name the clock key, for example break_clock for break_clock_deg."""
        return key.removesuffix(suffix)

    def read(self, written: object) -> float | None:
        """Convert to degrees, an hour being 30 and a minute half of one; None where the value is no clock time."""
        if not isinstance(written, str) or not re.fullmatch(r"(0?[1-9]|1[0-2]):[0-5][0-9]", written):
            return None
        hour, minute = written.split(":")
        return 30.0 * (int(hour) % 12) + 0.5 * int(minute)

    def range(self, low: float, high: float) -> str:
        """Word the clock faces that are accepted."""
        return '"1:00" to "12:59", in quotes'


@dataclass(frozen=True)
class Unit:
    """A unit: how it ends a key, how it is shown, and the second unit that is accepted instead."""

    suffix: str
    symbol: str
    other: OtherUnit | ClockFace | None = None


# The factors are exact: see latebreak.engine.units.
MILES_PER_HOUR = Unit("_mph", "mph", OtherUnit("_kmh", "km/h", KMH / MPH))
FEET = Unit("_ft", "ft", OtherUnit("_m", "m", 1.0 / FOOT))
INCHES = Unit("_in", "in", OtherUnit("_cm", "cm", 0.01 / INCH))
OUNCES = Unit("_oz", "oz", OtherUnit("_g", "g", 1e-3 / OUNCE))
METRES = Unit("_m", "m", OtherUnit("_ft", "ft", FOOT))
CELSIUS = Unit("_c", "deg C", OtherUnit("_f", "deg F", 5.0 / 9.0, -160.0 / 9.0))
CLOCK_DEGREES = Unit("_deg", "deg", ClockFace())
DEGREES = Unit("_deg", "deg")
REVOLUTIONS_PER_MINUTE = Unit("_rpm", "rpm")
PERCENT = Unit("_percent", "%")
MILLISECONDS = Unit("_ms", "ms")
SECONDS = Unit("_s", "s")
HECTOPASCALS = Unit("_hpa", "hPa")
KILOGRAMS_PER_CUBIC_METRE = Unit("_kg_m3", "kg/m3")
YEARS = Unit("_years", "years")
NUMBER = Unit("", "")


def worded_range(low: float, high: float, symbol: str) -> str:
    """Word a closed range with its unit."""
    ends = (f"{end}" if isinstance(end, int) else f"{end:.4g}" for end in (low, high))
    return " to ".join(ends) + (f" {symbol}" if symbol else "")


@dataclass(frozen=True)
class Quantity:
    """Metadata of a numeric field.

    Attributes
    ----------
    unit : Unit
        Unit of the field's value.
    possible : tuple of float
        Closed range; a value outside is a fault.
    usual : tuple of float, optional
        Closed range; a value outside is a warning and the run goes on.
    whole : bool
        Whether only whole numbers are accepted.
    """

    unit: Unit
    possible: tuple[float, float]
    usual: tuple[float, float] | None = None
    whole: bool = False

    def validate(self, value: object) -> float:
        """Return the value as a number of the field; refuse every other thing.

        Raises
        ------
        PydanticCustomError
            Type "quantity"; its context carries this quantity, for the wording of the fault.
        """
        low, high = self.possible
        if is_finite_number(value) and low <= value <= high and (not self.whole or value == int(value)):
            return int(value) if self.whole else float(value)
        raise PydanticCustomError("quantity", "not a possible value", {"quantity": self})

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.validate)
