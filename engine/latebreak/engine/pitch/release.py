"""From what a pitcher does to the state at release: velocity, spin vector, seam direction.

With elevation a and azimuth b of the launch, the flight starts along e = (cos a sin b, -cos a cos b, sin a). Seen by
the pitcher, `right` = (-cos b, -sin b, 0) and `up` = right x e span the clock face across the flight. A spin that
pushes the ball towards p = cos(clock) up + sin(clock) right has its axis across the flight along e x p, and with the
gyro angle g and the spin rate w the spin vector is  w (cos g (e x p) + sin g e).
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import sine_cosine
from latebreak.engine.flight.kernel import (
    DRAG_SCALE,
    LANES,
    LIFT_SCALE,
    RELEASE_ROWS,
    SEAM,
    SEAM_X,
    SEAM_Y,
    SEAM_Z,
    SPIN_X,
    SPIN_Y,
    SPIN_Z,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
    load,
    store,
)  # fmt: skip
from latebreak.engine.jit import SOURCES, inlined, kernel, lane_loop, wide_vectors
from latebreak.engine.pitch.pitch import LEVERS

Array = NDArray[np.float64]

#: Slowest release that is drawn, m/s: the tail of a wide spread must not throw backwards.
SLOWEST_RELEASE = 0.5
# Spin rate (rad/s) below which there is no spin: denormal numbers would slow the kernels and bend nothing.
_NO_SPIN = 1e-9


@inlined
def release_state(
    speed: float, spin: float, clock: float, gyro: float, side: float, height: float, extension: float,
    elevation: float, azimuth: float, seam_sine: float, seam_cosine: float, rubber: float,
) -> tuple[float, ...]:  # fmt: skip
    """Position, velocity, spin vector and seam direction at release (SI units, rad)."""
    speed = max(speed, SLOWEST_RELEASE)
    spin = 0.0 if spin < _NO_SPIN else spin
    sa, ca = sine_cosine(elevation)
    sb, cb = sine_cosine(azimuth)
    sc, cc = sine_cosine(clock)
    sg, cg = sine_cosine(gyro)
    ex, ey, ez = ca * sb, -ca * cb, sa
    rx, ry = -cb, -sb
    ux, uy, uz = -sb * sa, cb * sa, ca
    # e x p = cos(clock) right - sin(clock) up
    wx = spin * (cg * (cc * rx - sc * ux) + sg * ex)
    wy = spin * (cg * (cc * ry - sc * uy) + sg * ey)
    wz = spin * (sg * ez - cg * sc * uz)
    return (
        side, rubber - extension, height, speed * ex, speed * ey, speed * ez, wx, wy, wz,
        seam_cosine * ux + seam_sine * rx, seam_cosine * uy + seam_sine * ry, seam_cosine * uz,
    )  # fmt: skip


@lane_loop
def release_throws(
    mean: Array, factor: Array, seam_sine: float, seam_cosine: float, rubber: float, lanes: int, w: Array, normals: int
) -> None:
    """Releases of a pass, in the first work rows, from its normal draws at offset `normals`, which become its levers.

    levers = mean + factor normals; row by row from the last, since the factor is lower triangular. What is no matter of
    levers stays: the seam force and the scales of drag and lift.
    """
    for back in range(9):
        row = 8 - back
        lever = w[normals + row * LANES : normals + (row + 1) * LANES]
        middle, own = mean[row], factor[row, row]
        for i in range(lanes):
            lever[i] = middle + own * lever[i]
        for column in range(row):
            share = factor[row, column]
            if share != 0.0:
                draw = w[normals + column * LANES : normals + (column + 1) * LANES]
                for i in range(lanes):
                    lever[i] += share * draw[i]
    for i in range(lanes):
        x, y, h, vx, vy, vz, wx, wy, wz, sx, sy, sz = release_state(
            w[i + normals], w[i + normals + LANES], w[i + normals + 2 * LANES], w[i + normals + 3 * LANES],
            w[i + normals + 4 * LANES], w[i + normals + 5 * LANES], w[i + normals + 6 * LANES],
            w[i + normals + 7 * LANES], w[i + normals + 8 * LANES], seam_sine, seam_cosine, rubber,
        )  # fmt: skip
        w[i + X * LANES] = x
        w[i + Y * LANES] = y
        w[i + Z * LANES] = h
        w[i + VX * LANES] = vx
        w[i + VY * LANES] = vy
        w[i + VZ * LANES] = vz
        w[i + SPIN_X * LANES] = wx
        w[i + SPIN_Y * LANES] = wy
        w[i + SPIN_Z * LANES] = wz
        w[i + SEAM_X * LANES] = sx
        w[i + SEAM_Y * LANES] = sy
        w[i + SEAM_Z * LANES] = sz


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_release(
        mean: Array, factor: Array, normals: Array, seam_sine: float, seam_cosine: float, rubber: float,
        release: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        throws = release.shape[1]
        w = np.empty((RELEASE_ROWS + 9) * LANES)
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            load(release, RELEASE_ROWS, first, lanes, w, 0)
            load(normals, 9, first, lanes, w, RELEASE_ROWS * LANES)
            release_throws(mean, factor, seam_sine, seam_cosine, rubber, lanes, w, RELEASE_ROWS * LANES)
            store(w, 0, release, first, lanes)

    return fill_release


fill_release = _compile(SOURCES)
_ZERO = np.zeros(len(LEVERS))
_UNIT = np.eye(len(LEVERS))


def drawn_releases(
    mean: Array,
    factor: Array,
    normals: Array,
    rubber: float,
    seam: float = 0.0,
    seam_clock: float = 0.0,
    drag_scale: float = 1.0,
    lift_scale: float = 1.0,
) -> Array:
    """Releases of a bundle: levers = mean + factor normals.

    Parameters
    ----------
    mean : float64 array, shape (9,)
        Mean levers in the order of `LEVERS`, SI units and rad.
    factor : float64 array, shape (9, 9)
        Lower triangular factor of the covariance.
    normals : float64 array, shape (9, n)
        Standard normal draws.
    rubber : float
        m, from the rubber to the back point of the plate.
    seam, seam_clock, drag_scale, lift_scale : float
        As in `latebreak.engine.pitch.pitch.Pitch`.

    Returns
    -------
    float64 array, shape (15, n)
        Rows as in `latebreak.engine.flight.kernel`.
    """
    release = np.empty((RELEASE_ROWS, normals.shape[1]))
    release[SEAM], release[DRAG_SCALE], release[LIFT_SCALE] = seam, drag_scale, lift_scale
    fill_release(mean, factor, normals, sin(seam_clock), cos(seam_clock), rubber, release)
    return release


def releases(levers: Array, rubber: float, **fixed: float) -> Array:
    """Releases of given levers, shape (9, n); further arguments as in `drawn_releases`."""
    return drawn_releases(_ZERO, _UNIT, np.ascontiguousarray(levers), rubber, **fixed)
