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
from latebreak.service.throws.map_text import Match, map_text
from latebreak.service.throws.measured import CLOCKS, DELIVERY, MEASURED, PITCH, WORD_KEYS
from latebreak.service.throws.rows import read_rows
from latebreak.service.wording import shown

#: Rows that are looked at (chosen: a session of a whole staff).
ROWS = 1000
#: Units of one system: a file that has one of them has others of it more likely.
_SYSTEMS = (frozenset(("mph", "ft", "in", "ft/s", "ft/s2")), frozenset(("km/h", "m/s", "m", "cm", "mm", "m/s2")))
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
    match = Match(header, told, values)
    if not told.keys:
        return match
    if told.unexplained:
        if values.are_numbers and not any(fitting_units(key, values) for key in told.keys if key in MEASURED):
            return replace(match, told=Told())  # neither all of the name nor the values say so
        words = " and ".join(map(shown, told.unexplained[:3]))
        return replace(
            match, reason=f"{shown(told.words)} would be {' or '.join(told.keys)}, but what does {words} say?"
        )
    if len(told.keys) > 1:
        return replace(match, reason=f"{shown(told.words)} does not tell which")
    if len(header) > HEADER_LENGTH or not header.isprintable():
        return replace(match, reason="a map can't hold this name; rename the column")
    match = replace(match, key=told.keys[0])
    if match.key in WORD_KEYS:
        return _of_words(match)
    return _of_numbers(match)


def _of_words(match: Match) -> Match:
    values, said = match.values, f"{shown(match.told.words)} says {match.key}"
    if match.key not in (PITCH, DELIVERY):
        return replace(match, sure="likely", reason=said)
    listed = ", ".join(map(shown, sorted(values.texts)[:6])) + (" ..." if len(values.texts) > 6 else "")
    if values.are_numbers:
        return replace(match, reason=f"{said}, but its cells are numbers: a running number?")
    if match.key == PITCH and len(values.texts) > _MOST_PITCHES:
        return replace(match, reason=f"{said}, but it has {len(values.texts)} different names")
    return replace(match, sure="sure" if match.told.meanings > 1 else "likely", reason=f"{said}; it holds {listed}")


def _of_numbers(match: Match) -> Match:
    """Find the unit: the one that the header says, if the values agree, else the only one that fits them."""
    key, values, said = match.key, match.values, f"{shown(match.told.words)} says {match.key}"
    if key in CLOCKS and values.are_clocks:
        return replace(match, symbol=CLOCK, sure="sure", reason=f"{said}; its cells are clock times")
    if not values.are_numbers:
        return replace(match, reason=f"{said}, but its cells are no numbers")
    fit, size = fitting_units(key, values), f"nine of ten values are {values.size:.4g} or less"
    told = match.told.symbol
    if told and told in units_of(key):
        if fits(key, values, told):
            match = replace(match, symbol=told, sure="sure", reason=f"{said} in {told}, and {size}")
            return replace(match, sure="likely") if key in CLOCKS else match  # where its 0 is stays open
        others = f", which fits {' or '.join(fit)}" if fit else ", which fits no unit of it"
        return replace(match, reason=f"{said} in {told}, but {size}{others}")
    if told:
        return replace(match, reason=f"{said}, but {told} is no unit of it")
    if len(fit) == 1 and key not in CLOCKS:
        sure = "sure" if match.told.meanings > 1 else "likely"
        reason = f"{said}; {size}, which fits {fit[0]} alone"
        return replace(match, symbol=fit[0], sure=sure, reason=reason)
    if key in CLOCKS and fit == (MEASURED[key].unit.symbol,):
        return replace(match, symbol=fit[0], sure="likely", reason=f"{said}; {size}: degrees, 0 = 12:00")
    if key in CLOCKS and values.size <= 12.0:
        return replace(match, reason=f"{said}; {size}: hours of a clock are written 7:05, or is it radians?")
    return replace(match, reason=f"{said}; {size}, which fits {' or '.join(fit) or 'no unit of it'}")


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
    seen = [
        sum(match.symbol in system for match in matches if match.sure != "unsure" and match.symbol)
        for system in _SYSTEMS
    ]
    if bool(seen[0]) == bool(seen[1]):
        return matches
    system, name = (_SYSTEMS[0], "US") if seen[0] else (_SYSTEMS[1], "metric")
    done = []
    for match in matches:
        fit = fitting_units(match.key, match.values) if match.key in MEASURED and match.values.are_numbers else ()
        own = [symbol for symbol in fit if symbol in system]
        if match.sure == "unsure" and not match.told.symbol and len(fit) > 1 and len(own) == 1:
            why = f"{match.reason}; the others that tell are {name}"
            done.append(replace(match, symbol=own[0], sure="likely", reason=why))
        else:
            done.append(match)
    return done


def _one_each(matches: list[Match]) -> list[Match]:
    """Leave each quantity to one column: the one whose name says the most of it, to none where two say as much.

    Clock times come before degrees, whose zero is open; and a column that bears the name of the key before all others,
    for it is read without a map too.
    """

    def merit(match: Match) -> tuple[bool, bool, int]:
        is_named = match.told.meanings == _IS_KEY
        return is_named, match.symbol == CLOCK, match.told.meanings

    done = []
    for match in matches:
        rivals = [
            one
            for one in matches
            if one is not match and one.key == match.key and (one.sure != "unsure" or merit(one)[0])
        ]
        stronger = [shown(one.header) for one in rivals if merit(one) >= merit(match)]
        if match.sure != "unsure" and stronger:
            reason = f"{match.reason}; but {' and '.join(stronger[:3])} says so too: one of them can be used"
            done.append(replace(match, sure="unsure", reason=reason))
        else:
            done.append(match)
    return done
