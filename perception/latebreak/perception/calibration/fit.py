"""The fit: the hitter's parameters from real swings and the league's rates and sizes together, with priors.

In a shape of its own each fitted parameter is x = x_0 + sd u, with x_0 and sd of its prior; the fit minimises

    Q(u) = - ln L(swings of the fitted days) - ln L(misses of those swings) + penalty of the league + |u|^2/2

The league's penalty is half the sum of squares of (model - published)/sd over the rows that `published` gives an SD.
How sure the fit is follows from what would have changed it: days drawn anew with replacement (Bayesian bootstrap:
exponential weights of the days), the league's numbers and the priors moved by their SDs, each carried through one
Newton step,

    u_r = u - H^-1 sum of g_k (w_k - 1),      H: curvature of Q, g_k: slope of one day, one row, one prior.

The one left-hander of the record is faced on his own side with a noise of its own, `record_same_side`: what one pitcher
can't tell about all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.calibration import league
from latebreak.perception.calibration.published import PUBLISHED
from latebreak.perception.calibration.record import Record, record
from latebreak.perception.calibration.scores import log_losses
from latebreak.perception.model import HitterModel, one_glance
from latebreak.perception.parameters import Parameters, keys, parameter_table, preset, unit_of

Array = NDArray[np.float64]

#: The record's own factor on the noise of same-side hitters, ln, and its SD (chosen).
_RECORD_SAME_SIDE = (log(1.8), 0.4)
RECORD_SAME_SIDE = "record_same_side"
_FAMILIARITY = 0.5
_DRAWS = 32  # of the hitter's noise at each pitch of the record
_STEP = 0.02  # of u, in the differences (curvatures need a wide one)
_LEAST = 1e-6


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


@cache
def noise_of_record() -> Array:
    """Draws of the hitter's noise, (9, draws), the same at every pitch: scrambled Sobol points."""
    from scipy.stats import norm, qmc  # noqa: PLC0415 - slow to import, serves calibration and tests only

    from latebreak.perception.seeing import NOISE  # noqa: PLC0415 - beside the only use

    points = qmc.Sobol(len(NOISE), rng=1).random(_DRAWS)
    return np.ascontiguousarray(norm.ppf(points).T)


def of_record(u: Array, model: HitterModel = one_glance, which: NDArray[np.bool_] | None = None) -> Array:
    """Chances (2, N) of a swing, and of a swing with contact, of the record's pitches at coordinates."""
    parameters, same_side = parameters_at(u)
    return record().answers(model, parameters.with_(same_side_noise=same_side), noise_of_record(), which)


def losses(r: Record, chances: Array) -> Array:
    """Minus log likelihood of each pitch: swing or take, and miss or contact where he swung; (2, N)."""
    swing = log_losses(chances[0], r.swung)
    miss = 1.0 - chances[1] / np.maximum(chances[0], _LEAST)
    return np.stack([swing, np.where(r.swung, log_losses(miss, r.missed), 0.0)])


def rows_off(u: Array, model: HitterModel = one_glance) -> Array:
    """How many SDs the model is off each fitted row of the league."""
    figures = league.figures(parameters_at(u)[0], model)
    return np.array([row.off(figures[name]) for name, row in PUBLISHED.items() if row.sd is not None])


@dataclass(frozen=True, eq=False)
class Fit:
    """What the fit found.

    Attributes
    ----------
    u : float64 array, shape (P,)
        Coordinates.
    shifts : float64 array, shape (P, P)
        Factor F of their covariance: u + F z is as likely a hitter.
    pulls : dict of str to float
        Q at the optimum, part by part.
    """

    u: Array
    shifts: Array
    pulls: Mapping[str, float]

    @property
    def sd(self) -> Array:
        """SDs of the coordinates."""
        sd: Array = np.sqrt((self.shifts**2).sum(axis=1))
        return sd


def _parts(u: Array, model: HitterModel) -> Array:
    """Residual-like parts whose sum is Q: days (swing and miss together), then halves of squares of rows and priors."""
    r = record()
    each = losses(r, of_record(u, model, r.fitted)).sum(axis=0)
    by_day = np.bincount(r.day[r.fitted], each[r.fitted], minlength=int(r.day.max()) + 1)[::2]
    return np.concatenate([by_day, 0.5 * rows_off(u, model) ** 2, 0.5 * u**2])


def fit(
    model: HitterModel = one_glance, at: Array | None = None, steps: int = 12, told: Callable[[str], None] = lambda _: None
) -> Fit:
    """Fit the hitter.

    Gauss-Newton with the pitches' outer products as the curvature of the likelihood, halving a step that does not help.

    Parameters
    ----------
    model : HitterModel
        Whose parameters.
    at : float64 array, shape (P,), optional
        Where to start; default: the parameters that the package carries.
    steps : int
        At most.
    told : callable
        Told a line of progress.
    """
    u = start() if at is None else at.copy()
    value = float(_parts(u, model).sum())
    for step in range(steps):
        slope, curvature = _slopes(u, model)[:2]
        move = -np.linalg.solve(curvature, slope)
        for share in (1.0, 0.5, 0.25, 0.1, 0.03):
            new = u + share * move
            found = float(_parts(new, model).sum())
            if found < value:
                break
        else:
            break
        told(f"step {step + 1}: Q = {found:.2f}")
        gained, u, value = value - found, new, found
        if gained < 0.05:
            break
    _, curvature, by_part = _slopes(u, model)
    inverse = np.linalg.inv(curvature)
    covariance = inverse @ (by_part.T @ by_part) @ inverse
    return Fit(u, np.linalg.cholesky(covariance), _pulls(u, model))


def _slopes(u: Array, model: HitterModel) -> tuple[Array, Array, Array]:
    """Slope of Q (P,), its curvature (P, P), and the slopes of days, rows and priors (parts, P)."""
    r = record()
    rows, size = int(r.fitted.sum()), u.size
    chances, league_rows = np.empty((2, size, 2, rows)), np.empty((2, size, rows_off(u, model).size))
    for k in range(size):
        for side, sign in enumerate((1.0, -1.0)):
            moved = u.copy()
            moved[k] += sign * _STEP
            chances[side, k] = losses(r, of_record(moved, model, r.fitted))[:, r.fitted]
            league_rows[side, k] = rows_off(moved, model)
    by_pitch = (chances[0] - chances[1]) / (2.0 * _STEP)  # (P, 2, rows)
    of_rows = (league_rows[0] - league_rows[1]) / (2.0 * _STEP)  # (P, league rows)
    off = rows_off(u, model)
    days = np.unique(r.day[r.fitted])
    by_day = np.stack([by_pitch[:, :, r.day[r.fitted] == day].sum(axis=(1, 2)) for day in days])
    slope = by_day.sum(axis=0) + of_rows @ off + u
    each = by_pitch.reshape(size, -1)
    curvature = each @ each.T + of_rows @ of_rows.T + np.eye(size)
    # a day counts by its slope; a row or a prior by what one SD of it would change
    centred = by_day - by_day.mean(axis=0)
    return slope, curvature, np.concatenate([centred, of_rows.T, np.eye(size)])


def _pulls(u: Array, model: HitterModel) -> dict[str, float]:
    r = record()
    swing, miss = losses(r, of_record(u, model, r.fitted))[:, r.fitted].sum(axis=1)
    return {
        "swings of the fitted days": float(swing),
        "misses of the fitted days": float(miss),
        "rates and sizes of the league": float(0.5 * (rows_off(u, model) ** 2).sum()),
        "priors": float(0.5 * (u**2).sum()),
    }
