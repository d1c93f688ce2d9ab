"""The base of a fit: the scenario that says what measured throws don't, as hand, level, field, air, ball and hitter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import acos, copysign
from typing import Any

import numpy as np

from latebreak.engine.inverse.fitted import Prior
from latebreak.engine.laws.registry import force_law
from latebreak.engine.pitch.pitch import LEVERS, Pitch
from latebreak.service.judging.setting import Setting, settle
from latebreak.service.questions.fitting.trade import LEVER_KEYS
from latebreak.service.scenario import Scenario, Source, opened, reference_fastball
from latebreak.service.scenario.level_defaults import default_spread, expected_shares
from latebreak.service.scenario.model import Ball
from latebreak.service.scenario.physical import (
    DRAG_SPEED,
    DRAG_SPIN_PARAMETER,
    LEVER_UNITS,
    in_lever_order,
)
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry
from latebreak.service.scenario.section import Role

#: Tables of a scenario that a fit takes from its base.
TABLES = ("air", "field", "ball", "pitcher", "hitter")
#: How much throws' worth the usual spread of the level has beside the measured spread (chosen: half of a bullpen of
#: eight, so that five throws still get a sensible spread and forty their own).
SPREAD_WEIGHT = 4.0
#: Spin efficiency where neither throws nor base say it (typical of professionals, values from memory).
USUAL_EFFICIENCY = {"fastball": 0.95, "breaking": 0.67, "offspeed": 0.90}
#: deg, standard error of the gyro angle that comes with it (chosen: holds most pitches of a role).
USUAL_GYRO_ERROR = {"fastball": 8.0, "breaking": 15.0, "offspeed": 10.0}
#: ft: target toward the glove side, and height, of a pitch that the base doesn't aim (chosen, as the starter's).
USUAL_TARGET = {"fastball": (0.0, 2.6), "breaking": (0.3, 1.8), "offspeed": (0.0, 1.8)}

_SPEED, _SPIN, _CLOCK, _GYRO, _SIDE, _HEIGHT, _EXTENSION = range(7)


@dataclass(frozen=True, eq=False)
class Base:
    """A base scenario.

    Attributes
    ----------
    setting : Setting
        Made ready, with the seed and the number of throws that were asked for.
    tables : mapping
        Its tables but the pitches, in the keys of its file.
    """

    setting: Setting
    tables: Mapping[str, Any]

    @property
    def scenario(self) -> Scenario:
        """The scenario, complete."""
        return self.setting.scenario

    @property
    def fastball(self) -> str | None:
        """Name of the reference fastball, or None."""
        return reference_fastball(self.scenario)

    @property
    def arm_side(self) -> float:
        """Sign of the pitcher's arm side."""
        return -1.0 if self.scenario.pitcher.hand == "right" else 1.0


@dataclass(frozen=True, eq=False)
class Assumed:
    """What is assumed of a pitch before its throws are looked at.

    Attributes
    ----------
    prior : Prior
        For the engine.
    aim : dict of str to float
        Keys of the scenario with their values: a target, or launch angles.
    sources : dict of str to str
        By key: where an assumed value comes from, in words.
    errors : dict of str to float
        Standard errors of assumed means, in the keys of the spread.
    """

    prior: Prior
    aim: dict[str, float]
    sources: dict[str, str]
    errors: dict[str, float]


def read_base(source: Source, seed: int | None, throws: int | None) -> Base:
    """Read a base scenario; `seed` and `throws` in place of its own.

    Raises
    ------
    InputError
        If it is at fault.
    ScenarioFileError
        If there is no such scenario.
    """
    loaded = opened(source)
    setting, written = settle(loaded, seed, throws), loaded.tables
    return Base(setting, _in_order(written, setting.scenario) if written else _as_dumped(setting.scenario))


