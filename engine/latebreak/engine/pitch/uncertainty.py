"""What is not known about the flight: mean pitches under joint draws of the uncertain coefficients.

The lift and drag coefficients of a ball are shared by all pitches of a question; the standard errors of a pitch's means
are its own. Where measured throws pin a coefficient of a pitch down, its own standard error replaces the shared one.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.laws.registry import force_law
from latebreak.engine.pitch.aim import GYRO, SPEED, SPIN_RATE, MeanPitches
from latebreak.engine.pitch.pitch import LEVERS

Array = NDArray[np.float64]

# SD of ln(lift scale), chosen: published lift laws differ by some 10 % where they are well measured, more at small S.
_LIFT_SD = 0.10
_WELL_MEASURED_SPIN = 0.15
_LARGEST_LIFT_SD = 0.30
# SD of C_D from ball to ball: published drag over seam heights, 0.33 to 0.45, and the scatter of tracked pitches.
_DRAG_SD = 0.02
_LEAST_SCALE = 0.05


@dataclass(frozen=True, eq=False)
class MeanErrors:
    """Standard errors of a pitch's means and of its spread.

    Attributes
    ----------
    levers : float64 array, shape (9,)
        In the order and units of `LEVERS`; 0 where nothing was measured.
    drag_coefficient, lift_scale : float or None
        None where no throws pin it down.
    seam_force : float
        0 where nothing was measured.
    spread : float64 array, shape (9,)
        Relative standard errors of the standard deviations of the levers; 0 where they are taken as they are.
    """

    levers: Array = field(default_factory=lambda: np.zeros(len(LEVERS)))
    drag_coefficient: float | None = None
    lift_scale: float | None = None
    seam_force: float = 0.0
    spread: Array = field(default_factory=lambda: np.zeros(len(LEVERS)))


@dataclass(frozen=True, eq=False)
class BallDraws:
    """Standard normal draws of what is shared by all pitches: lift and drag; each shape (m,)."""

    lift: Array
    drag: Array


def draw_ball(draws: int, generator: np.random.Generator) -> BallDraws:
    """Draw the shared coefficients `draws` times."""
    lift, drag = generator.standard_normal((2, draws))
    return BallDraws(lift, drag)


def uncertain(
    mean: MeanPitches, errors: MeanErrors, conditions: Conditions, ball: BallDraws, generator: np.random.Generator
) -> MeanPitches:
    """Put a mean pitch under draws of what is not known; not aimed again.

    Parameters
    ----------
    mean : MeanPitches
        One column.
    errors : MeanErrors
        Standard errors of its means.
    conditions : Conditions
        Ball and laws.
    ball : BallDraws
        Shared draws, m of them.
    generator : numpy.random.Generator
        Source of the pitch's own draws.

    Returns
    -------
    MeanPitches
        m + 1 columns; the first is the pitch itself.
    """
    m = ball.lift.size
    own = generator.standard_normal((len(LEVERS) + 3, m))
    levers = mean.levers + np.concatenate([np.zeros((len(LEVERS), 1)), errors.levers[:, None] * own[: len(LEVERS)]], 1)
    speed, s = mean.levers[SPEED], _spin_parameter(mean, conditions)
    drag = force_law(conditions.drag_law).function(speed, s) * mean.drag_scale
    if errors.drag_coefficient is None:
        drag_factor = 1.0 + _DRAG_SD * ball.drag / drag
    else:
        drag_factor = 1.0 + errors.drag_coefficient * own[-3] / drag
    if errors.lift_scale is None:
        sd = np.minimum(_LIFT_SD * np.maximum(1.0, _WELL_MEASURED_SPIN / np.maximum(s, 1e-9)), _LARGEST_LIFT_SD)
        lift_factor = np.exp(sd * ball.lift)
    else:
        lift_factor = 1.0 + errors.lift_scale * own[-2] / mean.lift_scale
    seam = np.maximum(mean.seam + errors.seam_force * own[-1], 0.0)
    spread_scale = None
    if errors.spread.any():
        # lognormal, since a standard deviation is never negative; that of relative SD r has sigma^2 = ln(1 + r^2)
        sigma = np.sqrt(2.0 * np.log(np.hypot(1.0, errors.spread)))
        drawn = np.exp(sigma[:, None] * generator.standard_normal((len(LEVERS), m)))
        spread_scale = np.concatenate([np.ones((len(LEVERS), 1)), drawn], axis=1)
    return replace(
        mean,
        spread_scale=spread_scale,
        levers=levers,
        target=None if mean.target is None else np.repeat(mean.target, m + 1, axis=1),
        seam=np.concatenate([mean.seam, seam]),
        drag_scale=mean.drag_scale * _with_first(drag_factor),
        lift_scale=mean.lift_scale * _with_first(lift_factor),
    )


def _spin_parameter(mean: MeanPitches, conditions: Conditions) -> Array:
    across = mean.levers[SPIN_RATE] * np.abs(np.cos(mean.levers[GYRO]))
    s: Array = conditions.ball.radius * across / mean.levers[SPEED]
    return s


def _with_first(factor: Array) -> Array:
    return np.concatenate([[1.0], np.maximum(factor, _LEAST_SCALE)])
