"""A prediction that knows no theory, to hold the hitter against beside the simple ones."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import INCH
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.scores import PREDICTIONS as SIMPLE
from latebreak.perception.swings.scores import log_losses

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: Weight of the ridge on the coefficients of the regression (chosen by cross-validation over fitted days).
_RIDGE = 1.0


def flexible_regression(record: Record) -> Array:
    """Predict by a logistic regression that knows no theory: about sixty terms in type, place, side and count."""
    swing = _regressed(_terms(record), record.swung, record.fitted)
    miss = _regressed(_terms(record), record.missed, record.fitted & record.swung)
    return np.stack([swing, swing * (1.0 - miss)])


PREDICTIONS = SIMPLE | {"flexible regression": flexible_regression}


def _terms(record: Record) -> Array:
    side, height = record.place / (10.0 * INCH)
    height = height - 3.0
    toward = np.where(record.same_side, side, -side)  # positive = towards the hitter
    place = [toward, height, toward**2, height**2, toward * height, toward**3, height**3, toward**4, height**4,
             toward**2 * height, toward * height**2]  # fmt: skip
    place = [np.clip(term, -8.0, 8.0) for term in place]
    kinds = [(record.kind == k).astype(float) for k in range(len(record.names))]
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
