"""Parameters of a hitter: by level, with their sources, and joint draws of what is not known about them.

Every parameter is known in a shape of its own, x = ln value, logit value or the value, in which its uncertainty is
normal. The fitted ones are drawn jointly, x = x_fit + F z with the factor F that the calibration wrote; the others each
with the SD of their prior. Other levels scale the professional's value; their draws keep the shift in x.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import DEGREE, INCH, MILLISECOND

Array = NDArray[np.float64]

LEVELS = ("professional", "college", "high_school", "youth")
PARAMETER_FILE = Path(__file__).with_name("parameters.toml")
#: Size of the units in which keys end, in SI.
UNITS = {"ms": MILLISECOND, "deg": DEGREE, "percent": 0.01, "in": INCH}


@dataclass(frozen=True, eq=False)
class Parameters:
    """Parameters of hitters side by side, SI units; each array has shape (m,). Meanings stand in parameters.toml."""

    commit: Array
    latency: Array
    view_start: Array
    noise_window: Array
    motion_lag: Array
    direction_noise: Array
    speed_noise: Array
    same_side_noise: Array
    speed_scatter: Array
    line_efficiency: Array
    bend_efficiency: Array
    memory_error: Array
    line_scatter: Array
    waiting_share: Array
    spin_share: Array
    wanted_height: Array
    wanted_inside: Array
    zone_blur: Array
    swing_slope: Array
    first_pitch_patience: Array
    bias_no_strikes: Array
    bias_one_strike: Array
    bias_two_strikes: Array
    bias_per_ball: Array
    correction_share: Array
    bat_gain: Array
    usual_height: Array
    motor_height: Array
    motor_growth: Array
    motor_time: Array
    timing_window: Array
    lapse: Array

    def with_(self, **values: float | Array) -> Parameters:
        """Return these parameters with some of them set, in every column."""
        return replace(self, **{name: np.full_like(self.lapse, value) for name, value in values.items()})

    def columns(self, numbers: NDArray[np.int64]) -> Parameters:
        """Return the parameters of some columns, in this order."""
        return Parameters(**{name: getattr(self, name)[numbers] for name in NAMES})


NAMES = tuple(field.name for field in fields(Parameters))


@cache
def parameter_table() -> Mapping[str, Any]:
    """Read the parameter file: a table for each key, the factors of the levels, and the joint uncertainty."""
    return tomllib.loads(PARAMETER_FILE.read_text(encoding="utf-8"))


@cache
def keys() -> dict[str, str]:
    """Return the key of each parameter, its name with its unit, by name: what a scenario may set."""
    table = parameter_table()["parameter"]
    units = ("", *(f"_{unit}" for unit in UNITS))
    return {
        name: next(one + unit for unit in units for one in (name, f"{name}_before_arrival") if one + unit in table)
        for name in NAMES
    }


def unit_of(key: str) -> float:
    """Size of the unit in which a key ends, in SI; 1 for a plain number."""
    return next((size for unit, size in UNITS.items() if key.endswith(f"_{unit}")), 1.0)


def preset(level: str, familiarity: float = 0.5, **overrides: float) -> Parameters:
    """Return the parameters of a hitter of a level, one column.

    Parameters
    ----------
    level : str
        One of `LEVELS`.
    familiarity : float
        0 first look .. 1 thoroughly scouted: what is remembered errs by (1 - familiarity) of `memory_error`.
    **overrides : float
        Values by name in place of the level's, SI units.
    """
    values = {name: _value(key, level) for name, key in keys().items()} | overrides
    values["memory_error"] *= 1.0 - familiarity
    return Parameters(**{name: np.array([value]) for name, value in values.items()})


@dataclass(frozen=True, eq=False)
class Joint:
    """How sure some parameters are together: x + F z is as likely, z standard normal.

    Attributes
    ----------
    names : tuple of str
        Of the P parameters.
    factor : float64 array, shape (P, Z)
        F.
    """

    names: tuple[str, ...]
    factor: Array


@cache
def fitted() -> Joint:
    """How sure the fitted parameters of the package are."""
    joint, named = parameter_table()["joint"], {key: name for name, key in keys().items()}
    return Joint(tuple(named[key] for key in joint["keys"]), np.array(joint["factor"]))


def uncertain(
    own: Parameters,
    draws: int,
    generator: np.random.Generator,
    known: frozenset[str] = frozenset(),
    taught: Joint | None = None,
) -> Parameters:
    """Draw what is not known about a hitter.

    Parameters
    ----------
    own : Parameters
        One column: the middle.
    draws : int
        Number of further sets.
    generator : numpy.random.Generator
        Source of the draws.
    known : frozenset of str
        Names of parameters that are given, not estimated: these are not drawn.
    taught : Joint, optional
        How sure those are that a record of swings taught, in place of the fit's.

    Returns
    -------
    columns : Parameters
        draws + 1 of them; the first is the hitter's own.
    """
    table = parameter_table()["parameter"]
    own_joint = fitted()
    together = own_joint.factor @ generator.standard_normal((own_joint.factor.shape[1], draws))
    shifts = dict(zip(own_joint.names, together, strict=True))
    alone = generator.standard_normal((len(NAMES), draws))
    if taught is not None:
        together = taught.factor @ generator.standard_normal((taught.factor.shape[1], draws))
        shifts |= zip(taught.names, together, strict=True)
    columns = {}
    for number, (name, key) in enumerate(keys().items()):
        value, entry = getattr(own, name), table[key]
        shift = shifts[name] if name in shifts else entry["sd"] * alone[number]
        columns[name] = np.concatenate(
            [value, np.repeat(value, draws) if name in known else moved(entry["shape"], value, shift, unit_of(key))]
        )
    return Parameters(**columns)


def moved(shape: str, value: Array, shift: Array, unit: float) -> Array:
    """Return a value whose x is shifted; in the shape "linear" the shift is in units of the key."""
    match shape:
        case "log":
            result: Array = value * np.exp(shift)
        case "logit":
            result = 1.0 / (1.0 + (1.0 / np.clip(value, 1e-9, 1.0 - 1e-9) - 1.0) * np.exp(-shift))
        case _:
            result = value + shift * unit
    return result


def _value(key: str, level: str) -> float:
    table = parameter_table()
    entry = table["parameter"][key]
    factor = 1.0 if level == "professional" else table["level"][entry["level"]][level] if "level" in entry else 1.0
    return float(entry["value"]) * factor * unit_of(key)
