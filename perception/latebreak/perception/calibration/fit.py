"""The fit: the hitter's parameters from real swings and the league's rates and sizes together, with priors.

In a shape of its own each fitted parameter is x = x_0 + sd u, with x_0 and sd of its prior; the fit minimises

    Q(u) = - ln L(swings of the fitted days) - ln L(misses of those swings) + penalty of the league + |u|^2/2

The league's penalty is half the sum of squares of (model - published)/sd over the rows that `published` gives an SD.
How it is found, and how sure it is, stands in `latebreak.perception.swings.newton`.

The one left-hander of the record is faced on his own side with a noise of its own, `record_same_side`: what one pitcher
can't tell about all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.calibration import league
from latebreak.perception.calibration.published import PUBLISHED, Published
from latebreak.perception.calibration.record import record
from latebreak.perception.model import HitterModel, one_glance
from latebreak.perception.parameters import Parameters, keys, parameter_table, preset, unit_of
from latebreak.perception.swings.newton import Fit, differences, minimum
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.scores import LEAST, losses_of

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: The record's own factor on the noise of same-side hitters, ln, and its SD (chosen).
_RECORD_SAME_SIDE = (log(1.8), 0.4)
RECORD_SAME_SIDE = "record_same_side"
_FAMILIARITY = 0.5  # chosen


@dataclass(frozen=True)
class Coordinate:
    """One fitted parameter: key, name in `Parameters`, shape, middle and SD of its prior in x, unit in SI."""

    key: str
    name: str
    shape: str
    middle: float
    sd: float
    unit: float

    def value(self, u: float) -> float:
        """Value in the unit of the key."""
        x = self.middle + self.sd * u
        return exp(x) if self.shape == "log" else 1.0 / (1.0 + exp(-x)) if self.shape == "logit" else x

    def u(self, value: float) -> float:
        """Coordinate of a value."""
        x = log(value) if self.shape == "log" else log(value / (1.0 - value)) if self.shape == "logit" else value
        return (x - self.middle) / self.sd


@cache
def coordinates() -> tuple[Coordinate, ...]:
    """Every fitted parameter, in the order of the file, and the record's own last."""
    table = parameter_table()["parameter"]
    found = []
    for name, key in keys().items():
        entry = table[key]
        if entry["status"] == "fitted":
            shape, prior = entry["shape"], entry["prior"]
            middle = log(prior) if shape == "log" else log(prior / (1.0 - prior)) if shape == "logit" else prior
            found.append(Coordinate(key, name, shape, middle, entry["sd"], unit_of(key)))
    middle, sd = _RECORD_SAME_SIDE
    return (*found, Coordinate(RECORD_SAME_SIDE, RECORD_SAME_SIDE, "log", middle, sd, 1.0))


def start() -> Array:
    """Coordinates of the parameters that the package carries."""
    table = parameter_table()
    values = [
        table["joint"][RECORD_SAME_SIDE] if one.key == RECORD_SAME_SIDE else table["parameter"][one.key]["value"]
        for one in coordinates()
    ]
    return np.array([one.u(value) for one, value in zip(coordinates(), values, strict=True)])


def parameters_at(u: Array) -> tuple[Parameters, float]:
    """Professional's parameters at coordinates, one column, and the record's factor of same-side noise."""
    values = {one.name: one.value(x) * one.unit for one, x in zip(coordinates(), u, strict=True)}
    same_side = values.pop(RECORD_SAME_SIDE)
    return preset("professional", _FAMILIARITY, **values), same_side


@dataclass(frozen=True, eq=False)
class Evidence:
    """What a hitter is fitted to.

    Attributes
    ----------
    record : Record
        Real swings; those of its fitted days count.
    league : mapping of str to Published
        Rates and sizes, by the names of `league.figures`; those with an SD count.
    model : HitterModel
        Whose parameters are fitted.
    """

    record: Record
    league: Mapping[str, Published]
    model: HitterModel = one_glance

    def chances(self, u: Array, which: Flags | None = None) -> Array:
        """Chances (2, N) of a swing, and of a swing with contact, of the record's pitches at coordinates."""
        parameters, same_side = parameters_at(u)
        return self.record.answers(self.model, parameters.with_(same_side_noise=same_side), which)

    def losses(self, u: Array) -> Array:
        """Minus log likelihood of each fitted pitch: swing or take, and miss or contact where he swung; (2, n)."""
        fitted = self.record.fitted
        return losses_of(self.record, self.chances(u, fitted), fitted)

    def off(self, u: Array) -> Array:
        """How many SDs the model is off each row of the league that counts."""
        figures = league.figures(parameters_at(u)[0], self.model)
        return np.array([row.off(figures[name]) for name, row in self.league.items() if row.sd is not None])

    def pulls(self, u: Array) -> dict[str, float]:
        """Q, part by part."""
        swing, miss = self.losses(u).sum(axis=1)
        return {
            "swings of the fitted days": float(swing),
            "misses of the fitted days": float(miss),
            "rates and sizes of the league": float(0.5 * (self.off(u) ** 2).sum()),
            "priors": float(0.5 * (u**2).sum()),
        }

    def q(self, u: Array) -> float:
        """Q of the module's text."""
        return sum(self.pulls(u).values())

    def slopes(self, u: Array) -> tuple[Array, Array, Array]:
        """Slope of Q (P,), its curvature (P, P), and the slopes of days, rows and priors (parts, P).

        The outer products of single pitches stand for the curvature of the likelihood.
        """
        by_pitch, of_rows = differences(self.losses, u), differences(self.off, u)  # (P, 2, n), (P, rows)
        day = self.record.day[self.record.fitted]
        by_day = np.stack([by_pitch[:, :, day == one].sum(axis=(1, 2)) for one in np.unique(day)])
        slope = by_day.sum(axis=0) + of_rows @ self.off(u) + u
        each = by_pitch.reshape(u.size, -1)
        curvature = each @ each.T + of_rows @ of_rows.T + np.eye(u.size)
        # a day counts by its slope; a row or a prior by what one SD of it would change
        return slope, curvature, np.concatenate([by_day - by_day.mean(axis=0), of_rows.T, np.eye(u.size)])


def evidence() -> Evidence:
    """Real swings of the fitted days and the league's published rows."""
    return Evidence(record(), PUBLISHED)


def fit(
    known: Evidence, at: Array | None = None, steps: int = 12, told: Callable[[str], None] = lambda line: None
) -> Fit:
    """Fit the hitter; from the parameters that the package carries, unless `at` says where to start."""
    return minimum(known, start() if at is None else at, steps, told)


def simulated(known: Evidence, u: Array, generator: np.random.Generator) -> Evidence:
    """Return what would be known of a hitter with these coordinates: his swings at the same pitches, his league."""
    chances = known.chances(u)
    swung = generator.random(chances.shape[1]) < chances[0]
    missed = swung & (generator.random(chances.shape[1]) > chances[1] / np.maximum(chances[0], LEAST))
    figures = league.figures(parameters_at(u)[0], known.model)
    rows = {name: replace(row, value=figures[name]) for name, row in known.league.items() if row.sd is not None}
    return Evidence(replace(known.record, swung=swung, missed=missed), rows, known.model)
