"""Anchors: the same flights by general-purpose means, as one would write them with numpy and with scipy."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from latebreak.engine.flight.flying import PLATE_FRONT, Flight
from latebreak.engine.laws.registry import force_law

Array = NDArray[np.float64]


def acceleration(velocity: Array, time: Array, releases: Array, flight: Flight) -> Array:
    """Accelerations (3, n) by plain numpy, with the laws themselves."""
    c = flight.constants
    through_air = velocity - np.array([[c.wind_x], [c.wind_y], [0.0]])
    speed = np.sqrt((through_air**2).sum(axis=0))
    spin = releases[6:9] * np.exp(-c.decay_rate * time)
    cross = np.cross(spin, through_air, axis=0)
    size = np.sqrt((cross**2).sum(axis=0)) + 1e-12
    s = c.radius * size / speed**2
    lift = releases[14] * force_law("saturating_lift").function(s)
    drag = releases[13] * force_law("constant_drag").function(speed, s)
    along = through_air / speed
    seam = releases[10:13] - (releases[10:13] * along).sum(axis=0) * along
    seam /= np.sqrt((seam**2).sum(axis=0))
    push = lift * cross / size - drag * along + releases[9] * seam
    result: Array = c.force_constant * speed**2 * push
    result[2] -= c.gravity
    return result


def numpy_arrivals(releases: Array, flight: Flight, steps: int) -> Array:
    """States x, z, t, vx, vy, vz at the plate: vectorised Runge-Kutta over distance, all throws at once."""
    state = np.stack([releases[0], releases[2], np.zeros(releases.shape[1]), *releases[3:6]])
    h = (releases[1] - PLATE_FRONT) / steps

    def slope(state: Array) -> Array:
        velocity = state[3:]
        rates = np.concatenate(
            [velocity[[0, 2]], np.ones((1, state.shape[1])), acceleration(velocity, state[2], releases, flight)]
        )
        return rates / np.maximum(-velocity[1], 1.0)

    for _ in range(steps):
        k1 = slope(state)
        k2 = slope(state + 0.5 * h * k1)
        k3 = slope(state + 0.5 * h * k2)
        k4 = slope(state + h * k3)
        state = state + h / 6.0 * (k1 + 2.0 * (k2 + k3) + k4)
    return state


def scipy_arrival(release: Array, flight: Flight, method: str, tolerance: float) -> Array:
    """State x, y, z, vx, vy, vz of one release (15,) at the plate: scipy's solver over time, with an event."""
    column = release[:, None]

    def slope(time: float, state: Array) -> Array:
        return np.concatenate([state[3:], acceleration(state[3:, None], np.array([time]), column, flight)[:, 0]])

    def at_plate(time: float, state: Array) -> float:
        return float(state[1] - PLATE_FRONT)

    at_plate.terminal = True  # type: ignore[attr-defined]
    solution = solve_ivp(slope, (0.0, 5.0), release[:6], method, rtol=tolerance, atol=tolerance, events=at_plate)
    assert solution.y_events is not None
    state: Array = solution.y_events[0][0]
    return state
