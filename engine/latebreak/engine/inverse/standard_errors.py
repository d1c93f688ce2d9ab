"""Standard errors of theta: the jackknife, steadied by the scatter that single throws usually have."""

from __future__ import annotations

from math import isnan, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.inverse.equations import Equations
from latebreak.engine.inverse.fitted import Prior
from latebreak.engine.inverse.residuals import LIFT, SPIN, TURN
from latebreak.engine.inverse.sample import mean_error
from latebreak.engine.inverse.start import EFFICIENCY_SCATTER, efficiency_scatter, reference_drag
from latebreak.engine.pitch.aim import BREAK_CLOCK, GYRO, SPIN_RATE

Array = NDArray[np.float64]

# What a single throw usually tells, as a standard deviation; chosen as what follows from a device's scatter of some 0.6
# in of movement, 4 degrees of clock, 3 points of efficiency, and 0.5 mph at both ends.
_LIFT_SCATTER = 0.06  # share of the lift scale
_SPIN_SCATTER = 0.09  # share of a spin rate inferred from movement
_INFERRED_SCATTER = 0.06  # efficiency inferred from movement, besides the scatter of the gyro angle
_SEAM_SCATTER = 0.015  # coefficient of a seam-made force
_DRAG_SCATTER = 0.03  # C_D


def standard_errors(solution: Equations, theta: Array, prior: Prior, conditions: Conditions) -> Array:
    """Normal-equivalent standard errors of theta.

    Parameters
    ----------
    solution : Equations
        What was solved.
    theta : float64 array, shape (6,)
        The solution.
    prior : Prior
        Usual spreads and their weight.
    conditions : Conditions
        Names the drag law.

    Returns
    -------
    float64 array, shape (6,)
        0 where not solved for.
    """
    usual = np.array([
        prior.spread[SPIN_RATE] if SPIN in solution.means else _SPIN_SCATTER * theta[SPIN],
        prior.spread[BREAK_CLOCK],
        _turn_scatter(solution, theta, prior),
        _LIFT_SCATTER * theta[LIFT],
        _SEAM_SCATTER,
        _DRAG_SCATTER / reference_drag(conditions.drag_law),
    ])  # fmt: skip
    jackknife, counts = solution.jackknife(theta), solution.counts(theta)
    errors = np.zeros(6)
    for k in solution.unknowns:
        count = max(float(counts[k]), 1.0)
        sd = usual[k] if isnan(jackknife[k]) else jackknife[k] * sqrt(count)
        errors[k] = mean_error(sd, count, usual[k], prior.spread_weight)
    if TURN in solution.unknowns and not solution.throws.signed:
        errors[TURN] = np.hypot(errors[TURN], _fold_error(theta, prior))
    return errors


def _fold_error(theta: Array, prior: Prior) -> float:
    """Error of cos(gyro) = E|cos| / cos(s) from a spread s known no better than 1 of sqrt(2 w): s ds, of itself."""
    spread = float(prior.spread[GYRO])
    return float(theta[TURN]) * spread**2 / sqrt(2.0 * max(prior.spread_weight, 1.0))


def _turn_scatter(solution: Equations, theta: Array, prior: Prior) -> float:
    spread = float(prior.spread[GYRO])
    if solution.throws.signed:
        return spread
    device = EFFICIENCY_SCATTER if TURN in solution.means else _INFERRED_SCATTER
    return efficiency_scatter(float(theta[TURN]), spread, device)
