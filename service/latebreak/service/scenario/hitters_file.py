"""The file of taught hitters: what `latebreak hitters` learnt, and how it gets into a scenario.

A file holds the level, values of parameters, and SDs of their x (`latebreak.perception.parameters`)::

    level = "college"

    [taught]
    latency_ms = 104.2

    [taught_sd]
    latency_ms = 0.06

`[hitter] file = "HITTERS.toml"` in a scenario, relative to its own folder, stands for these tables under `[hitter]`. Only
the tables travel: over the wire a file name means nothing.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any

from pydantic import ValidationError

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.quantities.units import is_finite_number, worded_range
from latebreak.service.scenario.faults import faults_of
from latebreak.service.scenario.keys import read_keys
from latebreak.service.scenario.model import TAUGHT, TAUGHT_KEYS, TAUGHT_SD, HitterParameters
from latebreak.service.scenario.section import Level, Section
from latebreak.service.wording import clean, did_you_mean, key_path, shown

#: Largest file of taught hitters in bytes (chosen: more is some other kind of file).
MAX_BYTES = 100_000
_REMEDY = "`latebreak hitters` writes such a file"


class HittersFileError(LatebreakError):
    """A file of taught hitters can't be found, read or written."""


class HittersFile(Section):
    """The file as written."""

    level: Level
    taught: dict[str, Annotated[float, TAUGHT]]
    taught_sd: dict[str, Annotated[float, TAUGHT_SD]]


def inlined(scenario: Mapping[str, Any], folder: Path) -> Mapping[str, Any]:
    """Put what a scenario's file of taught hitters says in the place of its name.

    Parameters
    ----------
    scenario : mapping
        Tables as TOML gives them; without such a file they come back as they are.
    folder : Path
        Of the scenario's file.

    Raises
    ------
    HittersFileError
        There is no such file, or it can't be read.
    InputError
        It is at fault, or does not fit the scenario.
    """
    hitter = scenario.get("hitter")
    if not isinstance(hitter, Mapping) or not isinstance(hitter.get("file"), str):
        return scenario
    name = hitter["file"]
    found = read_hitters(folder / name)
    rest = {key: value for key, value in hitter.items() if key != "file"}
    faults = [
        Fault(f"hitter.{key}", "given beside file", "one of the two", f"remove {key}, or file")
        for key in ("taught", "taught_sd")
        if key in rest
    ]
    level = rest.setdefault("level", found["level"])
    if level != found["level"]:
        problem = f"{shown(level)}, but {shown(name)} was taught by hitters of level {shown(found['level'])}"
        faults.append(
            Fault("hitter.level", problem, shown(found["level"]), "remove level, or use hitters of that level")
        )
    if faults:
        raise InputError(faults, clean(name))
    return {**scenario, "hitter": {**rest, "taught": found["taught"], "taught_sd": found["taught_sd"]}}


def read_hitters(path: Path) -> dict[str, Any]:
    """Read a file of taught hitters; raises as `inlined` does."""
    said, source = shown(clean(str(path))), clean(path.name)
    try:
        with path.open("rb") as file:
            content = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte
        reason = getattr(error, "strerror", None) or str(error)
        message = f"hitter.file: {said} can't be read: {clean(reason)}; the name is relative to the scenario's folder"
        raise HittersFileError(message) from error
    if len(content) > MAX_BYTES:
        problem, allowed = "it is larger than 0.1 MB", "at most 0.1 MB"
        raise InputError([Fault("", problem, allowed, _REMEDY)], source)
    try:
        raw = tomllib.loads(content.decode("utf-8-sig"))
    except RecursionError:
        raise InputError([Fault("", "brackets are nested too deep", "one level", _REMEDY)], source) from None
    except ValueError as error:  # TOMLDecodeError and UnicodeDecodeError are
        problem = f"not TOML: {clean(str(error))[:200]}"
        raise InputError([Fault("", problem, "KEY = VALUE below [taught]", _REMEDY)], source) from None
    document = read_keys(HittersFile, raw)
    faults = list(document.faults)
    try:
        HittersFile.model_validate(document.content)
    except ValidationError as error:
        faults += faults_of(error, HittersFile, document, ())
    faults += taught_faults(raw)
    if faults:
        raise InputError(faults, source)
    return raw


def taught_faults(tables: Mapping[str, Any], *path: str) -> Iterator[Fault]:
    """Find what is at fault with the tables `taught` and `taught_sd`, below a path."""
    values, sds = (tables[key] if isinstance(tables.get(key), Mapping) else {} for key in ("taught", "taught_sd"))
    ranges = HitterParameters.ranges()
    for table, entries in (("taught", values), ("taught_sd", sds)):
        for key, value in entries.items():
            if key not in TAUGHT_KEYS:
                near = did_you_mean(key, TAUGHT_KEYS) or "remove it, or check the spelling"
                problem = f"{shown(value)} for what can't be taught"
                yield Fault(key_path(*path, table, key), problem, ", ".join(TAUGHT_KEYS), near)
    for key, value in values.items():
        low, high = ranges[key].possible if key in TAUGHT_KEYS else (value, value)
        if is_finite_number(value) and not low <= value <= high:
            allowed = worded_range(low, high, ranges[key].unit.symbol)
            problem = f"{shown(value)} {ranges[key].unit.symbol}".rstrip() + " is outside the possible range"
            yield Fault(key_path(*path, "taught", key), problem, allowed, "check the value and its unit")
    for key in [key for key in values if key in TAUGHT_KEYS and key not in sds]:
        allowed = worded_range(*TAUGHT_SD.possible, "")
        where = key_path(*path, "taught_sd", key)
        yield Fault(where, f"missing, though taught.{key} is given", allowed, "say how sure the value is")
