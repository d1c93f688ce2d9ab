"""What measured throws of one pitch say about it: values with their errors, where they come from, what stays open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Where a value comes from. measured: the mean of a measured column; inferred: from other columns by the flight model;
#: assumed: the prior's value, because nothing in the throws says anything.
Origin = Literal["measured", "inferred", "assumed"]

#: Speed (m/s) and spin parameter at which a drag law is held against a drag coefficient: chosen, 89 mph with the spin
#: parameter of an ordinary fastball.
DRAG_REFERENCE = (40.0, 0.2)


@dataclass(frozen=True)
class Fitted:
    """A fitted value.

    Attributes
    ----------
    value : float
        SI units and rad; never NaN.
    error : float
        Normal-equivalent standard error: value -+ 1.645 error is a 90 % interval, also for a handful of throws. It
        tells the chance of the draw only; an error that all throws share (a device that reads 1 mph too fast) is not
        in it.
        0 where the value is assumed: the throws have nothing to say about it.
    origin : {"measured", "inferred", "assumed"}
        Where the value comes from.
    """

    value: float
    error: float
    origin: Origin


@dataclass(frozen=True, eq=False)
class Prior:
    """What is taken to hold about a pitch before its throws are seen.

    Attributes
    ----------
    spread : float64 array, shape (9,)
        Usual standard deviations from throw to throw, > 0, in the order and units of `LEVERS`.
    levers : float64 array, shape (9,)
        Means to fall back on where nothing is measured; NaN where nothing is assumed. Spin rate, break clock and gyro
        may be NaN where movement is measured, launch angles always (the pitch then goes to the middle of the zone).
        Side, height, extension and speed must be measured or assumed.
    drag_coefficient : float
        C_D at `DRAG_REFERENCE`, used where no arrival speeds are measured.
    lift_scale : float
        Factor on the lift law, used where spin, efficiency and movement are not all measured.
    hand_sense : float
        +1 or -1: sign of the gyro angle where the throws don't tell it; + = clockwise seen from behind the ball.
    spread_weight : float
        How many throws the prior spread is worth against the measured one. 4 is chosen: a pitcher's own spread lies
        within some 35 % of the usual one (1 / sqrt(2 * 4)).
    """

    spread: Array
    levers: Array
    drag_coefficient: float = 0.345
    lift_scale: float = 1.0
    hand_sense: float = 1.0
    spread_weight: float = 4.0


@dataclass(frozen=True, eq=False)
class FittedPitch:
    """A pitch as its throws tell it.

    Attributes
    ----------
    count : int
        Throws.
    levers : tuple of Fitted, 9
        Means in the order of `LEVERS`, SI units and rad; break clock in 0 to 2 pi. The gyro angle is signed; where its
        sense was not measured it has the prior's.
    efficiency : Fitted
        |cos| of the mean gyro angle, 0 to 1. Somewhat above the mean of measured efficiencies, which scatter of the
        gyro angle lowers.
    gyro_sense_measured : bool
        Whether any throw told the sign of its gyro angle.
    aim : tuple of two Fitted, or None
        Mean side and height in the plane of the plate's front edge, m; None where arrivals are not measured.
    spread, spread_error : float64 array, shape (9,)
        Standard deviations from throw to throw with their normal-equivalent standard errors (0 where assumed), drawn
        towards the prior's. They contain the scatter of the measuring device.
    correlation : float64 array, shape (9, 9)
        Positive semidefinite, ones on the diagonal, drawn towards 0; exactly 0 where a spread is assumed.
    spread_origin : tuple of str, 9
        As `Fitted.origin`.
    drag_coefficient : Fitted
        C_D at `DRAG_REFERENCE`.
    lift_scale : Fitted
        Factor on the lift law.
    seam_force : Fitted
        Seam-made force across the break clock as a coefficient, >= 0. A part along the break clock can't be told from
        efficiency or lift scale and is counted there. Being a size, it is never exactly 0: a value within 1.6 errors is
        no sign of a force.
    seam_clock : float or None
        rad, 0 to 2 pi: direction of that force, a quarter turn from the break clock; None where it is undecidable.
    undecidable : tuple of str
        What these throws can't tell, in this order:

        - "agreement": no pitch explains all measurements together; the values are the nearest to one that does
        - "gyro_sense": only the size of the gyro angle is known, or nothing
        - "efficiency": neither efficiency nor movement is measured
        - "efficiency_or_lift_scale": efficiency is inferred from movement with the lift scale assumed; only what they
          do together is told
        - "spin_rate": neither the spin rate nor what would tell it is measured
        - "spin_rate_or_lift_scale": the spin rate is inferred from movement with the lift scale assumed
        - "break_clock": neither clock nor movement is measured
        - "lift_scale": no movement is measured, or too little of it
        - "seam_force": clock and movement are not both measured
        - "seam_force_along_break_clock": only its part across the break clock is told
        - "drag_coefficient": no arrival speed is measured
        - "launch": neither launch angles nor arrivals are measured
    """

    count: int
    levers: tuple[Fitted, ...]
    efficiency: Fitted
    gyro_sense_measured: bool
    aim: tuple[Fitted, Fitted] | None
    spread: Array
    spread_error: Array
    correlation: Array
    spread_origin: tuple[Origin, ...]
    drag_coefficient: Fitted
    lift_scale: Fitted
    seam_force: Fitted
    seam_clock: float | None
    undecidable: tuple[str, ...]
