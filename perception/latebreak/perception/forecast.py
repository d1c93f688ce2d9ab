"""Where will it be, and when? The forecast of each type from what has been seen, and how far it is off.

With all the evidence, W = diag(w/R), each type updates its own theta:

    I_h = C0^-1 + J_h'W J_h,   k_h = W J_h I_h^-1 dA_h/dtheta
    actual - forecast = [A_a - A_h + k_h'mu_h] + [dA_a - k_h' scatter] z + T [dA_h/deps - k_h'G_h] b + N(0, s_h^2)
    s_h^2 = k_h' (R/w) k_h

T is the error of the remembered movement (`Encounter.memory`), b its two standard normal draws: what is wrong with a
memory is wrong with time and height alike, so b is drawn with the throw. T stays out of the filter's covariance: a
hitter does not know how wrong his memory is. Arrival quantities: time at the first cut-off, height and side at the
second.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.encounter import Encounter
from latebreak.perception.view import HEIGHT_AT_PLATE, SIDE_AT_PLATE, TIME

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Forecast:
    """Actual minus forecast under each type: time (s), height and side (m), in that order; m columns.

    Attributes
    ----------
    offset : float64 array, shape (m, H, 3)
        At the mean pitch.
    slope : float64 array, shape (m, H, 3, 9)
        Per standard normal draw of the throw.
    memory : float64 array, shape (m, H, 3, 2)
        Per standard normal draw of the error of memory: size and direction of the movement.
    sd : float64 array, shape (m, H, 3)
        Of the eye's noise.
    """

    offset: Array
    slope: Array
    memory: Array
    sd: Array


def foresee(encounter: Encounter, timing_cut: Array, height_cut: Array) -> Forecast:
    """Work out the forecasts.

    Parameters
    ----------
    encounter : Encounter
        m columns, H types.
    timing_cut, height_cut : float64 array, shape (m,)
        Cut-offs, s after release, of the time and of the place.
    """
    e = encounter
    parts = [gains(e, timing_cut, (TIME,)), gains(e, height_cut, (HEIGHT_AT_PLATE, SIDE_AT_PLATE))]
    gain = np.concatenate([k for k, _ in parts], axis=2)  # (m, H, 3, 3K)
    noise = np.concatenate([v for _, v in parts], axis=2)
    offset = e.arrival[:, None] - e.expected + np.matmul(gain, e.mu[..., None])[..., 0]
    slope = e.arrival_scatter[:, None] - np.matmul(gain, e.scatter[:, None])
    forgotten = e.expected_movement - np.matmul(gain, e.movement)  # (m, H, 3, 2)
    return Forecast(offset, slope, forgotten * e.memory[:, :, None], np.sqrt(noise))


def gains(encounter: Encounter, cut: Array, quantities: tuple[int, ...]) -> tuple[Array, Array]:
    """Return gains k_h and the variance of the eye's noise for arrival quantities at a cut-off.

    Parameters
    ----------
    encounter : Encounter
        m columns.
    cut : float64 array, shape (m,)
        s after release.
    quantities : tuple of int
        Rows of the arrival.

    Returns
    -------
    gain : float64 array, shape (m, H, q, 3K)
        k_h.
    variance : float64 array, shape (m, H, q)
        k_h' (R/w) k_h.
    """
    e = encounter
    w = (e.weights(cut) / e.variance)[:, None, :, None]
    jacobian_t = np.swapaxes(e.jacobian, 2, 3)
    seen = np.matmul(jacobian_t, w * e.jacobian)  # J'WJ
    wanted = np.swapaxes(e.expected_jacobian[:, :, list(quantities)], 2, 3)  # (m, H, 5, q)
    solved = np.linalg.solve(np.linalg.inv(e.prior)[:, None] + seen, wanted)
    gain = np.swapaxes(w * np.matmul(e.jacobian, solved), 2, 3)
    variance = (solved * np.matmul(seen, solved)).sum(axis=2)
    return gain, variance
