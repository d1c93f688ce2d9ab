"""A column map for a foreign file: proposed from the words of its header and the size of its values, never guessed.

What is sure enough becomes a line of the map, with the reason and how sure it is above it. What is not becomes a
comment with the choices that there are.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from latebreak.service.throws.cells import Decimals, seen_decimals
from latebreak.service.throws.column_map import CLOCK, HEADER_LENGTH, ColumnMap, named, units_of
from latebreak.service.throws.column_values import Values, fits, fitting_units, read_values
from latebreak.service.throws.header_words import Told, told_by
from latebreak.service.throws.map_text import Match, Sure, map_text
from latebreak.service.throws.measured import CLOCKS, DELIVERY, MEASURED, PITCH, WORD_KEYS
from latebreak.service.throws.rows import read_rows
from latebreak.service.wording import shown

#: Rows that are looked at (chosen: a session of a whole staff).
ROWS = 1000
#: Units of one system: a file that has one of them has others of it more likely.
_SYSTEMS = {
    "US": frozenset(("mph", "ft", "in", "ft/s", "ft/s2")),
    "metric": frozenset(("km/h", "m/s", "m", "cm", "mm", "m/s2")),
}
#: Most names of pitches that a staff throws (chosen); a column of more is something else.
_MOST_PITCHES = 40
#: The hardest throws, which are fastballs: a fifth of all (chosen).
_HARD = 0.8
#: Meanings of a column that is named by a key itself: more than any words have.
_IS_KEY = 99


def propose(content: bytes, source: str) -> str:
    """Propose a column map.

    Parameters
    ----------
    content : bytes
        A CSV file of throws, one row a throw.
    source : str
        What messages and the map call it.

    Returns
    -------
    str
        TOML of a column map, which `read_throws` takes. The order of the columns does not matter to it.

    Raises
    ------
    InputError
        The file is no text or no CSV.
    """
    rows = read_rows(content, ColumnMap(), source)
    table = [row.cells for row in islice(rows.below, ROWS) if not row.trouble]
    cells = {index: [row[index] for row in table] for index in range(len(rows.header))}
    points, commas = seen_decimals((cell, lambda value: True) for column in cells.values() for cell in column)
    decimals = Decimals.COMMA if commas > points else Decimals.POINT
    names = Counter(name.strip() for name in rows.header)
    matches = [
        _match(name, read_values(cells[index], decimals))
        for index, name in sorted(enumerate(map(str.strip, rows.header)), key=lambda one: one[1])
        if name and names[name] == 1
    ]
    matches = _one_each(_held_against_fastballs(_in_one_system(matches)))
    twice = sorted(name for name, number in names.items() if name and number > 1)
    return map_text(matches, twice, source, rows.delimiter, (points, commas))


def _match(header: str, values: Values) -> Match:
    """Hold the name of a column against its values."""
    known = named(header.lower())
    if known is not None:
        told = Told((known.key,), header, _IS_KEY, (), known.symbol)
    else:
        told = told_by(header)
        fit = tuple(key for key in told.keys if not told.symbol or told.symbol in units_of(key))
        told = replace(told, keys=fit or told.keys)
    is_any = any(fitting_units(key, values) for key in told.keys if key in MEASURED)
    if told.unexplained and values.are_numbers and not is_any:
        told = Told()  # neither all of the name nor the values say so
    left_open = _left_open(header, told)
    if not told.keys or left_open:
        return Match(header, told, values, reason=left_open)
    key, said = told.keys[0], f"{shown(told.words)} says {told.keys[0]}"
    symbol, sure, reason = (_of_words if key in WORD_KEYS else _of_numbers)(key, told, values)
    return Match(header, told, values, key, symbol, sure, said + reason)


def _left_open(header: str, told: Told) -> str:
    """Say what the name of a column leaves open; empty where it is nothing."""
    if told.unexplained:
        words = " and ".join(map(shown, told.unexplained[:3]))
        return f"{shown(told.words)} would be {' or '.join(told.keys)}, but what does {words} say?"
    if len(told.keys) > 1:
        return f"{shown(told.words)} does not tell which"
    if len(header) > HEADER_LENGTH or not header.isprintable():
        return "a map can't hold this name; rename the column"
    return ""


def _of_words(key: str, told: Told, values: Values) -> tuple[str, Sure, str]:
    """Return no unit, how sure a column of words is, and why."""
    if key not in (PITCH, DELIVERY):
        return "", "likely", ""
    if values.are_numbers:
        return "", "unsure", ", but its cells are numbers: a running number?"
    if key == PITCH and len(values.texts) > _MOST_PITCHES:
        return "", "unsure", f", but it has {len(values.texts)} different names"
    listed = ", ".join(map(shown, sorted(values.texts)[:6])) + (" ..." if len(values.texts) > 6 else "")
    return "", "sure" if told.meanings > 1 else "likely", f"; it holds {listed}"


def _of_numbers(key: str, told: Told, values: Values) -> tuple[str, Sure, str]:
    """Return the unit, how sure it is, and why: what the header says, if the values agree, else the only fit."""
    if key in CLOCKS and values.are_clocks:
        return CLOCK, "sure", "; its cells are clock times"
    if not values.are_numbers:
        return "", "unsure", ", but its cells are no numbers"
    fit, size = fitting_units(key, values), f"nine of ten values are {values.size:.4g} or less"
    if told.symbol and told.symbol not in units_of(key):
        return "", "unsure", f", but {told.symbol} is no unit of it"
    if told.symbol and not fits(key, values, told.symbol):
        return "", "unsure", f" in {told.symbol}, but {size}, which fits {' or '.join(fit) or 'no unit of it'}"
    if told.symbol:  # where the 0 of a clock is stays open
        return told.symbol, "likely" if key in CLOCKS else "sure", f" in {told.symbol}, and {size}"
    if key in CLOCKS and fit == (MEASURED[key].unit.symbol,):
        return fit[0], "likely", f"; {size}: degrees, 0 = 12:00"
    if key in CLOCKS and values.size <= 12.0:
        return "", "unsure", f"; {size}: hours of a clock are written 7:05, or is it radians?"
    if key not in CLOCKS and len(fit) == 1:
        return fit[0], "sure" if told.meanings > 1 else "likely", f"; {size}, which fits {fit[0]} alone"
    return "", "unsure", f"; {size}, which fits {' or '.join(fit) or 'no unit of it'}"


def _held_against_fastballs(matches: list[Match]) -> list[Match]:
    """Doubt columns in which the hardest throws point down: fastballs break up, but for the drop by gravity."""
    speeds = [match.values.numbers for match in matches if match.key == "speed_mph" and match.sure != "unsure"]
    if len(speeds) != 1 or not np.isfinite(speeds[0]).any():
        return matches
    hard = speeds[0] >= np.nanquantile(speeds[0], _HARD)
    return [_doubted(match, match.values.numbers[hard & np.isfinite(match.values.numbers)]) for match in matches]


def _doubted(match: Match, hard: NDArray[np.float64]) -> Match:
    """Doubt a column by what the hardest throws have in it."""
    if match.sure == "unsure" or not len(hard):
        return match
    if match.symbol == "deg" and match.key in CLOCKS and np.mean(np.cos(np.radians(hard))) < 0.0:
        doubt = "the hardest throws point down: is 0 at 6:00 in this file? then add 180 to the column first"
    elif match.key == "induced_vertical_break_in" and np.median(hard) < 0.0:
        doubt = "the hardest throws go down: is the drop by gravity in it? this key has none of it"
    else:
        return match
    return replace(match, sure="unsure", reason=f"{match.reason}; {doubt}")


def _in_one_system(matches: list[Match]) -> list[Match]:
    """Where values fit several units, take the one of the system that the other columns are in, if they are in one."""
    said = {match.symbol for match in matches if match.sure != "unsure"}
    seen = [name for name, system in _SYSTEMS.items() if system & said]
    return [_in_system(match, seen[0]) for match in matches] if len(seen) == 1 else matches


def _in_system(match: Match, name: str) -> Match:
    if match.sure != "unsure" or match.told.symbol or match.key not in MEASURED or not match.values.are_numbers:
        return match
    fit = fitting_units(match.key, match.values)
    own = [symbol for symbol in fit if symbol in _SYSTEMS[name]]
    if len(fit) < 2 or len(own) != 1:
        return match
    return replace(match, symbol=own[0], sure="likely", reason=f"{match.reason}; the others that tell are {name}")


def _one_each(matches: list[Match]) -> list[Match]:
    """Leave each quantity to one column: the one whose name says the most of it, to none where two say as much.

    Clock times come before degrees, whose zero is open; and a column that bears the name of the key before all others,
    for it is read without a map too.
    """

    def merit(match: Match) -> tuple[bool, bool, int]:
        return match.told.meanings == _IS_KEY, match.symbol == CLOCK, match.told.meanings

    def held(match: Match) -> Match:
        stronger = [
            shown(one.header)
            for one in matches
            if one is not match and one.key == match.key and merit(one) >= merit(match)
            and (one.sure != "unsure" or merit(one)[0])
        ]  # fmt: skip
        if match.sure == "unsure" or not stronger:
            return match
        reason = f"{match.reason}; but {' and '.join(stronger[:3])} says so too: one of them can be used"
        return replace(match, sure="unsure", reason=reason)

    return [held(match) for match in matches]
