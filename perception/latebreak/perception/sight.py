"""The line of sight: what of a path can be seen from a place, as angles and as size."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def distance_to(places: Array, eye: Array) -> Array:
    """Distance d (m) of places (..., 3) from the eye (3,): shape (...)."""
    distance: Array = np.linalg.norm(places - eye, axis=-1)
    return distance


def angle_between(first: Array, second: Array, eye: Array) -> Array:
    """Angle (rad) between the lines of sight to two places, both (..., 3): shape (...)."""
    a, b = first - eye, second - eye
    # atan2 of the cross and dot products: accurate for the smallest angles too
    angle: Array = np.arctan2(np.linalg.norm(np.cross(a, b), axis=-1), (a * b).sum(axis=-1))
    return angle


def angular_size(places: Array, eye: Array, radius: float) -> Array:
    """Angle (rad) that a ball of this radius (m) fills: shape (...)."""
    return 2.0 * np.arcsin(np.minimum(radius / distance_to(places, eye), 1.0))
