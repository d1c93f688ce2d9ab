"""What a pitch is: its mean release, where it is aimed, and how it scatters from throw to throw."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

#: The nine quantities of a release that vary from throw to throw, in the order of every array over levers; SI units
#: and radians.
LEVERS = (
    "speed",
    "spin_rate",
    "break_clock",
    "gyro",
    "release_side",
    "release_height",
    "extension",
    "launch_elevation",
    "launch_azimuth",
)
#: What varies from ball to ball, in the order of the draws that follow those of the levers: factors on drag and lift,
#: and the seam-made force coefficient up the clock face and to the pitcher's right.
BALL = ("drag_scale", "lift_scale", "seam_up", "seam_right")


@dataclass(frozen=True)
class Target:
    """Where the mean pitch crosses the front of the plate: side (catcher's right) and height in m."""

    side: float
    height: float


@dataclass(frozen=True)
class Launch:
    """Direction of flight at release: elevation asin(vz/v) and azimuth atan2(vx, -vy) in rad."""

    elevation: float
    azimuth: float


@dataclass(frozen=True, eq=False)
class Spread:
    """Throw-to-throw scatter, normal: of the release, jointly, and of the ball.

    Attributes
    ----------
    standard_deviations : float64 array, shape (9,)
        In the order and units of `LEVERS` (m/s, rad/s, rad, rad, m, m, m, rad, rad).
    correlation : float64 array, shape (9, 9)
        Positive semidefinite, ones on the diagonal.
    drag_scale, lift_scale : float
        Standard deviations of the factors on drag and lift.
    seam_force : float
        Standard deviation of the seam-made force coefficient along each of two directions across the flight, so in a
        random direction.
    """

    standard_deviations: NDArray[np.float64] = field(default_factory=lambda: np.zeros(9))
    correlation: NDArray[np.float64] = field(default_factory=lambda: np.eye(9))
    drag_scale: float = 0.0
    lift_scale: float = 0.0
    seam_force: float = 0.0

    @property
    def ball(self) -> NDArray[np.float64]:
        """Standard deviations of drag scale, lift scale and seam-made force, shape (3,)."""
        return np.array([self.drag_scale, self.lift_scale, self.seam_force])


@dataclass(frozen=True, eq=False)
class Pitch:
    """One pitch: mean release, aim and spread.

    Attributes
    ----------
    speed : float
        m/s at release.
    spin_rate : float
        rad/s at release.
    break_clock : float
        rad clockwise from 12:00 as the pitcher sees it: the direction in which the spin pushes the ball.
    gyro : float
        rad, -pi/2 to pi/2: angle of the spin axis out of the plane across the flight; positive = clockwise seen from
        behind the ball. Spin efficiency = |cos(gyro)|.
    release_side, release_height, extension : float
        m; side positive to the catcher's right, extension in front of the rubber.
    aim : Target or Launch
        A target at the plate, or the launch direction itself.
    seam_force : float
        Seam-made force as a coefficient C_S, >= 0.
    seam_clock : float
        rad, direction of the seam-made force on the same clock as `break_clock`.
    drag_scale, lift_scale : float
        Factors on the drag law and on the lift law, > 0.
    spread : Spread
        Scatter from throw to throw.
    """

    speed: float
    spin_rate: float
    break_clock: float
    gyro: float
    release_side: float
    release_height: float
    extension: float
    aim: Target | Launch
    seam_force: float = 0.0
    seam_clock: float = 0.0
    drag_scale: float = 1.0
    lift_scale: float = 1.0
    spread: Spread = field(default_factory=Spread)
