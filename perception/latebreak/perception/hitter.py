"""A hitter: the eye, the parameters of a level with their sources, and draws of what is not known about them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cache
from math import log
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE, MILLISECOND
from latebreak.perception.eye import Eye

Array = NDArray[np.float64]

LEVELS = ("professional", "college", "high_school", "youth")
PARAMETER_FILE = Path(__file__).with_name("parameters.toml")
_MILLIMETRE = 1e-3
#: Size of the units of the parameter file in SI.
_UNITS = {
    "1": 1.0, "rad": 1.0, "sqrt(s)": 1.0, "arcmin sqrt(s)": ARCMIN, "deg": DEGREE, "deg/s": DEGREE,
    "ms": MILLISECOND, "mm": _MILLIMETRE,
}  # fmt: skip
_NORMAL_90 = 1.6448536269514722  # 95 % point of the standard normal distribution


@dataclass(frozen=True, eq=False)
class Traits:
    """Parameters of hitters side by side, SI units; each array has shape (m,). Meanings stand in parameters.toml."""

    evidence_efficiency: Array
    movement_error: Array
    direction_error: Array
    speed_error: Array
    release_point_error: Array
    azimuth_error: Array
    elevation_error: Array
    position_noise: Array
    size_noise: Array
    pursuit_limit: Array
    eccentricity_scale: Array
    view_start: Array
    timing_cutoff: Array
    height_cutoff: Array
    motor_time: Array
    motor_height: Array
    timing_window: Array
    lapse: Array

    def with_(self, **values: float) -> Traits:
        """Return these traits with some of them set, in every column."""
        return replace(self, **{name: np.full_like(self.lapse, value) for name, value in values.items()})

    def columns(self, numbers: NDArray[np.int64]) -> Traits:
        """Return the traits of some columns, in this order."""
        return Traits(**{name: getattr(self, name)[numbers] for name in TRAITS})


TRAITS = tuple(field.name for field in fields(Traits))


@dataclass(frozen=True, eq=False)
class Hitter:
    """A hitter.

    Attributes
    ----------
    eye : Eye
        Where the eye is.
    level : str
        One of `LEVELS`.
    traits : Traits
        One column.
    familiarity : float
        0 first look .. 1 thoroughly scouted.
    commit_before_arrival : float
        s before arrival at which the swing must start.
    """

    eye: Eye
    level: str
    traits: Traits
    familiarity: float
    commit_before_arrival: float


@cache
def parameter_table() -> Mapping[str, Mapping[str, Any]]:
    """Read the parameter file: a table for each trait."""
    return tomllib.loads(PARAMETER_FILE.read_text(encoding="utf-8"))


def preset(level: str, eye: Eye, commit_before_arrival: float, familiarity: float = 0.5, **overrides: float) -> Hitter:
    """Return a hitter of a level.

    Parameters
    ----------
    level : str
        One of `LEVELS`.
    eye : Eye
        Where the eye is.
    commit_before_arrival : float
        s.
    familiarity : float
        0 to 1.
    **overrides : float
        Traits in place of the level's, SI units.
    """
    table = parameter_table()
    values = {name: table[name][level] * _UNITS[table[name]["unit"]] for name in TRAITS} | overrides
    traits = Traits(**{name: np.array([value]) for name, value in values.items()})
    return Hitter(eye, level, traits, familiarity, commit_before_arrival)


def uncertain_traits(hitter: Hitter, draws: int, generator: np.random.Generator) -> Traits:
    """Draw the parameters that nobody knows well: the model uncertainty of this hitter.

    The ranges of the parameter file are 90 % intervals at the professional level (the whole range where a draw is
    uniform); at other levels, and for a value that the scenario gives, they keep their ratio to the value.

    Parameters
    ----------
    hitter : Hitter
        Whose values are the middle.
    draws : int
        Number of further sets.
    generator : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    Traits
        draws + 1 columns; the first is the hitter's own.
    """
    table = parameter_table()
    scores = dict(zip(TRAITS, generator.standard_normal((len(TRAITS), draws)), strict=True))
    columns = {}
    for name in TRAITS:
        entry = table[name]
        own = getattr(hitter.traits, name)
        like = entry["draw"].removeprefix("as ") if entry["draw"].startswith("as ") else name  # drawn together with
        drawn = own * _relative_draw(table[like], scores[like])
        limit = 1.0 if name in {"evidence_efficiency", "lapse"} else np.inf
        columns[name] = np.concatenate([own, np.minimum(drawn, limit)])
    return Traits(**columns)


def _relative_draw(entry: Mapping[str, Any], score: Array) -> Array:
    """Draws as factors on the value, from standard normal scores."""
    value: float = entry["professional"]
    low, high = map(float, entry["range"])
    match entry["draw"]:
        case "fixed":
            return np.ones_like(score)
        case "normal":
            normal: Array = np.maximum(1.0 + score * (high - low) / (2.0 * _NORMAL_90 * value), 0.3)
            return normal
        case "lognormal":
            lognormal: Array = np.exp(score * log(high / low) / (2.0 * _NORMAL_90))
            return lognormal
    share = _normal_share(score)
    if entry["draw"] == "uniform":
        uniform: Array = (low + (high - low) * share) / value
        return uniform
    loguniform: Array = low * (high / low) ** share / value
    return loguniform


def _normal_share(score: Array) -> Array:
    """Distribution function of the standard normal by its logistic approximation: only ranks matter here."""
    share: Array = 1.0 / (1.0 + np.exp(-1.702 * score))
    return share
