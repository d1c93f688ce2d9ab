"""Path gap: how far apart a pitch and the fastball look, at the same time or equally far from the plate."""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.jit import kernel
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_gaps(here: Array, there: Array, eye: Array, gaps: Array) -> None:
        _ = sources
        for k in range(here.shape[0]):
            for i in range(here.shape[2]):
                ax, ay, az = here[k, 0, i] - eye[0], here[k, 1, i] - eye[1], here[k, 2, i] - eye[2]
                bx, by, bz = there[k, 0, i] - eye[0], there[k, 1, i] - eye[1], there[k, 2, i] - eye[2]
                # a x b = a x (b - a), which is exactly 0 where they are the same
                dx, dy, dz = bx - ax, by - ay, bz - az
                cx, cy, cz = ay * dz - az * dy, az * dx - ax * dz, ax * dy - ay * dx
                # atan2 of the cross and dot products: accurate for the smallest angles too
                angle = atan2(sqrt(cx * cx + cy * cy + cz * cz), ax * bx + ay * by + az * bz)
                gaps[0, k, i] = angle
                gaps[1, k, i] = angle * sqrt(ax * ax + ay * ay + az * az)

    return fill_gaps


_fill_gaps = _compile(SOURCES)


def path_gap_at_time(pitch: Paths, fastball: Paths, times: Array, eye: Array) -> Array:
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
    return _gaps(pitch.at(times), fastball.at(times), eye)


def path_gap_at_distance(pitch: Paths, fastball: Paths, times: Array, eye: Array) -> Array:
    """Angle between each throw and the fastball thrown with the same draws, both equally far from the plate.

    Parameters are those of `path_gap_at_time`: the pitch is taken at these times after its release, the fastball when
    it comes by there. So a difference in speed alone opens no gap; what the two paths differ by does.

    Returns
    -------
    float64 array, shape (2, k, n)
        As there.
    """
    y = pitch.at(times)[:, 1]
    return _gaps(pitch.crossing(y), fastball.crossing(y), eye)


def _gaps(here: Array, there: Array, eye: Array) -> Array:
    gaps = np.empty((2, here.shape[0], here.shape[2]))
    _fill_gaps(here, there, eye, gaps)
    return gaps
