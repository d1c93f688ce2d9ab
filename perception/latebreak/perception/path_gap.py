"""Path gap: how far apart a pitch and the fastball look at a moment of the flight."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import Paths
from latebreak.perception.sight import angle_between, distance_to

Array = NDArray[np.float64]


def path_gap(pitch: Paths, fastball: Paths, times: Array, eye: Array) -> Array:
    """Angle between each throw and the fastball thrown with the same draws, at the same time after release.

    A fastball that is at the plate by then is taken where it arrived.

    Parameters
    ----------
    pitch, fastball : Paths
        n throws each, pairwise of the same draws.
    times : float64 array, shape (k, n)
        s after release.
    eye : float64 array, shape (3,)
        Place of the hitter's eye, m.

    Returns
    -------
    float64 array, shape (2, k, n)
        Angle seen from the eye (rad), and that angle times the distance from the eye to the pitch: the gap across the
        line of sight (m).
    """
    here, there = (np.moveaxis(paths.at(times)[:, :3], 1, -1) for paths in (pitch, fastball))
    angle = angle_between(here, there, eye)
    return np.stack([angle, angle * distance_to(here, eye)])
