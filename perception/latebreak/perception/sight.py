"""The line of sight: what of a path can be seen from a place, as angles and as size.

With r = p - eye, d = |r| and e = r/d, a small change dp of the ball's place changes what is seen by M dp, where the
rows of M are (right, up, -e)/d: angle to the right, angle up, logarithm of the angular size.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def distance_to(places: Array, eye: Array) -> Array:
    """Distance d (m) of places (..., 3) from the eye (3,): shape (...)."""
    distance: Array = np.linalg.norm(places - eye, axis=-1)
    return distance


def sight_matrix(places: Array, eye: Array) -> Array:
    """M of the module's text.

    Parameters
    ----------
    places : float64 array, shape (..., 3)
        The ball, m.
    eye : float64 array, shape (3,)
        The eye, m.

    Returns
    -------
    float64 array, shape (..., 3, 3)
        1/m; rows: angle right (rad), angle up (rad), log size.
    """
    r = places - eye
    d = distance_to(places, eye)[..., None]
    e = r / d
    # seen by the hitter who looks along e: right = e x z, horizontal; up = right x e
    right = np.stack([e[..., 1], -e[..., 0], np.zeros_like(e[..., 0])], axis=-1)
    right /= np.linalg.norm(right, axis=-1, keepdims=True)
    up = np.stack(
        [right[..., 1] * e[..., 2], -right[..., 0] * e[..., 2], right[..., 0] * e[..., 1] - right[..., 1] * e[..., 0]],
        axis=-1,
    )
    return np.stack([right, up, -e], axis=-2) / d[..., None]


def angle_between(first: Array, second: Array, eye: Array) -> Array:
    """Angle (rad) between the lines of sight to two places, both (..., 3): shape (...)."""
    a, b = first - eye, second - eye
    # atan2 of the cross and dot products: accurate for the smallest angles too
    angle: Array = np.arctan2(np.linalg.norm(np.cross(a, b), axis=-1), (a * b).sum(axis=-1))
    return angle


def angular_speed(places: Array, velocities: Array, eye: Array) -> Array:
    """Speed (rad/s) at which the line of sight to a moving ball turns: shape (...)."""
    r = places - eye
    speed: Array = np.linalg.norm(np.cross(r, velocities), axis=-1) / (r**2).sum(axis=-1)
    return speed


def angular_size(places: Array, eye: Array, radius: float) -> Array:
    """Angle (rad) that a ball of this radius (m) fills: shape (...)."""
    return 2.0 * np.arcsin(np.minimum(radius / distance_to(places, eye), 1.0))
