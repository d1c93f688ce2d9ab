"""The inverse problem of flight: from measured throws to the pitch that was thrown.

A pitch moves by two numbers, and three things make it move: how much of its spin lies across the flight, how much force
that spin makes (the lift scale), and a seam-made force. What can be told depends on what was measured:

- Across the break clock only a seam-made force pushes: told where clock and movement are measured. (Gyro spin pushes a
  little there as the flight bends down; it is flown, with the sense assumed where it wasn't measured.)
- Along it, movement tells the lift scale where efficiency is measured; else the efficiency, with the lift scale
  assumed.
- Movement without a measured clock tells the clock, and nothing about a seam-made force.

`start` closes gaps, `residuals` flies, `equations` solves, `standard_errors` says how well, `single_throws` goes throw
by throw, `summary` words it; here the pieces are put together.
"""

from __future__ import annotations

from dataclasses import replace
from math import isnan, pi

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.flight.flying import PLATE_FRONT, fitted_flight, rough_flight, with_fewest_steps, without_spin
from latebreak.engine.flight.kernel import SPIN_X, SPIN_Z
from latebreak.engine.inverse.equations import Equations, equations
from latebreak.engine.inverse.fitted import Fitted, FittedPitch, Prior
from latebreak.engine.inverse.observed import Observed
from latebreak.engine.inverse.residuals import ACROSS, CLOCK, DRAG, LIFT, SPIN, TURN, FlownThrows
from latebreak.engine.inverse.sample import Z95
from latebreak.engine.inverse.single_throws import single_levers
from latebreak.engine.inverse.standard_errors import standard_errors
from latebreak.engine.inverse.start import first_guess, flown_throws, measured_means, reference_drag
from latebreak.engine.inverse.summary import (
    fitted_efficiency,
    fitted_levers,
    fitted_row,
    fitted_spread,
    fitted_theta,
    undecidable,
)
from latebreak.engine.pitch.aim import AZIMUTH, BREAK_CLOCK, ELEVATION, GYRO, SPIN_RATE

Array = NDArray[np.float64]

_ROUGH_STEPS = 4  # chosen: 0.05 in at the plate will do for the first of two passes


def fit_pitch(observed: Observed, conditions: Conditions, prior: Prior) -> FittedPitch:
    """Fit one pitch to its measured throws.

    Parameters
    ----------
    observed : Observed
        The throws, one at least.
    conditions : Conditions
        Air, field, ball and force laws.
    prior : Prior
        What is taken to hold where the throws are few or silent.

    Returns
    -------
    FittedPitch
        Values with errors, and what stays open.

    Raises
    ------
    ValueError
        No throw at all; or speed, side, height or extension (or without movement: spin rate, break clock or gyro angle)
        is neither measured nor in the prior.
    """
    if observed.count == 0:
        raise ValueError("a fit needs one throw at least")
    solution, theta, errors, holds = _solved(observed, conditions, prior)
    values, origins = single_levers(solution, theta)
    spread, spread_error, correlation, spread_origin = fitted_spread(values, origins, prior)
    across = fitted_theta(solution, theta, errors, ACROSS)
    seam_clock = (theta[CLOCK] + (0.5 if across.value >= 0.0 else -0.5) * pi) % (2.0 * pi)
    return FittedPitch(
        count=observed.count,
        levers=fitted_levers(solution, theta, errors, values, origins, prior),
        efficiency=fitted_efficiency(solution, theta, errors, prior),
        gyro_sense_measured=solution.throws.signed,
        aim=_aim(observed, prior, conditions),
        spread=spread,
        spread_error=spread_error,
        correlation=correlation,
        spread_origin=spread_origin,
        drag_coefficient=fitted_theta(solution, theta, errors, DRAG, reference_drag(conditions.drag_law)),
        lift_scale=fitted_theta(solution, theta, errors, LIFT),
        seam_force=replace(across, value=abs(across.value)),
        seam_clock=float(seam_clock) if ACROSS in solution.flown else None,
        undecidable=undecidable(solution, origins, holds),
    )


def _aim(observed: Observed, prior: Prior, conditions: Conditions) -> tuple[Fitted, Fitted] | None:
    """Mean arrival; its usual spread is that of the launch angles over the distance to the plate."""
    if np.isnan(observed.arrival).all(axis=1).any():
        return None
    distance = conditions.rubber_to_plate - PLATE_FRONT
    side, height = (
        fitted_row(values, float(prior.spread[row]) * distance, prior.spread_weight, "measured")
        for values, row in zip(observed.arrival, (AZIMUTH, ELEVATION), strict=True)
    )
    return side, height


def _solved(observed: Observed, conditions: Conditions, prior: Prior) -> tuple[Equations, Array, Array, bool]:
    """Equations, their solution theta, shape (6,), its errors, and whether it solves them."""
    rough = replace(rough_flight(conditions), steps=_ROUGH_STEPS)
    throws = flown_throws(observed, prior, rough, conditions.rubber_to_plate)
    means = measured_means(throws, prior)
    _check_told(throws, means, prior)
    theta = first_guess(throws, means, prior, conditions)
    spin_known = SPIN in means or not isnan(prior.levers[SPIN_RATE])
    # First with laws fitted for any pitch, to see what S and V these throws visit, then for good; launch angles from
    # arrivals and theta in turn.
    for last in (False, True):
        if last:
            pilots = _pilots(throws, theta)
            throws = replace(throws, flight=with_fewest_steps(fitted_flight(conditions, rough, pilots), pilots))
        throws = throws.with_launch_from_arrival(theta)
        solution = equations(throws, means, theta, spin_known=spin_known)
        theta, holds = solution.solved(theta)
    errors = standard_errors(solution, theta, prior, conditions)
    if TURN in solution.flown and theta[TURN] - 1.0 > Z95 * errors[TURN]:
        # More movement than a clean axis makes, beyond chance: then the lift scale must be higher.
        theta[TURN] = 1.0
        solution = replace(solution, flown={LIFT if k == TURN else k: row for k, row in solution.flown.items()})
        theta, holds = solution.solved(theta)
        errors = np.where(np.arange(6) == TURN, errors, standard_errors(solution, theta, prior, conditions))
    return solution, theta, errors, holds


def _pilots(throws: FlownThrows, theta: Array) -> Array:
    """Releases, shape (15, 2 n), that span the spin parameters tried while solving: 0 to half as much again."""
    most = throws.pitches(theta).releases()
    most[SPIN_X : SPIN_Z + 1] *= 1.5
    return np.hstack([without_spin(most), most])


def _check_told(throws: FlownThrows, means: dict[int, Array], prior: Prior) -> None:
    """Without movement, nothing about the spin may be open."""
    if throws.tells_movement():
        return
    for k, row, name in (
        (SPIN, SPIN_RATE, "spin rate"),
        (CLOCK, BREAK_CLOCK, "break clock"),
        (TURN, GYRO, "gyro angle"),
    ):
        if k not in means and isnan(prior.levers[row]):
            raise ValueError(f"the {name} is neither measured, nor in the prior, nor told by movement")
