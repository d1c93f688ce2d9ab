"""Correlations between the quantities that vary from throw to throw: from named pairs to a matrix."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, Spread
from latebreak.service.wording import did_you_mean, key_path, shown

#: How far below zero rounding may push an eigenvalue of a valid matrix of nine rows with entries up to 1 (chosen).
EIGENVALUE_TOLERANCE = 1e-9


def correlation_matrix(pairs: Mapping[str, float]) -> NDArray[np.float64]:
    """Build the matrix of correlations.

    Parameters
    ----------
    pairs : mapping of str to float
        Correlations by "key:key", keys of the spread; pairs that are not named are uncorrelated.

    Returns
    -------
    float64 array, shape (9, 9)
        In the order of `pitch.LEVERS`.
    """
    matrix = np.eye(len(SPREAD_KEYS))
    for pair, value in pairs.items():
        row, column = (SPREAD_KEYS.index(key) for key in pair.split(":"))
        matrix[row, column] = matrix[column, row] = value
    return matrix


def correlation_faults(pairs: Mapping[Any, object], *path: str) -> Iterator[Fault]:
    """Find pairs that name no two quantities, come twice, or contradict each other.

    Parameters
    ----------
    pairs : mapping
        The table as written.
    path : str
        Key path of the table.
    """
    seen: set[frozenset[str]] = set()
    sound: dict[str, float] = {}
    for pair, value in pairs.items():
        where = key_path(*path, pair)
        keys = pair.split(":") if isinstance(pair, str) else []
        unknown = [key for key in keys if key not in SPREAD_KEYS]
        if len(keys) != 2 or unknown or keys[0] == keys[1]:
            remedy = _first_unit(unknown) or 'write for example "speed_mph:spin_rpm" = 0.4'
            allowed = "two different keys of " + ", ".join(SPREAD_KEYS)
            yield Fault(where, f"{shown(pair)} = {shown(value)} does not name two quantities", allowed, remedy)
        elif frozenset(keys) in seen:
            yield Fault(where, f"{shown(pair)} = {shown(value)} is given a second time", "each pair once", "remove one")
        elif isinstance(pair, str) and is_finite_number(value) and abs(value) <= 1.0:
            sound[pair] = value
        seen.add(frozenset(keys))
    smallest = float(np.linalg.eigvalsh(correlation_matrix(sound)).min())
    if smallest < -EIGENVALUE_TOLERANCE:
        given = ", ".join(f"{pair} = {shown(value)}" for pair, value in sound.items())
        yield Fault(
            key_path(*path),
            f"these correlations contradict each other ({given}): no throws can have them together",
            f"a positive semidefinite matrix; its smallest eigenvalue is {smallest:.3g}",
            "bring them nearer to 0",
        )


def _first_unit(unknown: list[str]) -> str:
    """Point from a misspelt key, or one in a second unit, to the key that was meant."""
    names = (Spread.other_keys().get(key) for key in unknown)
    other = next((f"correlations take {name}" for name in names if name), "")
    return other or next((near for near in (did_you_mean(key, SPREAD_KEYS) for key in unknown) if near), "")
