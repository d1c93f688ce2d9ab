"""Balls differ: drag, lift and seam-made force vary from throw to throw, whoever throws.

With n_1 .. n_4 standard normal and the standard deviations d, l, c:

    drag scale = mean + d n_1,    lift scale = mean + l n_2,    C_S s = mean C_S s + c (n_3 up + n_4 right)

where `up` and `right` span the clock face across the flight at release, as in `release.py`. Two normals
make a push in a random direction: no seam is laid to push along or across the break more than elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import DRAG_SCALE, LANES, LIFT_SCALE, SEAM, SEAM_X, SEAM_Y, SEAM_Z, VX, VY, VZ
from latebreak.engine.jit import SOURCES, kernel

Array = NDArray[np.float64]

#: Smallest scale of drag and of lift: the tail of a wide spread makes no ball that is driven forward (chosen).
LEAST_SCALE = 0.05
# Added to squares under a root or in a divisor: a throw straight up and a ball without seam-made force stay finite.
_TINY = 1e-30


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def scatter_balls(drag: float, lift: float, seam: float, normals: Array, release: Array) -> None:
        _ = sources
        n = release.shape[1]
        r, z = release.reshape(release.size), normals.reshape(normals.size)
        w = np.empty(6 * LANES)  # written apart from what is read, so that the loop over lanes vectorises
        for first in range(0, n, LANES):
            lanes = min(LANES, n - first)
            for i in range(lanes):
                j = first + i
                vx, vy, vz = r[j + VX * n], r[j + VY * n], r[j + VZ * n]
                level2 = vx * vx + vy * vy + _TINY
                speed = sqrt(level2 + vz * vz)
                level = sqrt(level2)
                # right = (vy, -vx, 0) / level, up = (-vx vz, -vy vz, level^2) / (level speed)
                inverse = seam / (level * speed)
                up, right = inverse * z[j + 2 * n], inverse * speed * z[j + 3 * n]
                mean = r[j + SEAM * n]
                sx = mean * r[j + SEAM_X * n] - up * vx * vz + right * vy
                sy = mean * r[j + SEAM_Y * n] - up * vy * vz - right * vx
                sz = mean * r[j + SEAM_Z * n] + up * level2
                size = sqrt(sx * sx + sy * sy + sz * sz)
                per_size = 1.0 / (size + _TINY)
                w[i] = size
                w[i + LANES] = sx * per_size  # no force has no direction, and needs none
                w[i + 2 * LANES] = sy * per_size
                w[i + 3 * LANES] = sz * per_size
                w[i + 4 * LANES] = max(r[j + DRAG_SCALE * n] + drag * z[j], LEAST_SCALE)
                w[i + 5 * LANES] = max(r[j + LIFT_SCALE * n] + lift * z[j + n], LEAST_SCALE)
            for row in range(6):
                goal = release[SEAM + row]
                for i in range(lanes):
                    goal[first + i] = w[row * LANES + i]

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