def assume(base: Base, name: str, role: Role) -> Assumed:
    """Return what is assumed of a pitch: the base's pitch of that name, else the release of the base's fastball."""
    scenario, pitches = base.scenario, base.setting.pitches
    own, entry = pitches.get(name), scenario.pitch.get(name)
    other = base.fastball or next(iter(scenario.pitch))
    levers = np.full(len(LEVERS), np.nan)
    sources, errors = {}, {}
    for row, (lever, key) in enumerate(zip(LEVERS[:7], LEVER_KEYS, strict=False)):
        if own is not None:
            levers[row], sources[key] = getattr(own, lever), f"the base's {name}"
        elif row >= _SIDE:
            levers[row], sources[key] = getattr(pitches[other], lever), f"the base's {other}"
    sense = -base.arm_side * (-1.0 if entry is not None and entry.gyro_sense == "reverse" else 1.0)
    if own is None:
        levers[_GYRO] = copysign(acos(USUAL_EFFICIENCY[role]), sense)
        sources["gyro_deg"] = f"usual for a pitch of role {role}"
        errors["gyro_deg"] = USUAL_GYRO_ERROR[role]
    elif own.gyro:
        sense = copysign(1.0, own.gyro)
    sources["efficiency_percent"] = sources["gyro_deg"]
    if entry is not None:
        errors = {key: error for key in SPREAD_KEYS if (error := getattr(entry.mean_error, key)) is not None}
    spread = (
        np.array(list(default_spread(scenario.pitcher.level, role).values())) * LEVER_UNITS
        if entry is None
        else in_lever_order(entry.spread)
    )
    prior = Prior(
        spread=spread,
        levers=levers,
        drag_coefficient=_drag_coefficient(base, own),
        lift_scale=scenario.ball.lift_scale if own is None else own.lift_scale,
        hand_sense=sense,
        spread_weight=SPREAD_WEIGHT,
    )
    return Assumed(prior, _aim(base, entry, role), sources, errors)


def _aim(base: Base, entry: PitchEntry | None, role: Role) -> dict[str, float]:
    """Where a pitch is aimed whose arrivals and launch angles were not measured."""
    same_role = (one for one in base.scenario.pitch.values() if one.role == role)
    entry = entry or next(same_role, None)
    if entry is None:
        side, height = USUAL_TARGET[role]
        return {"target_side_ft": -base.arm_side * side, "target_height_ft": height}
    keys = ("target_side_ft", "target_height_ft", "launch_elevation_deg", "launch_azimuth_deg")
    return {key: value for key in keys if (value := getattr(entry, key)) is not None}


def _drag_coefficient(base: Base, own: Pitch | None) -> float:
    """Drag coefficient at the speed and spin where a drag law is held against one."""
    law, given = base.setting.conditions.drag_law, base.scenario.ball.drag_coefficient
    of_law = float(force_law(law).function(np.array([DRAG_SPEED]), np.array([DRAG_SPIN_PARAMETER]))[0])
    if own is not None:
        return own.drag_scale * of_law
    return of_law if given is None else given


def _in_order(written: Mapping[str, Any], scenario: Scenario) -> dict[str, Any]:
    """Return the tables of a base that was read without fault, in the keys that were written.

    The order is that of the contract and whole numbers have no decimals, so that a base from a file and the same base
    from a message, which keeps neither, make the same scenario.
    """
    tables: dict[str, Any] = {}
    for name in TABLES:
        if name in written:
            keys = Scenario.subsections()[name].keys()
            tables[name] = {key: _plain(written[name][key]) for key in keys if key in written[name]}
    if "expects" in tables.get("hitter", {}):
        shares = tables["hitter"]["expects"]
        tables["hitter"]["expects"] = {name: _plain(shares[name]) for name in scenario.pitch if name in shares}
    return tables


def _plain(value: Any) -> Any:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _as_dumped(scenario: Scenario) -> dict[str, Any]:
    """Return the tables of a scenario that has no file; what is as usual is left out."""
    dumped = scenario.model_dump(exclude_none=True)
    if scenario.air.density_kg_m3 is None and scenario.air.pressure_hpa is not None:
        dumped["air"].pop("altitude_m", None)
    roles = {name: entry.role for name, entry in scenario.pitch.items()}
    if dumped["hitter"]["expects"] == expected_shares(roles):
        del dumped["hitter"]["expects"]
    if scenario.ball == Ball():
        del dumped["ball"]
    return {key: dumped[key] for key in TABLES if key in dumped}
