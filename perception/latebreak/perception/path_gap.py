"""Path gap: how far apart a pitch and the fastball look, at the same time or equally far from the plate."""

from __future__ import annotations

from collections.abc import Callable
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import arctangent
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import LANES
from latebreak.engine.flight.whereabouts import ASKED, HERE_X, HERE_Y, HERE_Z, WHERE_ROWS, at_distances, at_times
from latebreak.engine.jit import kernel, wide_vectors
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_gaps(
        release: Array, nodes: Array, other_release: Array, other_nodes: Array, plate: float, times: Array, eye: Array,
        equally_far: bool, gaps: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        eye_x, eye_y, eye_z = eye[0], eye[1], eye[2]
        a, b = np.empty(WHERE_ROWS * LANES), np.empty(WHERE_ROWS * LANES)  # the pitch, the fastball
        for k in range(times.shape[0]):
            for first in range(0, times.shape[1], LANES):
                lanes = min(LANES, times.shape[1] - first)
                at = times[k, first : first + lanes]
                for i in range(lanes):
                    a[i + ASKED * LANES], b[i + ASKED * LANES] = at[i], at[i]
                at_times(release, plate, nodes, first, lanes, a)
                if equally_far:
                    for i in range(lanes):
                        a[i + ASKED * LANES], b[i + ASKED * LANES] = a[i + HERE_Y * LANES], a[i + HERE_Y * LANES]
                    at_distances(release, plate, nodes, first, lanes, a)
                    at_distances(other_release, plate, other_nodes, first, lanes, b)
                else:
                    at_times(other_release, plate, other_nodes, first, lanes, b)
                angles, widths = gaps[0, k, first : first + lanes], gaps[1, k, first : first + lanes]
                for i in range(lanes):
                    x, y, z = a[i + HERE_X * LANES], a[i + HERE_Y * LANES], a[i + HERE_Z * LANES]
                    # a x b = a x (b - a), which is exactly 0 where they are the same
                    dx, dy, dz = b[i + HERE_X * LANES] - x, b[i + HERE_Y * LANES] - y, b[i + HERE_Z * LANES] - z
                    ax, ay, az = x - eye_x, y - eye_y, z - eye_z
                    cx, cy, cz = ay * dz - az * dy, az * dx - ax * dz, ax * dy - ay * dx
                    squared = ax * ax + ay * ay + az * az
                    dot = squared + ax * dx + ay * dy + az * dz
                    # arc tangent of the cross and dot products: accurate for the smallest angles too
                    angle = arctangent(sqrt(cx * cx + cy * cy + cz * cz), abs(dot))
                    angle = pi - angle if dot < 0.0 else angle
                    a[i + ASKED * LANES], b[i + ASKED * LANES] = angle, angle * sqrt(squared)
                for i in range(lanes):
                    angles[i], widths[i] = a[i + ASKED * LANES], b[i + ASKED * LANES]

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
    return _gaps(pitch, fastball, times, eye, equally_far=False)


def path_gap_at_distance(pitch: Paths, fastball: Paths, times: Array, eye: Array) -> Array:
    """Angle between each throw and the fastball thrown with the same draws, both equally far from the plate.

    Parameters are those of `path_gap_at_time`: the pitch is taken at these times after its release, the fastball when
    it comes by there. So a difference in speed alone opens no gap; what the two paths differ by does.

    Returns
    -------
    float64 array, shape (2, k, n)
        As there.
    """
    return _gaps(pitch, fastball, times, eye, equally_far=True)


def _gaps(pitch: Paths, fastball: Paths, times: Array, eye: Array, *, equally_far: bool) -> Array:
    gaps = np.empty((2, *times.shape))
    _fill_gaps(
        pitch.releases, pitch.nodes, fastball.releases, fastball.nodes, pitch.plate, np.ascontiguousarray(times), eye,
        equally_far, gaps,
    )  # fmt: skip
    return gaps
