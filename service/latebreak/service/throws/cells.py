"""From the text of a cell to a number: decimal points, decimal commas, clock times, and what counts as not measured."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum
from math import isfinite, nan
from typing import Generic, TypeVar

from latebreak.service.quantities.units import ClockFace
from latebreak.service.wording import shown

T = TypeVar("T")

#: Words that stand for a missing measurement, in lower case (common practice of exports, no source).
NOT_MEASURED = frozenset({"", "-", "--", "na", "n/a", "#n/a", "nan", "null", "none"})
#: No number is written longer, in characters (chosen).
NUMBER_LENGTH = 40

_WHOLE = r"(?:[0-9]+|[1-9][0-9]{0,2}(?:%s[0-9]{3})+)"
_NUMBER = r"[+-]?(?:" + _WHOLE + r"(?:%s[0-9]*)?|%s[0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
WITH_POINT = re.compile(_NUMBER % (",", r"\.", r"\."))
WITH_COMMA = re.compile(_NUMBER % (r"\.", ",", ","))
#: A spreadsheet turns 7:05 into 7:05:00 or 07:05 AM, and 12:45 into 0:45.
CLOCK_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::00)?(?: ?[AaPp][Mm])?")


class Decimals(Enum):
    """How a file writes decimals: told by the map, or seen in its cells, or not to be told from them."""

    POINT = "point"
    COMMA = "comma"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Cell(Generic[T]):
    """A cell as read: a number or word; NaN or None where it is empty or, with the reason, where it can't be used."""

    value: T
    reason: str = ""


def readings(text: str) -> tuple[float | None, float | None]:
    """Return what a text means with a decimal point, and what with a decimal comma; None where it is no number so.

    Commas between thousands are allowed with a decimal point, and the other way round.
    """
    with_point = float(text.replace(",", "")) if WITH_POINT.fullmatch(text) else None
    with_comma = float(text.replace(".", "").replace(",", ".")) if WITH_COMMA.fullmatch(text) else None
    return with_point, with_comma


def evidence(text: str, is_possible: Callable[[float], bool]) -> Decimals:
    """Tell which decimals a cell must be written with; unknown where both readings are possible, or equal."""
    with_point, with_comma = readings(_plain(text))
    if with_point == with_comma:
        return Decimals.UNKNOWN
    fits_point = with_point is not None and is_possible(with_point)
    fits_comma = with_comma is not None and is_possible(with_comma)
    if fits_point == fits_comma:
        return Decimals.UNKNOWN
    return Decimals.POINT if fits_point else Decimals.COMMA


def read_number(
    text: str, decimals: Decimals, is_told: bool, is_possible: Callable[[float], bool], symbol: str
) -> Cell[float]:
    """Read a number.

    Parameters
    ----------
    text : str
        The cell.
    decimals : Decimals
        How the file writes decimals.
    is_told : bool
        Whether the column map says so; what was only seen leaves 2,250 in doubt.
    is_possible : callable
        Whether a number is possible for the quantity, in the unit of the column.
    symbol : str
        Unit of the column.

    Returns
    -------
    Cell
        A number that has two possible readings is not guessed.
    """
    plain = _plain(text)
    if plain.lower() in NOT_MEASURED:
        return Cell(nan)
    with_point, with_comma = readings(plain) if len(plain) <= NUMBER_LENGTH else (None, None)
    preferred, other = (with_comma, with_point) if decimals is Decimals.COMMA else (with_point, with_comma)
    value = preferred
    if not is_told and preferred is None:
        value = other
    elif not is_told and preferred is not None and other is not None and is_possible(other) and other != preferred:
        if not is_possible(preferred):
            value = other
        elif decimals is not Decimals.POINT:
            return Cell(nan, f"{shown(text)} can be {preferred:g} or {other:g} {symbol}")
    if value is None or not isfinite(value):
        return Cell(nan, f"{shown(text)} is {_not_a_number(plain)}")
    return Cell(value)


def read_clock(text: str) -> Cell[float]:
    """Read a clock time as degrees clockwise from 12:00."""
    plain = text.strip()
    if plain.lower() in NOT_MEASURED:
        return Cell(nan)
    found = CLOCK_TIME.fullmatch(plain)
    hour = int(found[1]) if found else 0
    degrees = ClockFace().read(f"{hour or 12}:{found[2]}") if found else None
    if degrees is None:
        return Cell(nan, f"{shown(text)} is not a clock time such as 7:05")
    return Cell(degrees)


def seen_decimals(cells: Iterable[tuple[str, Callable[[float], bool]]]) -> tuple[int, int]:
    """Count the cells that must have a decimal point, and those that must have a decimal comma."""
    found = [evidence(text, is_possible) for text, is_possible in cells]
    return found.count(Decimals.POINT), found.count(Decimals.COMMA)


def _plain(text: str) -> str:
    return text.strip().replace("−", "-")  # a typographic minus sign


def _not_a_number(text: str) -> str:
    if text.startswith(("=", "@")):
        return "a formula, not its value"
    if CLOCK_TIME.fullmatch(text):
        return "a clock time in a column of numbers"
    if text.lower().lstrip("+-") in ("inf", "infinity") or WITH_POINT.fullmatch(text):
        return "not a finite number"
    return "not a number"
