"""A what-if: a copy of a scenario with some of its keys changed, in the tables of the file, before validation."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from latebreak.engine.errors import InputError
from latebreak.service.quantities.units import is_finite_number
from latebreak.service.scenario.level_defaults import expected_shares
from latebreak.service.sweep.key_paths import Path, conflicts, locate

#: What a key can hold.
Value = float | int | bool | str
#: Key paths with their values.
Overrides = Mapping[str, Value]


def with_overrides(scenario: Mapping[str, Any], change: Overrides) -> dict[str, Any]:
    """Return a copy of a scenario with some keys set.

    A key takes the place of every key that says the same or excludes it: its second unit (`speed_kmh` for
    `speed_mph`, `break_clock` for `break_clock_deg`), `gyro_deg` for `efficiency_percent`, `pressure_hpa` for
    `altitude_m`, `density_kg_m3` for what makes the air, launch angles for a target, and each the other way round. A
    spiral that the file gives by the sign of `gyro_deg` keeps its sense when the efficiency is set. Where the hitter's
    expectation of some pitches is set, the other pitches share the rest as they shared before.

    Parameters
    ----------
    scenario : mapping
        Tables as they stand in the file; a valid scenario.
    change : mapping of str to value
        Key paths of the file with their values; values are not checked here.

    Returns
    -------
    dict
        Tables, not validated.

    Raises
    ------
    InputError
        Keys that can't be set together.
    """
    faults = conflicts(change)
    if faults:
        raise InputError(faults)
    new = copy.deepcopy(dict(scenario))
    for text in change:
        for rival in locate(text).rivals:
            _table(new, rival).pop(rival[-1], None)
    for text, value in change.items():
        path = locate(text).path
        _table(new, path)[path[-1]] = value
    _keep_sense(scenario, new)
    _share_the_rest(scenario, new, change)
    return new


def _table(scenario: dict[str, Any], path: Path) -> dict[str, Any]:
    """Return the table that holds a key; it is made where there is none."""
    table = scenario
    for name in path[:-1]:
        table = table.setdefault(name, {})
    return table


def _keep_sense(before: Mapping[str, Any], after: dict[str, Any]) -> None:
    """Say `reverse` beside an efficiency that took the place of a gyro angle of the less usual sign."""
    usual = 1.0 if after["pitcher"]["hand"] == "right" else -1.0
    for name, entry in after["pitch"].items():
        gyro = before["pitch"][name].get("gyro_deg", 0.0)
        if gyro * usual < 0.0 and not {"gyro_deg", "gyro_sense"} & set(entry):
            entry["gyro_sense"] = "reverse"


def _share_the_rest(before: Mapping[str, Any], after: dict[str, Any], change: Overrides) -> None:
    paths = (locate(text).path for text in change)
    swept = {path[2] for path in paths if path[:2] == ("hitter", "expects")}
    if not swept:
        return
    pitches, shares = after["pitch"], after["hitter"]["expects"]
    roles = {name: entry.get("role", "breaking") for name, entry in pitches.items()}
    others = dict(before.get("hitter", {}).get("expects", expected_shares(roles)))
    others = {name: others.get(name, 0.0) for name in pitches if name not in swept}
    taken = [shares[name] for name in swept]
    if not all(map(is_finite_number, taken)):
        return  # a fault of its own
    rest, together = 1.0 - sum(taken), sum(others.values())
    if rest >= 0.0 and together > 0.0:  # else the shares are a fault of their own
        after["hitter"]["expects"] = {name: share * rest / together for name, share in others.items()} | {
            name: shares[name] for name in swept
        }
