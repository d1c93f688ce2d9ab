"""Balls differ: drag, lift and seam-made force vary from throw to throw, whoever throws.

With n_1 .. n_4 standard normal and the standard deviations d, l, c:

    drag scale = mean + d n_1,    lift scale = mean + l n_2,    C_S s = mean C_S s + c (n_3 up + n_4 right)

where `up` and `right` span the clock face across the flight at release, as in `release.py`. Two normals
make a push in a random direction: no seam is laid to push along or across the break more than elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import inverse_root
from latebreak.engine.flight.kernel import (
    DRAG_SCALE,
    LANES,
    LIFT_SCALE,
    RELEASE_ROWS,
    SEAM,
    SEAM_X,
    SEAM_Y,
    SEAM_Z,
    VX,
    VY,
    VZ,
    load,
    store,
)  # fmt: skip
from latebreak.engine.jit import SOURCES, kernel, lane_loop, wide_vectors

Array = NDArray[np.float64]

#: Smallest scale of drag and of lift: the tail of a wide spread makes no ball that is driven forward (chosen).
LEAST_SCALE = 0.05
# Added to squares under a root or in a divisor: a throw straight up and a ball without seam-made force stay finite.
_TINY = 1e-30


@lane_loop
def vary_balls(drag: float, lift: float, seam: float, lanes: int, w: Array, normals: int) -> None:
    """Let the balls of a pass differ, in the first work rows, by normal draws at offset `normals`."""
    for i in range(lanes):
        vx, vy, vz = w[i + VX * LANES], w[i + VY * LANES], w[i + VZ * LANES]
        level2 = vx * vx + vy * vy + _TINY
        speed2 = level2 + vz * vz
        per_level, per_speed = inverse_root(level2), inverse_root(speed2)
        # right = (vy, -vx, 0) / level, up = (-vx vz, -vy vz, level^2) / (level speed)
        up = seam * w[i + normals + 2 * LANES] * per_level * per_speed
        right = seam * w[i + normals + 3 * LANES] * per_level
        mean = w[i + SEAM * LANES]
        sx = mean * w[i + SEAM_X * LANES] - up * vx * vz + right * vy
        sy = mean * w[i + SEAM_Y * LANES] - up * vy * vz - right * vx
        sz = mean * w[i + SEAM_Z * LANES] + up * level2
        size2 = sx * sx + sy * sy + sz * sz
        per_size = inverse_root(size2 + _TINY)
        w[i + SEAM * LANES] = size2 * per_size
        w[i + SEAM_X * LANES] = sx * per_size  # no force has no direction, and needs none
        w[i + SEAM_Y * LANES] = sy * per_size
        w[i + SEAM_Z * LANES] = sz * per_size
        w[i + DRAG_SCALE * LANES] = max(w[i + DRAG_SCALE * LANES] + drag * w[i + normals], LEAST_SCALE)
        w[i + LIFT_SCALE * LANES] = max(w[i + LIFT_SCALE * LANES] + lift * w[i + normals + LANES], LEAST_SCALE)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def scatter_balls(drag: float, lift: float, seam: float, normals: Array, release: Array) -> None:
        _ = sources
        wide_vectors()
        throws = release.shape[1]
        w = np.empty((RELEASE_ROWS + 4) * LANES)
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            load(release, RELEASE_ROWS, first, lanes, w, 0)
            load(normals, 4, first, lanes, w, RELEASE_ROWS * LANES)
            vary_balls(drag, lift, seam, lanes, w, RELEASE_ROWS * LANES)
            store(w, 0, release, first, lanes)

    return scatter_balls


_scatter_balls = _compile(SOURCES)


def scatter_balls(releases: Array, deviations: Array, normals: Array) -> None:
    """Let the balls of some releases differ; in place.

    Parameters
    ----------
    releases : float64 array, shape (15, n)
        Releases with the mean ball, rows as in `latebreak.engine.flight.kernel`.
    deviations : float64 array, shape (3,)
        Standard deviations of drag scale, lift scale and each part of the seam-made force coefficient.
    normals : float64 array, shape (4, n)
        Standard normal draws: drag, lift, seam-made force up and to the pitcher's right.
    """
    if deviations.any():
        drag, lift, seam = (float(each) for each in deviations)
        _scatter_balls(drag, lift, seam, np.ascontiguousarray(normals), releases)
