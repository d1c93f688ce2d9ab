"""What a fit starts from: gaps closed for flying, and a first guess of theta."""

from __future__ import annotations

from dataclasses import replace
from math import acos, atan2, cos, isnan, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.flight.flying import Flight
from latebreak.engine.inverse.fitted import DRAG_REFERENCE, Prior
from latebreak.engine.inverse.observed import Observed
from latebreak.engine.inverse.residuals import CLOCK, SPIN, TURN, FlownThrows
from latebreak.engine.inverse.sample import circular_mean, pooled_sd, sample_sd, uncapped, wrapped
from latebreak.engine.laws.registry import force_law
from latebreak.engine.pitch.aim import (
    AZIMUTH,
    BREAK_CLOCK,
    ELEVATION,
    EXTENSION,
    GYRO,
    HEIGHT,
    SIDE,
    SPEED,
    SPIN_RATE,
)
from latebreak.engine.pitch.pitch import LEVERS

Array = NDArray[np.float64]

# First guess of cos(gyro) and of the spin rate (rad/s) where nothing is known; any would do.
_SOME_EFFICIENCY = 0.8
_SOME_SPIN = 230.0
#: Chosen: nearer to 0 than this many spreads, gyro angles fold, and efficiencies don't tell how they scatter.
FOLD = 3.0
#: Usual scatter of measured efficiencies, besides that of the gyro angle; chosen.
EFFICIENCY_SCATTER = 0.03


def reference_drag(law: str) -> float:
    """C_D of a drag law at `DRAG_REFERENCE`."""
    return float(force_law(law).function(*np.array(DRAG_REFERENCE)[:, None])[0])


def flown_throws(observed: Observed, prior: Prior, flight: Flight, rubber: float) -> FlownThrows:
    """Close the gaps: each lever where it wasn't measured by its mean, a lever without any by the prior's.

    Single gyro angles are flown as measured where their sense was measured too, or where they lie so far from 0 that
    their efficiencies can be read as angles.

    Raises
    ------
    ValueError
        Speed, side, height or extension is neither measured nor in the prior.
    """
    levers = observed.levers.copy()
    for row in (SPEED, SIDE, HEIGHT, EXTENSION, ELEVATION, AZIMUTH):
        known = ~np.isnan(levers[row])
        usual = levers[row, known].mean() if known.any() else prior.levers[row]
        if isnan(usual):
            if row < ELEVATION:
                raise ValueError(f"{LEVERS[row]} is neither measured nor in the prior")
            usual = 0.0  # until it is solved
        levers[row, ~known] = usual
    aimless = np.isnan(observed.levers[[ELEVATION, AZIMUTH]]).all() and np.isnan(prior.levers[ELEVATION:]).any()
    signed = _signed_gyro(observed)
    spread = float(prior.spread[GYRO])
    if signed is not None:
        spread = _pooled(signed - np.nanmean(signed), spread, prior.spread_weight)
        levers[GYRO] = signed
    elif _mean_gyro(observed, prior) > FOLD * spread:
        levers[GYRO] = prior.hand_sense * np.arccos(observed.efficiency.clip(0.0, 1.0))
    clock_spread = float(prior.spread[BREAK_CLOCK])
    if not np.isnan(levers[BREAK_CLOCK]).all():
        about = wrapped(levers[BREAK_CLOCK] - circular_mean(levers[BREAK_CLOCK]))
        clock_spread = _pooled(about, clock_spread, prior.spread_weight)
    return FlownThrows(
        observed, levers, flight, rubber, signed is not None, prior.hand_sense, spread, clock_spread, bool(aimless)
    )


def _pooled(deviations: Array, prior_sd: float, weight: float) -> float:
    return pooled_sd(sample_sd(deviations), int((~np.isnan(deviations)).sum()), prior_sd, weight)


def efficiency_scatter(efficiency: float, spread: float, device: float) -> float:
    """SD of efficiencies: of |cos(g)| for g scattered by `spread` (rad) about acos(efficiency), and of the device.

    The first to fourth order in the spread.
    """
    c = min(efficiency, 1.0)
    return sqrt((1.0 - c**2) * spread**2 + 0.5 * c**2 * spread**4 + device**2)


def seen_efficiency(observed: Observed, prior: Prior) -> Array:
    """Efficiencies (n,) without the device's cut at 1."""
    efficiency, spread = observed.efficiency, float(prior.spread[GYRO])
    if np.isnan(efficiency).all():
        return efficiency
    usual = efficiency_scatter(float(np.nanmean(efficiency)), spread, EFFICIENCY_SCATTER)
    return uncapped(efficiency, 1.0, usual, prior.spread_weight)


def _mean_gyro(observed: Observed, prior: Prior) -> float:
    """Size of the mean gyro angle (rad) whose efficiencies were measured: E|cos| = cos(gyro) cos(s); 0 without any."""
    known = ~np.isnan(observed.efficiency)
    mean = float(seen_efficiency(observed, prior)[known].mean()) if known.any() else 1.0
    return acos(min(mean / cos(prior.spread[GYRO]), 1.0))


def measured_means(throws: FlownThrows, prior: Prior) -> dict[int, Array]:
    """Measured values (n,) by row of theta, where any were measured: spin rate, break clock, turn.

    The turn is the signed gyro angle, or the efficiency over cos(s): what it would be without scatter.
    """
    observed = throws.observed
    signed = _signed_gyro(observed)
    turn = seen_efficiency(observed, prior) / cos(throws.turn_spread) if signed is None else signed
    rows = {SPIN: observed.levers[SPIN_RATE], CLOCK: observed.levers[BREAK_CLOCK], TURN: turn}
    return {k: values for k, values in rows.items() if not np.isnan(values).all()}


def first_guess(throws: FlownThrows, means: dict[int, Array], prior: Prior, conditions: Conditions) -> Array:
    """Theta, shape (6,), from measured means, the prior, or the direction of the measured movement."""
    spin, gyro, clock = (float(prior.levers[row]) for row in (SPIN_RATE, GYRO, BREAK_CLOCK))
    theta = np.array([
        _SOME_SPIN if isnan(spin) else spin,
        0.0,
        (1.0 if isnan(spin) else _SOME_EFFICIENCY) if isnan(gyro) else cos(gyro),
        prior.lift_scale,
        0.0,
        prior.drag_coefficient / reference_drag(conditions.drag_law),
    ])  # fmt: skip
    for row in (SPIN, TURN):
        if row in means:
            theta[row] = np.nanmean(means[row])
    if CLOCK in means:
        theta[CLOCK] = circular_mean(means[CLOCK])
        return theta
    theta[CLOCK] = 0.0 if isnan(clock) else clock
    levers = throws.levers.copy()
    levers[SPIN_RATE] = 0.0  # of throws without spin all movement is unexplained
    movement = replace(throws, levers=levers).residuals(theta)[:2]
    known = ~np.isnan(movement).any(axis=0)
    if known.any():
        side, up = movement[:, known].mean(axis=1)
        theta[CLOCK] = atan2(-side, up)  # the pitcher's right is the negative side
    return theta


def _signed_gyro(observed: Observed) -> Array | None:
    """Signed gyro angles (n,), from an efficiency where only that was measured; None where no sense was."""
    gyro = observed.levers[GYRO]
    if np.isnan(gyro).all():
        return None
    sense = 1.0 if np.nanmean(gyro) >= 0.0 else -1.0
    return np.where(np.isnan(gyro), sense * np.arccos(np.clip(observed.efficiency, 0.0, 1.0)), gyro)
