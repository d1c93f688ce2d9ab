"""From validation errors to faults: each says what, where, the value, what is allowed and how to mend it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from latebreak.engine.errors import Fault
from latebreak.service.quantities.units import ClockFace, is_finite_number, worded_range
from latebreak.service.scenario.keys import Document, Path
from latebreak.service.scenario.section import Section
from latebreak.service.scenario.unknown_keys import unknown_key
from latebreak.service.wording import clean, did_you_mean, key_path, shown


@dataclass(frozen=True)
class Refusal:
    """One error of a validation, and what is needed to word it."""

    path: Path
    value: object
    context: dict[str, Any]
    message: str
    model: type[Section]
    document: Document

    @property
    def where(self) -> str:
        """Key path as it stands in the file."""
        return self.document.where(self.path)

    @property
    def section(self) -> type[Section]:
        """Kind of the table that holds the key."""
        return section_at(self.model, self.path[:-1])


def faults_of(
    error: ValidationError, model: type[Section], document: Document, explained: Collection[str]
) -> Iterator[Fault]:
    """Translate every error of a validation.

    Parameters
    ----------
    error : ValidationError
        Raised by `model` for the content of `document`.
    model : type of Section
        Kind of the outermost table.
    document : Document
        The keys as they stand in the file.
    explained : collection of str
        Key paths whose value has a fault already, with a better reason than its range.

    Yields
    ------
    Fault
        One for each error, in the order of the fields.
    """
    for detail in error.errors(include_url=False):
        path = tuple(str(part) for part in detail["loc"])
        refusal = Refusal(path, detail["input"], detail.get("ctx", {}), detail["msg"], model, document)
        if detail["type"] not in ("range", "literal_error") or refusal.where not in explained:
            yield WORDED.get(detail["type"], _other)(refusal)


def section_at(model: type[Section], path: Path) -> type[Section]:
    """Return the kind of section at a path; the last section on the way where the path leads out of all."""
    section = model
    parts = iter(path)
    for part in parts:
        if part in section.subsections():
            section = section.subsections()[part]
        elif part in section.named_sections():
            section = section.named_sections()[part]
            next(parts, None)  # the name that the user chose
    return section


def _number(refusal: Refusal) -> Fault:
    """Word why a value is not a possible value of a quantity, in the unit in which it is written."""
    quantity, written = refusal.context["range"], refusal.document.written.get(refusal.path)
    value, unit = (written.value, written.unit) if written else (refusal.value, None)
    symbol = unit.symbol if unit else quantity.unit.symbol
    low, high = quantity.possible
    allowed = unit.range(low, high) if unit else worded_range(low, high, symbol)
    if isinstance(unit, ClockFace):
        problem, remedy = f"{shown(value)} is not a clock time in quotes", 'write for example "12:45"'
    elif not is_finite_number(value):
        problem = f"{shown(value)} is not a {'finite ' if isinstance(value, float) else ''}number"
        remedy = "write a number, without quotes and without its unit"
    elif quantity.whole and value != int(value):
        problem, remedy = f"{shown(value)} is not a whole number", "write a whole number"
    else:
        problem = f"{f'{shown(value)} {symbol}'.rstrip()} is outside the possible range"
        remedy = "check the value and its unit"
    return Fault(refusal.where, problem, allowed, remedy)


def _missing(refusal: Refusal) -> Fault:
    *table, key = refusal.path
    section = refusal.section
    quantity = section.ranges().get(key)
    if quantity is None:
        heading = key_path(*refusal.path) + (".NAME" if key in section.named_sections() else "")
        is_table = key in section.subsections() or key in section.named_sections()
        choices = ", ".join(f'"{choice}"' for choice in section.choices(key))
        return Fault(refusal.where, "missing", choices, f"add a table [{heading}]" if is_table else f"add {key} = ...")
    other = quantity.unit.other
    other_key = other.key(key, quantity.unit.suffix) if other else ""
    if isinstance(other, ClockFace):  # a coach thinks of the clock first
        allowed, remedy = other.range(*quantity.possible), f"add {other_key} = ... (or {key})"
        return Fault(key_path(*table, other_key), "missing", allowed, remedy)
    allowed = worded_range(*quantity.possible, quantity.unit.symbol)
    return Fault(refusal.where, "missing", allowed, f"add {key} = ..." + (f" (or {other_key})" if other_key else ""))


def _unknown(refusal: Refusal) -> Fault:
    return unknown_key(refusal.path, refusal.value, refusal.section, refusal.model)


def _text(refusal: Refusal) -> Fault:
    longest = refusal.context["text"].longest
    # pydantic marks a refused name of a table by a last part "[key]"
    is_name = refusal.path[-1] == "[key]"
    where = key_path(*refusal.path[:-1]) if is_name else refusal.where
    problem = f"{'the name ' if is_name else ''}{shown(refusal.value)} is not a possible text"
    return Fault(where, problem, f"1 to {longest} printable characters", "use plain letters, digits and spaces")


def _choice(refusal: Refusal) -> Fault:
    choices = refusal.section.choices(refusal.path[-1])
    allowed = " or ".join(f'"{choice}"' for choice in choices)
    problem = f"{shown(refusal.value)} is not one of the choices"
    return Fault(refusal.where, problem, allowed, did_you_mean(refusal.value, choices) or "choose one of these")


def _table(refusal: Refusal) -> Fault:
    remedy = f"write a heading [{refusal.where}] with keys below it"
    *table, key = refusal.path
    kind = section_at(refusal.model, refusal.path)
    if table and table[-1] in section_at(refusal.model, tuple(table[:-1])).named_sections() and kind.has(key):
        remedy = f"{key} belongs under a heading [{key_path(*table)}.NAME]"
    return Fault(refusal.where, f"{shown(refusal.value)} is not a table", "a table of keys", remedy)


def _flag(refusal: Refusal) -> Fault:
    problem = f"{shown(refusal.value)} is neither true nor false"
    return Fault(refusal.where, problem, "true or false", "write it without quotes")


def _other(refusal: Refusal) -> Fault:
    return Fault(refusal.where, f"{shown(refusal.value)}: {clean(refusal.message)}", "", "check type and spelling")


#: How each type of error is worded: pydantic's own types, and those of `Range` and `Text`.
WORDED: dict[str, Callable[[Refusal], Fault]] = {
    "range": _number,
    "missing": _missing,
    "extra_forbidden": _unknown,
    "text": _text,
    "literal_error": _choice,
    "model_type": _table,
    "dict_type": _table,
    "bool_type": _flag,
}
