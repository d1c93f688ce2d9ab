"""How well chances predict what happened, and simple predictions to hold them against."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import INCH
from latebreak.perception.calibration.record import TYPES, Record
from latebreak.perception.decision import Zone

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

_LEAST = 1e-6
#: Pitches' worth of the whole in the rate of a cell (chosen).
_SHRINKAGE = 5.0
#: Weight of the ridge on the coefficients of the regression (chosen by cross-validation over fitted days).
_RIDGE = 1.0
_ZONE = Zone(0.4572, 1.0668)  # m: 1.5 to 3.5 ft


def log_losses(chance: Array, happened: Flags) -> Array:
    """Minus the log likelihood of each event."""
    p = np.clip(chance, _LEAST, 1.0 - _LEAST)
    losses: Array = -np.where(happened, np.log(p), np.log1p(-p))
    return losses


def area_under_curve(chance: Array, happened: Flags) -> float:
    """Chance that an event that happened was given more chance than one that did not; ties count half."""
    from scipy.stats import rankdata  # noqa: PLC0415 - slow to import, serves calibration and tests only

    ranks, yes = rankdata(chance), int(happened.sum())
    return float((ranks[happened].sum() - yes * (yes + 1) / 2.0) / (yes * (happened.size - yes)))


def scored(record: Record, chances: Array, days: Flags) -> dict[str, tuple[float, float]]:
    """Mean log loss and area under the curve, of swings and of misses given a swing.

    Parameters
    ----------
    record : Record
        What happened.
    chances : float64 array, shape (2, N)
        Of a swing, and of a swing that meets the ball.
    days : bool array, shape (N,)
        Pitches that count.
    """
    swung = days & record.swung
    miss = 1.0 - chances[1] / np.maximum(chances[0], _LEAST)
    return {
        name: (float(log_losses(p[rows], what[rows]).mean()), area_under_curve(p[rows], what[rows]))
        for name, p, what, rows in (
            ("swing", chances[0], record.swung, days),
            ("miss", miss, record.missed, swung),
        )
    }


def constant(record: Record) -> Array:
    """Predict the rates of the fitted days for every pitch; chances as in `scored`."""
    return _by_cells(record, np.zeros(record.kind.size, np.int64))


def by_type(record: Record) -> Array:
    """Predict the rates of the type."""
    return _by_cells(record, record.kind)


def by_type_zone_side_strikes(record: Record) -> Array:
    """Predict the rates of type, in or out of the zone, side, and strikes."""
    zone = _ZONE.holds(*record.place)
    return _by_cells(record, ((record.kind * 2 + zone) * 2 + record.same_side) * 3 + record.strikes)


def flexible_regression(record: Record) -> Array:
    """Predict by a logistic regression that knows no theory: about sixty terms in type, place, side and count."""
    swing = _regressed(_terms(record), record.swung, record.fitted)
    miss = _regressed(_terms(record), record.missed, record.fitted & record.swung)
    return np.stack([swing, swing * (1.0 - miss)])


PREDICTIONS: dict[str, Callable[[Record], Array]] = {
    "constant": constant,
    "by type": by_type,
    "type x zone x side x strikes": by_type_zone_side_strikes,
    "flexible regression": flexible_regression,
}


def _by_cells(record: Record, cell: NDArray[np.int64]) -> Array:
    swing = _rates(cell, record.swung, record.fitted)
    miss = _rates(cell, record.missed, record.fitted & record.swung)
    return np.stack([swing, swing * (1.0 - miss)])


def _rates(cell: NDArray[np.int64], happened: Flags, rows: Flags) -> Array:
    overall = happened[rows].mean()
    size = int(cell.max()) + 1
    count = np.bincount(cell[rows], minlength=size)
    events = np.bincount(cell[rows & happened], minlength=size)
    rates: Array = ((events + _SHRINKAGE * overall) / (count + _SHRINKAGE))[cell]
    return rates


def _terms(record: Record) -> Array:
    side, height = record.place / (10.0 * INCH)
    height = height - 3.0
    toward = np.where(record.same_side, side, -side)  # positive = towards the hitter
    place = [toward, height, toward**2, height**2, toward * height, toward**3, height**3, toward**4, height**4,
             toward**2 * height, toward * height**2]  # fmt: skip
    place = [np.clip(term, -8.0, 8.0) for term in place]
    kinds = [(record.kind == k).astype(float) for k in range(len(TYPES))]
    same = record.same_side.astype(float)
    strikes = [(record.strikes == s).astype(float) for s in range(3)]
    balls = [(record.balls == b).astype(float) for b in range(4)]
    first = ((record.balls == 0) & (record.strikes == 0)).astype(float)
    terms = [np.ones_like(side), *place, *kinds, same, *strikes, *balls, first]
    terms += [kind * term for kind in kinds[1:3] for term in place]
    terms += [same * term for term in place[:5]] + [same * kind for kind in kinds[:3]]
    terms += [strikes[2] * term for term in place[:5]] + [strikes[2] * kind for kind in kinds[:3]]
    return np.stack(terms, axis=1)


def _regressed(terms: Array, happened: Flags, rows: Flags) -> Array:
    from scipy.optimize import minimize  # noqa: PLC0415 - slow to import, serves calibration and tests only
    from scipy.special import expit  # noqa: PLC0415

    x, y = terms[rows], happened[rows].astype(float)

    def loss(weights: Array) -> tuple[float, Array]:
        p = expit(x @ weights)
        value = log_losses(p, happened[rows]).sum() + 0.5 * _RIDGE * (weights[1:] ** 2).sum()
        slope = x.T @ (p - y)
        slope[1:] += _RIDGE * weights[1:]
        return float(value), slope

    found = minimize(loss, np.zeros(terms.shape[1]), jac=True, method="L-BFGS-B", options={"maxiter": 2000})
    chances: Array = expit(terms @ found.x)
    return chances
