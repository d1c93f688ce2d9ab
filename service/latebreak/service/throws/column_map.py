"""The column map: which column of a foreign file holds what, in which unit, seen from where.

A map is TOML::

    delimiter     = ";"        # optional: "," ";" "|" or "tab"; found out where the map does not say
    decimal_comma = true       # optional: 89,2 means 89.2; found out where the map does not say

    [columns]                  # name of the column in the file = what it holds
    "Type"  = "pitch"
    "Velo"  = {key = "speed_mph", unit = "km/h"}           # the unit in which the file writes it
    "Side"  = {key = "release_side_ft", view = "pitcher"}  # positive toward the pitcher's right
    "Break" = {key = "break_clock", view = "catcher"}      # a clock face as the catcher sees it

    [pitches]                  # optional: other names for the pitches
    "CU" = "curve"

`key` is a key of a scenario or one of the measured ones; its own unit holds where `unit` does not say. `unit` is a
symbol or the ending of a key; "clock" is one for break_clock. `view` of a side is "catcher" (default: positive toward
the catcher's right), "pitcher" (toward the pitcher's right) or "arm_side"; of a clock "pitcher" (default) or "catcher".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.stopping import checkpoint
from latebreak.service.scenario.faults import faults_of
from latebreak.service.scenario.keys import read_keys
from latebreak.service.scenario.pitch_entry import NAME_LENGTH
from latebreak.service.scenario.section import Hand, Section, Text
from latebreak.service.throws.foreign_units import factors, symbol_of
from latebreak.service.throws.measured import CLOCKS, COLUMN_NAMES, MEASURED, OTHER_KEYS, SIDES, WORD_KEYS
from latebreak.service.wording import clean, did_you_mean, key_path, shown

#: Longest name of a column, in characters (chosen: foreign headers are sentences at times).
HEADER_LENGTH = 200
#: Most entries of a map over all its tables (chosen: five times the columns of the widest device).
MOST_ENTRIES = 1000
#: Unit of a column of clock times, "7:05".
CLOCK = "clock"

View = Literal["catcher", "pitcher", "arm_side"]


class ColumnEntry(Section):
    """What the map says of one column."""

    key: Annotated[str, Text(HEADER_LENGTH)]
    unit: Annotated[str | None, Text(NAME_LENGTH)] = None
    view: View | None = None


class MapFile(Section):
    """The column map as written."""

    delimiter: Literal[",", ";", "|", "tab"] | None = None
    decimal_comma: bool | None = None
    columns: dict[Annotated[str, Text(HEADER_LENGTH)], ColumnEntry] = Field(default_factory=dict)
    pitches: dict[Annotated[str, Text(HEADER_LENGTH)], Annotated[str, Text(NAME_LENGTH)]] = Field(default_factory=dict)


@dataclass(frozen=True)
class Meaning:
    """What a column holds.

    Attributes
    ----------
    key : str
        Canonical key, or one of the words pitch, session, delivery.
    symbol : str
        Unit in which it is written; `CLOCK` for clock times, empty for words.
    factor : float
        Value of the canonical unit = factor * written; negative where the viewpoint mirrors.
    """

    key: str
    symbol: str = ""
    factor: float = 1.0


@dataclass(frozen=True)
class ColumnMap:
    """A column map as understood; an empty one knows the names of the contract only."""

    delimiter: str | None = None
    decimal_comma: bool | None = None
    columns: dict[str, Meaning] = field(default_factory=dict)
    pitches: dict[str, str] = field(default_factory=dict)

    def meaning(self, header: str) -> Meaning | None:
        """Return what a column of this name holds; None where neither the map nor the contract knows it."""
        name = header.strip()
        return self.columns[name] if name in self.columns else named(name.lower())


def named(key: str) -> Meaning | None:
    """Return what a column holds that is named by a key, in either unit; None where there is no such key."""
    if key in WORD_KEYS:
        return Meaning(key)
    if key in MEASURED:
        return Meaning(key, MEASURED[key].unit.symbol)
    if key not in OTHER_KEYS:
        return None
    canonical = OTHER_KEYS[key]
    if canonical in CLOCKS:
        return Meaning(canonical, CLOCK)
    other = MEASURED[canonical].unit.other
    assert other is not None  # OTHER_KEYS lists only quantities that have a second unit
    return Meaning(canonical, other.symbol, factors(MEASURED[canonical].unit.symbol)[other.symbol])


def read_column_map(raw: Mapping[str, Any] | None, source: str, hand: Hand | None) -> ColumnMap:
    """Understand a column map.

    Parameters
    ----------
    raw : mapping, optional
        Tables as TOML gives them.
    source : str
        What messages call the map.
    hand : str, optional
        The pitcher's throwing hand, for view = "arm_side".

    Raises
    ------
    InputError
        With every fault that was found.
    """
    if raw is None:
        return ColumnMap()
    source = clean(source)
    if not isinstance(raw, Mapping):
        raise InputError([Fault("", f"{shown(raw)} is not a table of keys", "a table")], source)
    entries = len(raw) + sum(len(table) for table in raw.values() if isinstance(table, Mapping))
    if entries > MOST_ENTRIES:
        raise InputError([Fault("", f"the map has {entries:,} entries", f"at most {MOST_ENTRIES:,}")], source)
    content = dict(raw)
    if isinstance(raw.get("columns"), Mapping):
        content["columns"] = {
            name: {"key": entry} if isinstance(entry, str) else entry for name, entry in raw["columns"].items()
        }
    document = read_keys(MapFile, content)
    try:
        written = MapFile.model_validate(document.content)
    except ValidationError as error:
        raise InputError([*document.faults, *faults_of(error, MapFile, document, ())], source) from None
    faults = list(document.faults)
    columns: dict[str, Meaning] = {}
    for header, entry in written.columns.items():
        checkpoint()
        found = list(_faults(header, entry, hand))
        faults += found
        if not found:
            columns[header.strip()] = _meaning(entry, hand)
    if faults:
        raise InputError(faults, source)
    delimiter = "\t" if written.delimiter == "tab" else written.delimiter
    return ColumnMap(delimiter, written.decimal_comma, columns, written.pitches)


def _faults(header: str, entry: ColumnEntry, hand: Hand | None) -> Iterator[Fault]:
    where = ("columns", header)
    meaning = named(entry.key)
    if meaning is None:
        remedy = did_you_mean(entry.key, COLUMN_NAMES) or "check the spelling; units are said by unit = ..."
        yield Fault(key_path(*where, "key"), f"{shown(entry.key)} is no key", ", ".join(COLUMN_NAMES), remedy)
        return
    units, views = units_of(meaning.key), _views(meaning.key)
    if entry.unit is not None and symbol_of(entry.unit) not in units:
        problem = f"{shown(entry.unit)} is no unit of {meaning.key}"
        yield Fault(key_path(*where, "unit"), problem, ", ".join(units), "write one of these, or leave unit out")
    if entry.view is not None and entry.view not in views:
        problem = f"{meaning.key} has no view {shown(entry.view)}"
        yield Fault(key_path(*where, "view"), problem, ", ".join(views), "leave view out" if not views else "")
    elif entry.view == "arm_side" and hand is None:
        remedy = 'say which hand throws, or use view = "pitcher" or "catcher"'
        yield Fault(key_path(*where, "view"), '"arm_side" needs the pitcher\'s hand', "", remedy)


def units_of(key: str) -> tuple[str, ...]:
    """Return the symbols of the units in which a column of a quantity may be written."""
    if key in WORD_KEYS:
        return ()
    return (*factors(MEASURED[key].unit.symbol), *([CLOCK] if key in CLOCKS else []))


def _views(key: str) -> tuple[str, ...]:
    if key in CLOCKS:
        return ("pitcher", "catcher")
    return ("catcher", "pitcher", "arm_side") if key in SIDES else ()


def _meaning(entry: ColumnEntry, hand: Hand | None) -> Meaning:
    plain = named(entry.key)
    assert plain is not None  # an unknown key is a fault
    if plain.key in WORD_KEYS:
        return plain
    symbol = plain.symbol if entry.unit is None else symbol_of(entry.unit)
    factor = 1.0 if symbol == CLOCK else factors(MEASURED[plain.key].unit.symbol)[symbol]
    if plain.key in CLOCKS:
        is_mirrored = entry.view == "catcher"
    else:  # a right-hander's arm side is the pitcher's right, the catcher's left
        is_mirrored = entry.view == "pitcher" or (entry.view == "arm_side" and hand == "right")
    return Meaning(plain.key, symbol, -factor if is_mirrored else factor)
