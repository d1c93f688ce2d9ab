"""Values of a swept key as written on the command line: KEY=A:B:N, or KEY=V1,V2,V3."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from math import isfinite
from typing import Any

from latebreak.engine.errors import Fault, InputError
from latebreak.service.sweep.key_paths import Key, Kind, parse, resolve
from latebreak.service.sweep.overrides import Value
from latebreak.service.sweep.what_ifs import MOST, Axis
from latebreak.service.wording import shown

#: Whole numbers beyond this are read as floating-point ones: tables hold 64 bits.
_LARGEST_WHOLE = 2**63 - 1


def read_grid(text: str, scenario: Mapping[str, Any]) -> Axis:
    """Read one --grid.

    Parameters
    ----------
    text : str
        ``KEY=A:B:N``, N equally spaced numbers from A to B, both included; or ``KEY=V1,V2,V3``.
    scenario : mapping
        Tables of the scenario whose key it is.

    Raises
    ------
    InputError
        The key is unknown, or the values are not written like this.
    """
    name, values = _parted(text)
    key = resolve(name, scenario)
    colons = 0 if "," in values else values.count(":")
    if (key.kind == "number" and colons) or (key.kind == "clock" and colons > 1):
        return Axis((name,), tuple((value,) for value in _spaced(name, key, values)))
    cells = [cell.strip() for cell in values.split(",")]
    if not all(cells):
        raise InputError([Fault(name, f"{shown(values)} lacks a value", "A:B:N, or values with commas between them")])
    return Axis((name,), tuple((read_value(cell, key.kind),) for cell in cells))


def read_value(text: str, kind: Kind) -> Value:
    """Read one value; what can't be read stays text, for the validation of the what-if to refuse."""
    if kind == "flag" and text in ("true", "false"):
        return text == "true"
    if kind != "number":
        return text
    if re.fullmatch(r"[+-]?[0-9]{1,19}", text) and abs(int(text)) <= _LARGEST_WHOLE:
        return int(text)
    return _number(text) if _number(text) is not None else text  # type: ignore[return-value]


def _parted(text: str) -> tuple[str, str]:
    """Part the key from its values, at the first equals sign that no quoted name holds."""
    for found in re.finditer("=", text):
        key = text[: found.start()].strip()
        if parse(key) is not None:
            return key, text[found.end() :].strip()
    remedy = "write for example pitch.curve.speed_mph=70:80:5 or pitcher.hand=left,right"
    raise InputError([Fault("", f"{shown(text)} is not a key path with values", "KEY=A:B:N or KEY=V1,V2,V3", remedy)])


def _spaced(name: str, key: Key, values: str) -> list[float]:
    """Return N equally spaced values from A to B, each the number that is nearest to the exact one."""
    if key.kind == "clock":
        problem = f"{shown(values)} is not a list of clock times"
        remedy = f"for equal steps sweep {name}_deg=A:B:N (0 = 12:00, 30 degrees an hour)"
        raise InputError([Fault(name, problem, "clock times with commas between them", remedy)])
    parts = [part.strip() for part in values.split(":")]
    ends = [_number(part) for part in parts[:2]]
    count = int(parts[2]) if len(parts) == 3 and re.fullmatch(r"[0-9]{1,12}", parts[2]) else 0
    first, last = ends
    if len(parts) != 3 or first is None or last is None or count < 1:
        allowed = "A:B:N: two numbers, and how many values, ends included"
        raise InputError([Fault(name, f"{shown(values)} is not a range", allowed, "write for example 70:80:5")])
    if count == 1 and first != last:
        raise InputError([Fault(name, "one value can't be both ends", "N of 2 or more", f"write {name}={parts[0]}")])
    if count > MOST:
        raise InputError([Fault(name, f"{count:,} values", f"at most {MOST:,}", "sweep fewer values")])
    # fractions of the decimals as written: 0.1:0.5:5 has 0.3, not 0.30000000000000004
    low, high = Fraction(repr(first)), Fraction(repr(last))
    return [float(low + (high - low) * step / max(count - 1, 1)) for step in range(count)]


def _number(text: str) -> float | None:
    """Read a finite number as TOML writes it; None where it is none."""
    if not re.fullmatch(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?", text) or len(text) > 100:
        return None
    value = float(text)
    return value if isfinite(value) else None
