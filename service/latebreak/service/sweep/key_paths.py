"""Key paths: which key of a scenario is meant by `pitch.curve.speed_mph`, and which other keys it replaces."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, Literal, get_origin

from latebreak.engine.errors import Fault, InputError
from latebreak.service.quantities.units import ClockFace
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.correlations import correlation_faults
from latebreak.service.scenario.cross_checks import LAUNCH, TARGET
from latebreak.service.scenario.model import Air
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.section import Section
from latebreak.service.scenario.unknown_keys import unknown_key
from latebreak.service.wording import did_you_mean, key_path, shown

Path = tuple[str, ...]
#: What the value of a key is.
Kind = Literal["number", "clock", "flag", "text"]

#: Longest key path, in characters (chosen: five names of the longest kind).
LONGEST = 250

#: Groups of keys of which a table holds one: setting a key of one takes away the keys of the other.
EXCLUDING: dict[type[Section], tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]] = {
    Air: (
        (("altitude_m",), ("pressure_hpa",)),
        (("density_kg_m3",), ("temperature_c", "humidity_percent", "altitude_m", "pressure_hpa")),
    ),
    PitchEntry: (
        (("gyro_deg",), ("efficiency_percent", "gyro_sense")),
        (TARGET, LAUNCH),
    ),
}


@dataclass(frozen=True)
class Key:
    """A key of a scenario that can hold a value.

    Attributes
    ----------
    path : tuple of str
        Names of the tables, then of the key.
    kind : {"number", "clock", "flag", "text"}
        What it holds.
    section : type of Section or None
        Kind of its table; None in a table of named numbers, such as `hitter.expects`.
    """

    path: Path
    kind: Kind
    section: type[Section] | None

    @property
    def rivals(self) -> frozenset[Path]:
        """Paths of the keys that this one replaces: its second unit, and what says the same or excludes it."""
        *table, key = self.path
        if self.section is None:
            is_pair = table[-1] == "correlation" and ":" in key
            return frozenset([(*table, ":".join(reversed(key.split(":"))))] if is_pair else [])
        others = self.section.other_keys()
        first = others.get(key, key)
        replaced = {first}
        for one, other in EXCLUDING.get(self.section, ()):
            replaced.update(other if first in one else one if first in other else ())
        replaced.update([second for second, name in others.items() if name in replaced])
        return frozenset((*table, name) for name in replaced - {key})


def parse(text: str) -> Path | None:
    """Split a key path as TOML does, quoted names included; None where it is none."""
    if len(text) > LONGEST:
        return None
    try:
        place: Any = tomllib.loads(f"{text} = 0")
    except ValueError:
        return None
    path: list[str] = []
    while isinstance(place, dict) and len(place) == 1:
        name, place = next(iter(place.items()))
        path.append(name)
    return tuple(path) if place == 0 and path else None


@lru_cache(maxsize=4096)
def locate(text: str) -> Key:
    """Find a key in the model of a scenario; that its pitch exists is for `resolve` to check.

    Parameters
    ----------
    text : str
        Key path as in the file.

    Raises
    ------
    InputError
        There is no such key, or it is a table.
    """
    path = parse(text)
    if path is None:
        remedy = 'write for example pitch.curve.speed_mph, and quote other names: pitch."my curve".speed_mph'
        raise InputError([Fault("", f"{shown(text)} is not a key path", "names joined by dots", remedy)])
    section: type[Section] = Scenario
    depth = 0
    while depth < len(path):
        key, is_last = path[depth], depth == len(path) - 1
        if not section.has(key):
            unknown = unknown_key(path[: depth + 1], 0, section, Scenario)
            raise InputError([replace(unknown, problem="unknown key")])
        single, named = section.subsections().get(key), section.named_sections().get(key)
        if named is not None:
            section, depth = named, depth + 2  # past the name that the user chose
        elif single is not None:
            section, depth = single, depth + 1
        elif _holds_numbers(section, key):
            if depth == len(path) - 2:
                return Key(path, "number", None)
            depth = len(path)
        elif is_last:
            return Key(path, _kind(section, key), section)
        else:
            where = key_path(*path[: depth + 1])
            raise InputError([Fault(where, f"it holds a value, so {key_path(*path)} is no key", where)])
    within = ", ".join(section.keys())
    raise InputError([Fault(key_path(*path), "it is a table, not a key with a value", within, "name a key in it")])


def resolve(text: str, scenario: Mapping[str, Any]) -> Key:
    """Find a key, and check that the names in its path are names of this scenario.

    Parameters
    ----------
    text : str
        Key path as in the file.
    scenario : mapping
        Tables as they stand in the file.

    Raises
    ------
    InputError
        There is no such key, pitch or pair of quantities.
    """
    key = locate(text)
    pitches = list(scenario.get("pitch", {}))
    name = key.path[1] if key.path[0] == "pitch" else key.path[2] if key.path[:2] == ("hitter", "expects") else None
    if name is not None and name not in pitches:
        near = did_you_mean(name, pitches) or "name a pitch of the scenario"
        problem = f"there is no pitch {shown(name)} in the scenario"
        raise InputError([Fault(key_path(*key.path), problem, ", ".join(map(shown, pitches)), near)])
    if key.section is None and key.path[-2] == "correlation":
        pair = key.path[-1]
        faults = list(correlation_faults({pair: 0.0}, *key.path[:-1]))  # 0 can't be at fault, so the pair is
        if faults:
            raise InputError([replace(faults[0], problem=f"{shown(pair)} does not name two quantities")])
    return key


def conflicts(texts: Iterable[str]) -> list[Fault]:
    """Find keys that say the same thing or exclude each other, and so can't be set together."""
    texts = list(texts)
    faults = []
    for later, text in enumerate(texts):
        for earlier in texts[:later]:
            if locate(text).path == locate(earlier).path:
                faults.append(Fault(text, "it is swept twice", "each key once", "remove one of the two"))
            elif locate(text).path in locate(earlier).rivals:
                problem = f"{earlier} and {text} say the same thing or exclude each other"
                faults.append(Fault(text, problem, "one of the two", "sweep only one of them"))
    return faults


def _holds_numbers(section: type[Section], key: str) -> bool:
    """Tell whether a key is a table of numbers under free names."""
    field = section.model_fields.get(key)
    return field is not None and get_origin(field.annotation) is dict and key not in section.named_sections()


def _kind(section: type[Section], key: str) -> Kind:
    first = section.other_keys().get(key, key)
    quantity = section.ranges().get(first)
    if quantity is not None:
        return "clock" if key != first and isinstance(quantity.unit.other, ClockFace) else "number"
    return "flag" if section.model_fields[key].annotation is bool else "text"
