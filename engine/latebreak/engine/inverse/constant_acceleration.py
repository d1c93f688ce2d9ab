"""A tracked pitch as nine numbers: position, velocity and constant acceleration at a reference plane.

Over a flight the forces on a pitch change little, so that a parabola in three dimensions describes a measured track to
about an inch; taking it apart gives the mean drag and the mean transverse force.

References
----------
Kagan (2009), The anatomy of a pitch, Phys. Teach. 47:412-416.
Nathan (2020), note on determining the 3D spin axis of a tracked pitch (the definitions of K and C_L).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import STANDARD_GRAVITY

UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False)
class PlaneCrossing:
    """State of a track where it crosses a plane of constant y.

    Attributes
    ----------
    time : float64 array, shape (...)
        s after the reference plane; NaN, as everything else here, where the track never reaches the plane.
    position, velocity : float64 array, shape (..., 3)
        m and m/s.
    """

    time: NDArray[np.float64]
    position: NDArray[np.float64]
    velocity: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class MeanForces:
    """Acceleration of a track without gravity, along and across its mean velocity.

    Attributes
    ----------
    speed : float64 array, shape (...)
        v in m/s, magnitude of the mean velocity.
    drag : float64 array, shape (...)
        m/s2, against the mean velocity.
    transverse : float64 array, shape (..., 3)
        m/s2, the rest; made by spin and seams.
    """

    speed: NDArray[np.float64]
    drag: NDArray[np.float64]
    transverse: NDArray[np.float64]

    def drag_coefficient(self, force_constant: float) -> NDArray[np.float64]:
        """C_D = a_drag / (K v^2), shape (...), given K = rho A / (2 m) in 1/m."""
        return np.asarray(self.drag / (force_constant * self.speed**2))

    def lift_coefficient(self, force_constant: float) -> NDArray[np.float64]:
        """C_L = |a_transverse| / (K v^2), shape (...), given K in 1/m; a seam-made force counts as lift."""
        return np.asarray(np.linalg.norm(self.transverse, axis=-1) / (force_constant * self.speed**2))

    @property
    def break_clock(self) -> NDArray[np.float64]:
        """Direction of the transverse force: rad, 0 to 2 pi, clockwise from 12:00 as the pitcher sees it; shape (...).

        Without seam-made force this is where the spin pushes the ball; the spin axis in two dimensions is a quarter
        turn from it. The pitcher's right is -x.
        """
        return np.asarray(np.arctan2(-self.transverse[..., 0], self.transverse[..., 2]) % (2.0 * np.pi))


@dataclass(frozen=True, eq=False)
class ConstantAccelerationTrack:
    """One track, or many: leading dimensions run over throws.

    Attributes
    ----------
    position, velocity, acceleration : float64 array, shape (..., 3)
        m, m/s, m/s2 at the reference plane y = position[..., 1]; x to the catcher's right, y from the back point of the
        plate towards the mound, z up.
    """

    position: NDArray[np.float64]
    velocity: NDArray[np.float64]
    acceleration: NDArray[np.float64]

    def at_plane(self, y: float | NDArray[np.float64]) -> PlaneCrossing:
        """State where the ball, on its way to the plate, crosses the plane `y` (m); before the reference plane too.

        Every track may have a plane of its own: `y` of shape (...).

        Notes
        -----
        y0 + vy t + ay t^2 / 2 = y, solved for t in the form that also holds for ay = 0.
        """
        vy, ay = self.velocity[..., 1], self.acceleration[..., 1]
        way = self.position[..., 1] - y
        with np.errstate(invalid="ignore", divide="ignore"):  # a track that never gets there is data
            t = 2.0 * way / (np.sqrt(vy**2 - 2.0 * ay * way) - vy)
        t = np.where(np.isfinite(t), t, np.nan)
        s = t[..., np.newaxis]
        return PlaneCrossing(
            time=t,
            position=self.position + self.velocity * s + 0.5 * self.acceleration * s**2,
            velocity=self.velocity + self.acceleration * s,
        )

    def mean_forces(self, y: float) -> MeanForces:
        """Mean forces from the reference plane to the plane `y` (m); NaN where the track never reaches it.

        Notes
        -----
        With e the direction of the mean velocity and a' = a + g z the acceleration that gravity doesn't explain:
        a_drag = -a' . e, a_transverse = a' + a_drag e.
        """
        mean_velocity = 0.5 * (self.velocity + self.at_plane(y).velocity)  # exact for constant acceleration
        speed = np.linalg.norm(mean_velocity, axis=-1)
        e = mean_velocity / speed[..., np.newaxis]
        unexplained = self.acceleration + STANDARD_GRAVITY * UP
        drag = -np.sum(unexplained * e, axis=-1)
        return MeanForces(np.asarray(speed), np.asarray(drag), unexplained + drag[..., np.newaxis] * e)
