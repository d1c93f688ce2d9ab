"""Visual noise along a path: more of it where gaze can't follow.

    R = diag(n_pos^2, n_pos^2, n_size^2)/dt * (1 + ecc/E2)^2,    ecc = sum of max(0, omega - pursuit limit) dt

omega is the speed of the line of sight; ecc is how far the ball has run away from the gaze.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def eccentricity(omega: Array, pursuit_limit: Array, dt: float) -> Array:
    """How far the ball is from where gaze points.

    Parameters
    ----------
    omega : float64 array, shape (m, looks)
        rad/s, of the line of sight.
    pursuit_limit : float64 array, shape (m,)
        rad/s.
    dt : float
        s, duration of a look.

    Returns
    -------
    float64 array, shape (m, looks)
        rad.
    """
    away: Array = np.cumsum(np.maximum(0.0, omega - pursuit_limit[:, None]) * dt, axis=1)
    return away


def look_variance(position_noise: Array, size_noise: Array, away: Array, eccentricity_scale: Array, dt: float) -> Array:
    """Variance of what one look sees: R of the module's text.

    Parameters
    ----------
    position_noise, size_noise, eccentricity_scale : float64 array, shape (m,)
        n_pos (rad sqrt(s)), n_size (sqrt(s)), E2 (rad).
    away : float64 array, shape (m, looks)
        Eccentricity, rad.
    dt : float
        s, duration of a look.

    Returns
    -------
    float64 array, shape (m, looks, 3)
        Of angle right and angle up (rad^2), and of log size.
    """
    density = np.stack([position_noise, position_noise, size_noise], axis=-1) ** 2
    growth = (1.0 + away / eccentricity_scale[:, None]) ** 2
    variance: Array = density[:, None, :] * growth[..., None] / dt
    return variance
