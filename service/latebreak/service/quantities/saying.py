"""How a value, a range, an estimate or a change is said to a reader: a unit always, words in place of a bare sign."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from latebreak.service.quantities.quantity import MORE, SIDE, SIZE, Quantity, Sign
from latebreak.service.quantities.units import CLOCK_DEGREES, Unit, Units, clock_face

if TYPE_CHECKING:
    from latebreak.service.judging.estimates import Estimate
    from latebreak.service.scenario.section import Hand


@dataclass(frozen=True)
class Reader:
    """In whose terms something is said: the units of who reads, and the hand by which sides have their names."""

    units: Units = "us"
    hand: Hand = "right"

    def sides(self, sign: Sign) -> Sign:
        """Return the words of two sides, given for a right-hander."""
        return sign if self.hand == "right" else sign[::-1]


@dataclass(frozen=True)
class Said:
    """An estimate in words.

    Attributes
    ----------
    value : str
        The number with its unit, or words where nothing can be said.
    interval : str
        Its 90 % interval, its sampling error, or words on why there is none; empty where there is nothing to add.
    where : str
        From where a distance is told; empty where that is plain.
    """

    value: str
    interval: str = ""
    where: str = ""


@dataclass(frozen=True)
class Wording:
    """How numbers of one quantity are said to one reader; it takes them in the unit of the quantity's key.

    Attributes
    ----------
    symbol : str
        Unit that is said.
    factor : float
        To that unit.
    digits : int
        After the point.
    sign : Sign
        What follows a number above and below 0.
    where : str
        From where a distance is told.
    is_clock : bool
        Whether values are directions, said as clock times.
    """

    symbol: str
    factor: float
    digits: int
    sign: Sign = SIZE
    where: str = ""
    is_clock: bool = False

    def number(self, value: float) -> str:
        """Say the bare size of a value."""
        return f"{abs(self.factor * value):.{self.digits}f}"

    def signed(self, value: float) -> str:
        """Say a bare value with its sign, where words have told what above 0 means."""
        return f"{round(self.factor * value, self.digits) + 0.0:.{self.digits}f}"  # no negative zero

    def amount(self, value: float) -> str:
        """Say the size of a value with its unit: "2.6 in"."""
        return clock_face(value) if self.is_clock else _joined(self.number(value), self.symbol)

    def say(self, value: float) -> str:
        """Say a value: "2.6 in arm side", "40.7 ft from the plate", "5:45"; "unknown" where it is not finite."""
        return _joined(self.amount(value), self.where, self.toward(value)) if isfinite(value) else "unknown"

    def exactly(self, value: float, *, toward: bool = True) -> str:
        """Say a value to four digits, wherever its point is: "68.1 mph", "1.9 ft arm side"."""
        if self.is_clock:
            return clock_face(value)
        words = self.sign[value < 0.0] if toward and value else ""
        return _joined(f"{abs(self.factor * value):.4g}", self.symbol, words)

    def error(self, error: float) -> str:
        """Say a standard error: "0.12 mph"."""
        return _joined(f"{self.factor * error:.2g}", self.symbol)

    def toward(self, value: float) -> str:
        """Return the words for the sign of a value; what rounds to nothing points nowhere."""
        return self.sign[value < 0.0] if float(self.number(value)) and not self.is_clock else ""

    def span(self, low: float | None, high: float | None, *, unit: bool = False) -> str:
        """Say a range, with its unit or without; which way is said where the two ends differ in it."""
        if low is None or high is None:
            return ""
        ways = [self.toward(end) for end in (low, high)]
        if low * high >= 0.0 and self.sign != SIZE and not self.is_clock:
            (low, ways[0]), (high, ways[1]) = sorted(zip((low, high), ways, strict=True), key=lambda end: abs(end[0]))
        if ways[0] == ways[1] and not self.is_clock:
            numbers = [self.number(end) if self.sign != SIZE else self.signed(end) for end in (low, high)]
            return _joined(" to ".join(numbers), self.symbol if unit else "")
        if unit or self.is_clock:
            return " to ".join(_joined(self.amount(end), way) for end, way in zip((low, high), ways, strict=True))
        short = (way.removesuffix(" side") for way in ways)
        return " to ".join(_joined(self.number(end), way) for end, way in zip((low, high), short, strict=True))

    def difference(self, estimate: Estimate, chance_percent: float | None = None) -> str:
        """Say the size of a difference, its interval in its own direction, and its chance where there is one.

        For example "1.9 points (90 %: 0.9 to 3.3; chance over 99 %)".
        """
        size = self.amount(estimate.value) if isfinite(estimate.value) else "unknown size"
        low, high = estimate.low, estimate.high
        inside = []
        if low is not None and high is not None and isfinite(low) and isfinite(high):
            ends = (low, high) if estimate.value >= 0.0 else (-high, -low)
            inside.append(f"90 %: {' to '.join(map(self.signed, ends))}")
        if chance_percent is not None:
            inside.append(f"chance {chance_in_words(chance_percent)}")
        return f"{size} ({'; '.join(inside)})" if inside else size

    def estimate(self, estimate: Estimate, *, brief: bool = False) -> Said:
        """Say an estimate and its interval; `brief` for a narrow column, where the interval has no unit."""
        if not isfinite(estimate.value):
            return Said("none")
        value = _joined(self.amount(estimate.value), self.toward(estimate.value))
        low, high = estimate.low, estimate.high
        if low is None or high is None:
            error = estimate.sampling_error
            known = isfinite(error) and error > 0.0
            words = f"{'+-' if brief else 'Monte Carlo error '}{self.error(error)}" if known else ""
            return Said(value, words, self.where)
        if not (isfinite(low) and isfinite(high)):
            return Said(value, "no interval: too few cases arrive", self.where)
        return Said(value, self.span(low, high, unit=not brief), self.where)


def chance_in_words(percent: float) -> str:
    """Say a chance without claiming certainty: "93 %", "over 99 %"."""
    return "over 99 %" if percent >= 99.5 else f"{percent:.0f} %"


def value_of(quantity: Quantity, reader: Reader) -> Wording:
    """Return how values of a quantity are said."""
    unit = quantity.unit
    return _wording(unit, unit, quantity.digits, _own(quantity, quantity.sign, reader), reader, quantity.where)


def change_of(quantity: Quantity, reader: Reader) -> Wording:
    """Return how changes of a quantity are said: "4.2 mph faster", "3.0 in glove side"."""
    sign = quantity.change_sign or (quantity.sign if quantity.sign[0] else MORE)
    digits = quantity.digits if quantity.change_digits is None else quantity.change_digits
    return _wording(quantity.unit, quantity.unit_of_change, digits, _own(quantity, sign, reader), reader)


def told_of(quantity: Quantity, reader: Reader) -> Wording | None:
    """Return how a sentence tells a change: the words of its sign come first; None where it is not told."""
    told = quantity.told
    if told is None:
        return None
    wording = _wording(quantity.unit, told.unit, told.digits, _own(quantity, (told.rise, told.fall), reader), reader)
    return Wording(told.amount or wording.symbol, wording.factor, wording.digits, wording.sign)


def _own(quantity: Quantity, sign: Sign, reader: Reader) -> Sign:
    return reader.sides(sign) if quantity.sign == SIDE else sign


def _wording(own: Unit, said: Unit, digits: int, sign: Sign, reader: Reader, where: str = "") -> Wording:
    symbol, factor, more = said.shown_in(reader.units)
    factor *= 1.0 if own is said else own.si / said.si
    return Wording(symbol, factor, digits + more, sign, where, is_clock=said is CLOCK_DEGREES)


def _joined(*words: str) -> str:
    return " ".join(word for word in words if word)
