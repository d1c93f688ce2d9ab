"""The numbers of an answer as a long table: a row a number, whatever the question."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from latebreak.service.quantities import QUANTITIES, SPREAD
from latebreak.service.quantities.units import unit_of
from latebreak.service.questions.answer import Answer
from latebreak.service.tabular.parquet import Kinds
from latebreak.service.tabular.writer import Cell, Kind, new_table

#: `part` is the place in the answer, without pitch and measure; `low` to `high` the 90 % interval, or 5 to 95 % of the
#: throws; `unit` is that of all three.
COLUMNS: dict[str, Kinds] = {
    "part": {str}, "pitch": {str}, "measure": {str}, "value": {float}, "low": {float}, "high": {float},
    "sampling_error": {float}, "unit": {str},
}  # fmt: skip
KIND = Kind("table of a latebreak answer", lambda columns: list(columns) == list(COLUMNS))
#: Parts of an answer that tell lines of a file, or what was asked, and no number that was found out.
_ASKED = ("flagged", "unreadable", "kept")
#: Numbers in the unit of the measure that an answer is about, wherever they stand.
_OF_MEASURE = ("gain", "difference", "measure_there")
#: The number that a group of them is about, and the rest of the group.
_VALUES, _REST = ("value", "mean"), ("low", "high", "sampling_error")


@dataclass(frozen=True)
class _Place:
    """Where in an answer a number stands.

    Attributes
    ----------
    part : tuple of str
        Keys on the way, without pitch and quantity.
    pitch, quantity : str
        Of the number; empty where none is on the way.
    about : str
        The measure that what is around it is about.
    """

    part: tuple[str, ...] = ()
    pitch: str = ""
    quantity: str = ""
    about: str = ""

    def within(self, key: str, pitches: frozenset[str]) -> _Place:
        """Go into a key: a quantity, a pitch, or a part."""
        quantity = SPREAD + key if self.part[-1:] == ("spread",) and SPREAD + key in QUANTITIES else key
        if quantity in QUANTITIES:  # below a lever: what it does to this one
            return replace(self, part=self._and(self.quantity), quantity=quantity)
        if key in pitches:  # below a pitch: this one, when hitters have that one in mind
            return replace(self, part=self._and(self.pitch if "mixes" in self.part else ""), pitch=key)
        if key in _OF_MEASURE:
            return replace(self, part=(*self._and(self.quantity), key), quantity=self.about)
        return self if key == "measures" else replace(self, part=(*self.part, key))

    def _and(self, word: str) -> tuple[str, ...]:
        return (*self.part, *([word] if word else []))


def write_answer(table: Path, answer: Answer[Any]) -> None:
    """Write the numbers of an answer.

    Parameters
    ----------
    table : Path
        Parquet where it ends in .parquet, else CSV.
    answer : Answer
        Of any question. Numbers are those of its JSON: in the units of their keys.

    Raises
    ------
    ParquetError
        pyarrow is needed and not installed.
    OutputFileError
        Something else stands in its place, or it can't be written.
    """
    with new_table(table, COLUMNS, KIND) as write:
        for row in rows_of(answer.to_dict()["result"]):
            write(row)


def rows_of(result: Mapping[str, Any]) -> Iterator[list[Cell]]:
    """Return the rows of the result of an answer, in its order."""
    shares = result.get("today", {}).get("shares_percent", {})
    pitches = frozenset({*result.get("pitches", {}), *result.get("others", {}), *shares})
    return _walked(result, _entered(result, _Place(about=result.get("better", {}).get("measure", ""))), pitches)


def _entered(found: Mapping[str, Any], place: _Place) -> _Place:
    """Take the pitch and the measure that a part of an answer is about."""
    asked = found.get("kept", found)
    pitch, about = (one if isinstance(one := asked.get(key), str) else "" for key in ("pitch", "measure"))
    return replace(place, pitch=pitch or place.pitch, about=about or place.about)


def _walked(found: Any, place: _Place, pitches: frozenset[str]) -> Iterator[list[Cell]]:
    if isinstance(found, Mapping):
        place, rest = _entered(found, place), set(_ASKED)
        value = next((key for key in _VALUES if key in found and "sampling_error" in found), None)
        if value is not None:
            yield _row(place, found[value], *(found.get(key) for key in _REST))
            rest |= {value, *_REST}
        for key, one in found.items():
            if key not in rest:
                yield from _walked(one, place.within(key, pitches), pitches)
    elif isinstance(found, list):
        for number, one in enumerate(found, 1):
            *before, key = place.part or ("",)
            part = (*place.part, _called(one, number)) if isinstance(one, Mapping) else (*before, str(number), key)
            yield from _walked(one, replace(place, part=part), pitches)
    elif isinstance(found, (int, float)) and not isinstance(found, bool):
        yield _row(place, found)


def _called(one: Mapping[str, Any], number: int) -> str:
    """Name an entry of a list: by its session, by who hits, or by its number."""
    hits = f"{one['bats']}, familiarity {one['familiarity']:g}" if "bats" in one else ""
    return str(one.get("session") or hits or number)


def _row(place: _Place, value: float | None, *rest: float | None) -> list[Cell]:
    """Return a row; a count, and a number whose own name ends in a unit, as chance_percent, is told by that name."""
    part, measure = list(place.part), place.quantity or place.about
    own = isinstance(value, int) or not measure or (part and unit_of(part[-1]).symbol and part[-1] not in QUANTITIES)
    if part and own:
        *part, measure = [*part[:-1], *([place.quantity] if place.quantity else []), part[-1]]
    low, high, error = (*rest, None, None, None)[:3]
    numbers = [None if one is None else float(one) for one in (value, low, high, error)]
    return [".".join(part), place.pitch, measure, *numbers, unit_of(measure).symbol if measure else ""]
