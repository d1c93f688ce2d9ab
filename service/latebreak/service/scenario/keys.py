"""From the keys as written to the keys of the model: second units are converted, and what was written is remembered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from latebreak.engine.errors import Fault
from latebreak.service.quantities.units import ClockFace, OtherUnit
from latebreak.service.scenario.section import Section
from latebreak.service.wording import key_path, shown

Path = tuple[str, ...]


@dataclass(frozen=True)
class Written:
    """A key as it stands in the file, in the second unit of its quantity."""

    key: str
    value: object
    unit: OtherUnit | ClockFace


@dataclass
class Document:
    """A scenario in the keys of the model, before validation.

    Attributes
    ----------
    content : dict
        Nested tables; values that could not be converted are None, which no numeric field accepts.
    written : dict of tuple of str to Written
        Keys that stand in the file in their second unit, by their path in the model.
    faults : list of Fault
        Faults of the keys themselves.
    """

    content: dict[str, Any] = field(default_factory=dict)
    written: dict[Path, Written] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)

    def where(self, path: Path) -> str:
        """Word a path of the model as it stands in the file."""
        return key_path(*path[:-1], self.written[path].key) if path in self.written else key_path(*path)


def read_keys(model: type[Section], raw: Mapping[Any, Any]) -> Document:
    """Bring every key to the unit of the model.

    Parameters
    ----------
    model : type of Section
        Kind of the outermost table.
    raw : mapping
        Tables as parsed from a file or request.

    Returns
    -------
    Document
        Unknown keys and values of a wrong type are passed on; only a key in both its units, and a key that is no
        text, is a fault already here.
    """
    document = Document()
    document.content = _read_section(model, raw, (), document)
    return document


def _read_section(model: type[Section], raw: Mapping[Any, Any], path: Path, document: Document) -> dict[str, Any]:
    others, quantities = model.other_keys(), model.ranges()
    single, named = model.subsections(), model.named_sections()
    content: dict[str, Any] = {}
    for key, value in raw.items():
        if not isinstance(key, str):
            problem = f"the key {shown(key)} is not text"
            document.faults.append(Fault(key_path(*path), problem, "text", "put the key in quotes"))
        elif key in others and others[key] in raw:
            both = f"{key_path(*path, others[key])} and {key_path(*path, key)}"
            document.faults.append(
                Fault(
                    key_path(*path, key),
                    f"{both} say the same thing twice ({shown(raw[others[key]])} and {shown(value)})",
                    "one of the two",
                    f"remove {key} or {others[key]}",
                )
            )
        elif key in others:
            unit = quantities[others[key]].unit.other
            assert unit is not None  # other_keys lists only quantities that have a second unit
            document.written[(*path, others[key])] = Written(key, value, unit)
            content[others[key]] = unit.read(value)
        elif key in single and isinstance(value, Mapping):
            content[key] = _read_section(single[key], value, (*path, key), document)
        elif key in named and isinstance(value, Mapping):
            content[key] = {
                name: _read_section(named[key], entry, (*path, key, name), document)
                if isinstance(entry, Mapping) and isinstance(name, str)
                else entry
                for name, entry in value.items()
            }
        else:
            content[key] = value
    return content
