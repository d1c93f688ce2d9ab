"""From a solution to fitted values: means, gyro angle and efficiency, spreads, and what stays open."""

from __future__ import annotations

from math import acos, cos, pi

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.inverse.equations import Equations
from latebreak.engine.inverse.fitted import Fitted, Origin, Prior
from latebreak.engine.inverse.residuals import ACROSS, CLOCK, DRAG, LIFT, SPIN, TURN
from latebreak.engine.inverse.sample import (
    Z95,
    circular_mean,
    mean_error,
    pooled_sd,
    sample_sd,
    shrunk_correlation,
    spread_error,
    wrapped,
)
from latebreak.engine.pitch.aim import BREAK_CLOCK, ELEVATION, GYRO, SPIN_RATE

Array = NDArray[np.float64]


def fitted_row(values: Array, prior_sd: float, weight: float, origin: Origin) -> Fitted:
    """Mean of the known values (n,), with its error."""
    known = values[~np.isnan(values)]
    mean = float(known.mean())
    return Fitted(mean, mean_error(sample_sd(known - mean), known.size, prior_sd, weight), origin)


def fitted_theta(solution: Equations, theta: Array, errors: Array, row: int, unit: float = 1.0) -> Fitted:
    """Return a row of theta, times a unit, with its error and origin."""
    told = row in solution.flown or (row == TURN and solution.turn_by_movement)
    origin: Origin = "measured" if row in solution.means else "inferred" if told else "assumed"
    return Fitted(float(theta[row]) * unit, float(errors[row]) * unit, origin)


def fitted_levers(
    solution: Equations, theta: Array, errors: Array, values: Array, origins: list[Origin], prior: Prior
) -> tuple[Fitted, ...]:
    """Return the mean levers, 9 of them, given the values (9, n) and origins of `single_levers`."""
    result = []
    for row, origin in enumerate(origins):
        k = {SPIN_RATE: SPIN, BREAK_CLOCK: CLOCK, GYRO: TURN}.get(row)
        if k == TURN:
            result.append(_gyro_and_efficiency(solution, theta, errors, prior)[0])
        elif k is not None:
            value = fitted_theta(solution, theta, errors, k)
            result.append(Fitted(value.value % (2.0 * pi), value.error, value.origin) if k == CLOCK else value)
        elif origin == "assumed":
            result.append(Fitted(float(solution.throws.levers[row].mean()), 0.0, origin))
        else:
            result.append(fitted_row(values[row], float(prior.spread[row]), prior.spread_weight, origin))
    return tuple(result)


def fitted_efficiency(solution: Equations, theta: Array, errors: Array, prior: Prior) -> Fitted:
    """Return |cos| of the mean gyro angle."""
    return _gyro_and_efficiency(solution, theta, errors, prior)[1]


def _gyro_and_efficiency(solution: Equations, theta: Array, errors: Array, prior: Prior) -> tuple[Fitted, Fitted]:
    """Both from the one that was solved for; the other's interval is the image of its interval.

    Where that is lopsided the longer side counts: an efficiency near 1 leaves the gyro angle a wide interval.
    """
    turn, throws = fitted_theta(solution, theta, errors, TURN), solution.throws
    reach = Z95 * turn.error
    if turn.origin == "assumed":
        gyro = float(prior.levers[GYRO]) if not np.isnan(prior.levers[GYRO]) else 0.0
        return Fitted(gyro, 0.0, turn.origin), Fitted(abs(cos(gyro)), 0.0, turn.origin)
    if throws.signed:
        size = abs(turn.value)
        efficiency = abs(cos(size))
        side = max(cos(max(size - reach, 0.0)) - efficiency, efficiency - cos(size + reach))
        return turn, Fitted(efficiency, side / Z95, turn.origin)
    efficiency = min(turn.value, 1.0)
    size = acos(efficiency)
    side = max(acos(max(efficiency - reach, -1.0)) - size, size - acos(min(efficiency + reach, 1.0)))
    return (
        Fitted(throws.sense * size, side / Z95, turn.origin),
        Fitted(efficiency, turn.error, turn.origin),
    )


def fitted_spread(values: Array, origins: list[Origin], prior: Prior) -> tuple[Array, Array, Array, tuple[Origin, ...]]:
    """Return standard deviations and their errors (9,), correlation (9, 9) and origins, from values (9, n)."""
    counts = (~np.isnan(values)).sum(axis=1)
    deviations = np.full_like(values, np.nan)
    spread, error = prior.spread.copy(), np.zeros(len(values))
    for row in np.flatnonzero(counts > 1):
        if row == BREAK_CLOCK:
            deviations[row] = wrapped(values[row] - circular_mean(values[row]))
            deviations[row] -= np.nanmean(deviations[row])
        else:
            deviations[row] = values[row] - np.nanmean(values[row])
        count = float(counts[row])
        spread[row] = pooled_sd(sample_sd(deviations[row]), count, float(prior.spread[row]), prior.spread_weight)
        error[row] = spread_error(float(spread[row]), count, prior.spread_weight)
    told = tuple(origin if count > 1 else "assumed" for origin, count in zip(origins, counts, strict=True))
    return spread, error, shrunk_correlation(deviations), told


def undecidable(solution: Equations, origins: list[Origin], holds: bool) -> tuple[str, ...]:
    """Return what the throws can't tell, in the words of `FittedPitch`."""
    means, flown = solution.means, solution.flown
    open_questions = {
        "agreement": not holds,
        "gyro_sense": not solution.throws.signed,
        "efficiency": TURN not in means and not solution.turn_by_movement,
        "efficiency_or_lift_scale": solution.turn_by_movement,
        "spin_rate": SPIN not in means and SPIN not in flown,
        "spin_rate_or_lift_scale": SPIN in flown,
        "break_clock": CLOCK not in means and CLOCK not in flown,
        "lift_scale": LIFT not in flown and not solution.turn_by_movement and SPIN not in flown,
        "seam_force": ACROSS not in flown,
        "seam_force_along_break_clock": ACROSS in flown,
        "drag_coefficient": DRAG not in flown,
        "launch": origins[ELEVATION] == "assumed",
    }
    return tuple(name for name, is_open in open_questions.items() if is_open)
