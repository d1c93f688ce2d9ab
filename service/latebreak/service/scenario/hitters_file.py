"""The file of taught hitters: what `latebreak hitters` learnt, and how it gets into a scenario.

A file holds the level, values of parameters, and how sure they are together: the lower triangle of a factor F, so that
x + F z is as likely, z standard normal, x in the shapes of `latebreak.perception.parameters`, in the order of its fit::

    level = "college"
    taught_factor = [
        [0.06],
        [0.01, 0.2],
    ]

    [taught]
    latency_ms = 104.2
    view_start_ms = 21.0

`[hitter] file = "HITTERS.toml"` in a scenario, relative to its own folder, stands for these keys under `[hitter]`. Only
they travel: over the wire a file name means nothing.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from math import isqrt
from pathlib import Path
from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray
from pydantic import ValidationError

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.quantities.units import is_finite_number, worded_range
from latebreak.service.scenario.faults import faults_of
from latebreak.service.scenario.keys import read_keys
from latebreak.service.scenario.model import TAUGHT, TAUGHT_FACTOR, TAUGHT_KEYS, HitterParameters
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
    taught_factor: list[list[Annotated[float, TAUGHT_FACTOR]]]


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
    found = read_hitters(folder, name)
    rest = {key: value for key, value in hitter.items() if key != "file"}
    faults = [
        Fault(f"hitter.{key}", "given beside file", "one of the two", f"remove {key}, or file")
        for key in ("taught", "taught_factor")
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
    return {**scenario, "hitter": {**rest, "taught": found["taught"], "taught_factor": found["taught_factor"]}}


def read_hitters(folder: Path, name: str) -> dict[str, Any]:
    """Read a file of taught hitters, the factor row after row in one list; raises as `inlined` does."""
    said, source = shown(clean(name)), clean(name)
    try:
        with (folder / name).open("rb") as file:
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
        raise InputError([*faults, *taught_faults(raw)], source) from None
    rows = [len(row) for row in raw["taught_factor"]]
    if rows != list(range(1, len(rows) + 1)):
        problem = f"rows of {', '.join(map(str, rows))} numbers"
        faults.append(Fault("taught_factor", problem, "rows of 1, 2, 3, ... numbers", _REMEDY))
    flat = {**raw, "taught_factor": [number for row in raw["taught_factor"] for number in row]}
    faults += taught_faults(flat)
    if faults:
        raise InputError(faults, source)
    return flat


def taught_faults(tables: Mapping[str, Any], *path: str) -> Iterator[Fault]:
    """Find what is at fault with the table `taught` and the list `taught_factor`, below a path."""
    values = tables["taught"] if isinstance(tables.get("taught"), Mapping) else {}
    factor = tables.get("taught_factor", [])
    ranges = HitterParameters.ranges()
    for key, value in values.items():
        where = key_path(*path, "taught", str(key))
        if key not in TAUGHT_KEYS:
            near = did_you_mean(key, TAUGHT_KEYS) or "remove it, or check the spelling"
            yield Fault(where, f"{shown(value)} for what can't be taught", ", ".join(TAUGHT_KEYS), near)
            continue
        low, high = ranges[key].possible
        if is_finite_number(value) and not low <= value <= high:
            symbol = ranges[key].unit.symbol
            problem = f"{shown(value)} {symbol}".rstrip() + " is outside the possible range"
            yield Fault(where, problem, worded_range(low, high, symbol), "check the value and its unit")
    if isinstance(factor, list) and not any(isinstance(one, list) for one in factor):
        size = len(values) * (len(values) + 1) // 2
        if len(factor) != size:
            problem = f"{len(factor)} numbers for {len(values)} taught parameters"
            yield Fault(key_path(*path, "taught_factor"), problem, f"{size}, the lower triangle row by row", _REMEDY)


def triangle(numbers: Sequence[float]) -> NDArray[np.float64]:
    """Return a lower triangle that is given row by row, as a square array."""
    size = (isqrt(8 * len(numbers) + 1) - 1) // 2
    whole = np.zeros((size, size))
    whole[np.tril_indices(size)] = numbers
    return whole
