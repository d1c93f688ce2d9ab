"""A proposed column map as text: lines with their reasons above them, and what is open as comments."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from latebreak.service.throws.column_values import Values, fitting_units
from latebreak.service.throws.header_words import Told
from latebreak.service.throws.measured import CLOCKS, COLUMN_NAMES, MEASURED, PITCH, SIDES
from latebreak.service.throws.rows import DELIMITERS
from latebreak.service.wording import clean, shown

#: Unsure columns and unknown ones that are listed (chosen: with them a map stays far below the size that is read).
_LISTED_UNSURE, _LISTED_UNKNOWN = 25, 60
#: Characters of a header that a comment has in full (chosen).
_LONG = 60

Sure = Literal["sure", "likely", "unsure"]


@dataclass(frozen=True)
class Match:
    """A column, and what it seems to hold.

    Attributes
    ----------
    header : str
        Its name.
    told : Told
        What the name tells.
    values : Values
        What its cells hold.
    key : str
        The one quantity that it is; empty where that is open.
    symbol : str
        Unit; empty where it is open, or there is none.
    sure : {"sure", "likely", "unsure"}
        What is unsure becomes no line of the map.
    reason : str
        Why, in a few words.
    """

    header: str
    told: Told
    values: Values
    key: str = ""
    symbol: str = ""
    sure: Sure = "unsure"
    reason: str = ""


def map_text(matches: list[Match], twice: list[str], source: str, delimiter: str, decimals: tuple[int, int]) -> str:
    """Write a column map.

    Parameters
    ----------
    matches : list of Match
        Every column whose name stands once, by name.
    twice : list of str
        Names that stand several times.
    source : str
        What the map calls the file.
    delimiter : str
        Between the columns.
    decimals : tuple of int
        How many numbers must have a decimal point, and how many a decimal comma.
    """
    return "\n".join(_lines(matches, twice, source, delimiter, decimals)) + "\n"


def _lines(
    matches: list[Match], twice: list[str], source: str, delimiter: str, decimals: tuple[int, int]
) -> Iterator[str]:
    order = {key: number for number, key in enumerate(COLUMN_NAMES)}
    told = sorted((one for one in matches if one.told.keys), key=lambda one: (order[one.told.keys[0]], one.header))
    unsure = [one for one in told if one.sure == "unsure"]
    yield f"# A column map for {clean(source)}, proposed by latebreak columns; read every line first"
    yield "# sure: name and values say so; likely: one of them does, mind it; unsure: left out, with the choices."
    yield ""
    symbol = "tab" if delimiter == "\t" else delimiter
    yield f"delimiter = {json.dumps(symbol)}  # {DELIMITERS[delimiter]} part the header into the most columns"
    points, commas = decimals
    if points and commas:
        yield f"# decimal_comma = true or false?  {commas} numbers must have a decimal comma, {points} a decimal point"
    elif commas:
        yield f"decimal_comma = true  # {commas} numbers can't be read otherwise"
    yield ""
    yield "[columns]"
    for match in told:
        if match not in unsure[_LISTED_UNSURE:]:
            yield from _entry(match)
    if len(unsure) > _LISTED_UNSURE:
        yield f"# and {len(unsure) - _LISTED_UNSURE} unsure columns more"
    if not any(match.key == PITCH and match.sure != "unsure" for match in matches):
        yield "# No column surely says which pitch each throw is; fit needs one:"
        yield '# "NAME" = "pitch"'
    unknown = [match.header for match in matches if not match.told.keys]
    if unknown:
        yield "# Of these the names say no quantity that is known here, so they are not used:"
        more = [f"and {len(unknown) - _LISTED_UNKNOWN} more"] if len(unknown) > _LISTED_UNKNOWN else []
        yield from (f"#   {line}" for line in (*map(shown, unknown[:_LISTED_UNKNOWN]), *more))
    for header in twice[:_LISTED_UNSURE]:
        yield f"# {shown(header)} heads several columns: rename them, since each name may stand once"


def _entry(match: Match) -> Iterator[str]:
    """Yield the reason, then the line, or the choices as comments."""
    yield f"# {match.sure}: {match.reason}"
    key = json.dumps(match.header, ensure_ascii=False)
    if match.sure != "unsure":
        yield from _view(match)
        yield f"{key} = {_meaning(match.key, match.symbol)}"
        return
    key = key if len(key) <= _LONG else shown(match.header)
    for choice in match.told.keys:
        units = fitting_units(choice, match.values) if choice in MEASURED and match.values.are_numbers else ()
        said = match.symbol or match.told.symbol
        for symbol in dict.fromkeys([*([said] if said else []), *units]) or [""]:
            yield f"# {clean(key)} = {_meaning(choice, symbol)}"


def _meaning(key: str, symbol: str) -> str:
    own = MEASURED[key].unit.symbol if key in MEASURED else ""
    return json.dumps(key) if symbol in ("", own) else f"{{key = {json.dumps(key)}, unit = {json.dumps(symbol)}}}"


def _view(match: Match) -> Iterator[str]:
    """Say what is read where no view is said, and what speaks for it."""
    if match.key in SIDES:
        middle = float(np.nanmedian(match.values.numbers))
        yield '# Seen by catcher or pitcher? Without view = "pitcher" positive is the catcher\'s right.'
        if match.key == "release_side_ft" and middle:
            one, other = ("right", "left") if middle < 0.0 else ("left", "right")
            sign = "negative" if middle < 0.0 else "positive"
            yield f"# Most are {sign}: of a {one}-hander that is the catcher's view, of a {other}-hander the pitcher's."
    elif match.key in CLOCKS:
        yield '# Seen by pitcher or catcher? Without view = "catcher" it is a clock face as the pitcher sees it.'
        yield "# So a right-hander's fastball is between 12:00 and 3:00, a left-hander's between 9:00 and 12:00."
