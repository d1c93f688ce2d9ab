"""US or metric: the same quantities in the units that a reader thinks in. Answers are in US units."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from latebreak.service.scenario.quantities import FEET, INCHES, MILES_PER_HOUR, OtherUnit

Units = Literal["us", "metric"]


@dataclass(frozen=True)
class Scale:
    """How a quantity of an answer is shown.

    Attributes
    ----------
    symbol : str
        Unit that is shown.
    factor : float
        Shown = factor times what the answer holds.
    digits_more : int
        Digits after the point beyond those of the US unit, so that nothing is lost.
    """

    symbol: str
    factor: float = 1.0
    digits_more: int = 0


#: Metric twins; every other unit (rpm, deg, ms, arcmin, %) is the same in both.
_TWINS = {unit.symbol: (unit.other, more) for unit, more in ((FEET, 1), (INCHES, 0), (MILES_PER_HOUR, 0))}


def show_in(units: Units, unit: str) -> Scale:
    """Return how quantities in a unit of the answers ("ft", "in", "mph", "%", ...) are shown."""
    if units == "us" or unit not in _TWINS:
        return Scale(unit)
    other, more = _TWINS[unit]
    assert isinstance(other, OtherUnit)  # a length or a speed, no clock face
    return Scale(other.symbol, 1.0 / other.factor, more)


_NUMBER = r"(?<![\w.,:])-?\d[\d,]*(?:\.\d+)?"


def said_in(units: Units, value: float, unit: str, digits: int) -> str:
    """Say a quantity of an answer: "12.41 m"; `digits` after the point are those of its own unit."""
    scale = show_in(units, unit)
    return f"{scale.factor * value:.{digits + scale.digits_more}f} {scale.symbol}"


#: "2.6 in", "68.1 to 92.1 mph", "1.8 mph (90 %: 1.0 to 2.6;"
_QUANTITY = re.compile(
    rf"(?P<first>{_NUMBER})(?: (?P<between>to|and|against) (?P<second>{_NUMBER}))? (?P<unit>ft|in|mph)\b"
    rf"(?P<after>[^;()]*\(90 %: )?(?P<low>(?(after){_NUMBER}))(?P<to>(?(after) to ))(?P<high>(?(after){_NUMBER}))"
)


def sentence(text: str, units: Units) -> str:
    """Return a plain sentence of an answer with its quantities in the reader's units."""
    if units == "us":
        return text

    def shown(found: re.Match[str]) -> str:
        scale = show_in(units, found["unit"])
        first, second, low, high = (
            _scaled(found[part], scale) if found[part] else "" for part in ("first", "second", "low", "high")
        )
        between = f" {found['between']} " if second else ""
        return f"{first}{between}{second} {scale.symbol}{found['after'] or ''}{low}{found['to']}{high}"

    return _QUANTITY.sub(shown, text)


def _scaled(number: str, scale: Scale) -> str:
    digits = len(number.partition(".")[2]) + scale.digits_more
    return f"{scale.factor * float(number.replace(',', '')):.{digits}f}"
