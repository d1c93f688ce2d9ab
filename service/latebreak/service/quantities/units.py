"""Units: how each ends a key, how large it is, how it is shown, and the second unit that is accepted instead."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite
from numbers import Real
from typing import Literal, NamedTuple, TypeGuard

from latebreak.engine.units import ARCMIN, DEGREE, FOOT, INCH, KMH, MILLISECOND, MPH, OUNCE, RPM

#: The units that a reader thinks in.
Units = Literal["us", "metric"]


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
    digits_more: int = 0  # after the point, so that nothing is lost where a value is shown in it

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


class Scale(NamedTuple):
    """How values are shown: the symbol of the unit, the factor to it, and digits to add after the point."""

    symbol: str
    factor: float
    digits_more: int


@dataclass(frozen=True)
class Unit:
    """A unit.

    Attributes
    ----------
    suffix : str
        How it ends a key.
    symbol : str
        How it is shown.
    si : float
        Its size in SI units; of a share, in 1.
    other : OtherUnit or ClockFace, optional
        The second unit that is accepted instead.
    of : {"us", "metric"}, optional
        Readers who think in it; the others read the second unit. None = everybody.
    """

    suffix: str
    symbol: str
    si: float = 1.0
    other: OtherUnit | ClockFace | None = None
    of: Units | None = None

    def shown_in(self, units: Units) -> Scale:
        """Return how values in this unit are shown; degrees Celsius, whose twin has another zero, stay as they are."""
        if self.of in (None, units) or not isinstance(self.other, OtherUnit) or self.other.offset:
            return Scale(self.symbol, 1.0, 0)
        return Scale(self.other.symbol, 1.0 / self.other.factor, self.other.digits_more)


# The factors are exact: see latebreak.engine.units.
MILES_PER_HOUR = Unit("_mph", "mph", MPH, OtherUnit("_kmh", "km/h", KMH / MPH), "us")
FEET = Unit("_ft", "ft", FOOT, OtherUnit("_m", "m", 1.0 / FOOT, digits_more=1), "us")
INCHES = Unit("_in", "in", INCH, OtherUnit("_cm", "cm", 0.01 / INCH), "us")
FEET_PER_SECOND = Unit("_ft_s", "ft/s", FOOT, OtherUnit("_m_s", "m/s", 1.0 / FOOT, digits_more=1), "us")
FEET_PER_SECOND_SQUARED = Unit("_ft_s2", "ft/s2", FOOT, OtherUnit("_m_s2", "m/s2", 1.0 / FOOT, digits_more=1), "us")
OUNCES = Unit("_oz", "oz", OUNCE, OtherUnit("_g", "g", 1e-3 / OUNCE), "us")
METRES = Unit("_m", "m", 1.0, OtherUnit("_ft", "ft", FOOT), "metric")
CELSIUS = Unit("_c", "deg C", 1.0, OtherUnit("_f", "deg F", 5.0 / 9.0, -160.0 / 9.0), "metric")
CLOCK_DEGREES = Unit("_deg", "deg", DEGREE, ClockFace())
CLOCK_MINUTES = Unit("", "min", 0.5 * DEGREE)  # an hour of the clock face is 30 degrees
DEGREES = Unit("_deg", "deg", DEGREE)
ARCMINUTES = Unit("_arcmin", "arcmin", ARCMIN)
REVOLUTIONS_PER_MINUTE = Unit("_rpm", "rpm", RPM)
PERCENT = Unit("_percent", "%", 0.01)
POINTS = Unit("", "points", 0.01)
MILLISECONDS = Unit("_ms", "ms", MILLISECOND)
SECONDS = Unit("_s", "s")
HECTOPASCALS = Unit("_hpa", "hPa", 100.0)
KILOGRAMS_PER_CUBIC_METRE = Unit("_kg_m3", "kg/m3")
YEARS = Unit("_years", "years")
NUMBER = Unit("", "")

#: Units by how they end a key, the longer ends first: `_ft_s` is no `_s`.
_ENDS = sorted(
    (unit for unit in list(globals().values()) if isinstance(unit, Unit) and unit.suffix and unit is not CLOCK_DEGREES),
    key=lambda unit: -len(unit.suffix),
)


def unit_of(key: str) -> Unit:
    """Return the unit that ends a key; a direction on a clock face, which is no spread, has that of the clock."""
    if key.endswith("clock_deg") and not key.startswith("spread."):
        return CLOCK_DEGREES
    return next((unit for unit in _ENDS if key.endswith(unit.suffix)), NUMBER)


def clock_face(degrees: float) -> str:
    """Word a clock direction, degrees clockwise from 12:00, as a clock time to the minute: 212.5 as 7:05."""
    minutes = round(degrees * 2.0) % 720  # an hour is 30 degrees
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def worded_range(low: float, high: float, symbol: str) -> str:
    """Word a closed range with its unit."""
    ends = (f"{end}" if isinstance(end, int) else f"{end:.4g}" for end in (low, high))
    return " to ".join(ends) + (f" {symbol}" if symbol else "")
