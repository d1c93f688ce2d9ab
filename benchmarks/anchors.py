"""Anchors: the same flights by general-purpose means, each as a user of that library would write it down.

Gravity, drag and lift of the default laws in still air, without spin decay and seams, written from the equation itself:
with K = rho A/(2 m), S = R |w x v|/v^2, C_L = S/(0.74 + 1.29 S) and a constant C_D,

    dv/dt = K C_L v^2 (w x v)/|w x v| - K C_D v v - g z,      K C_L v^2/|w x v| = K R/(0.74 + 1.29 S).

All but scipy take the distance flown as the independent variable, so that a flight ends at the plate without a search.
An anchor takes states (6, n) at release (x, z, t, vx, vy, vz), spin vectors (3, n) and distances to the plate (n,), in
SI units, and gives a function without arguments whose answer holds the states at the plate. One that is not installed
raises `ModuleNotFoundError`.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from math import pi, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Array = NDArray[np.float64]
Flown = Callable[[], Any]

DENSITY = 1.19  # kg/m3
RADIUS = 9.125 * 0.0254 / (2.0 * pi)  # m
MASS = 5.125 * 0.028349523125  # kg
K = DENSITY * pi * RADIUS**2 / (2.0 * MASS)  # 1/m
DRAG = 0.345
GRAVITY = 9.80665  # m/s2


def acceleration(sqrt: Any, v: Any, w: Any) -> tuple[Any, Any, Any]:
    """dv/dt for velocity and spin vector of any kind of number: arrays or symbols."""
    v2 = v[0] * v[0] + v[1] * v[1] + v[2] * v[2]
    x, y, z = w[1] * v[2] - w[2] * v[1], w[2] * v[0] - w[0] * v[2], w[0] * v[1] - w[1] * v[0]
    s = RADIUS * sqrt(x * x + y * y + z * z) / v2
    lift = K * RADIUS / (0.74 + 1.29 * s)
    drag = K * DRAG * sqrt(v2)
    return lift * x - drag * v[0], lift * y - drag * v[1], lift * z - drag * v[2] - GRAVITY


def over_distance(sqrt: Any, state: Any, w: Any) -> tuple[Any, ...]:
    """d(x, z, t, vx, vy, vz)/ds along the distance s flown towards the plate."""
    _, _, _, *v = state
    pace = -1.0 / v[1]
    a = acceleration(sqrt, v, w)
    return pace * v[0], pace * v[2], pace, pace * a[0], pace * a[1], pace * a[2]


def runge_kutta(sqrt: Any, state: Any, w: Any, distance: Any, steps: int) -> Any:
    """Classical Runge-Kutta steps of equal length, all throws at once."""
    h = distance / steps
    for _ in range(steps):
        k1 = over_distance(sqrt, state, w)
        k2 = over_distance(sqrt, tuple(y + 0.5 * h * k for y, k in zip(state, k1, strict=True)), w)
        k3 = over_distance(sqrt, tuple(y + 0.5 * h * k for y, k in zip(state, k2, strict=True)), w)
        k4 = over_distance(sqrt, tuple(y + h * k for y, k in zip(state, k3, strict=True)), w)
        state = tuple(
            y + h / 6.0 * (a + 2.0 * (b + c) + d) for y, a, b, c, d in zip(state, k1, k2, k3, k4, strict=True)
        )
    return state


def by_numpy(state: Array, w: Array, distance: Array, steps: int) -> Flown:
    """Vectorised numpy."""
    return lambda: runge_kutta(np.sqrt, tuple(state), w, distance, steps)


def by_scipy(state: Array, w: Array, distance: Array, method: Any, tolerance: float) -> Flown:
    """One throw after the other by `solve_ivp` over time, with an event at the plate."""

    def one(state: Array, w: Array, distance: float) -> Array:
        def slope(_time: float, y: Array) -> list[float]:
            _, _, _, *v = y.tolist()  # Python's own numbers: one throw is too little for arrays
            return [v[0], -v[1], v[2], *acceleration(sqrt, v, spin)]

        def at_plate(_time: float, y: Array) -> float:
            return float(distance - y[1])

        at_plate.terminal = True  # type: ignore[attr-defined]
        spin = w.tolist()
        start = [state[0], 0.0, *state[[1, 3, 4, 5]]]  # here the state is x, distance flown, z, vx, vy, vz
        found = solve_ivp(slope, (0.0, 5.0), start, method, rtol=tolerance, atol=tolerance, events=at_plate)
        assert found.t_events is not None
        assert found.y_events is not None
        x, _, z, *v = found.y_events[0][0]
        return np.array([x, z, found.t_events[0][0], *v])

    return lambda: np.stack([one(*throw) for throw in zip(state.T, w.T, distance, strict=True)], axis=1)


def by_jax(state: Array, w: Array, distance: Array, steps: int) -> Flown:
    """The Runge-Kutta steps above under `jax.jit`, in doubles."""
    jax = _jax()
    fly = jax.jit(lambda state, w, distance: runge_kutta(jax.numpy.sqrt, state, w, distance, steps))
    given = (tuple(map(jax.numpy.asarray, state)), tuple(map(jax.numpy.asarray, w)), jax.numpy.asarray(distance))
    return lambda: jax.block_until_ready(fly(*given))


def by_diffrax(state: Array, w: Array, distance: Array, steps: int) -> Flown:
    """Tsitouras' fifth-order steps of diffrax, `vmap` over throws."""
    jax = _jax()
    import diffrax  # noqa: PLC0415 - may not be installed

    def one(state: Any, w: Any, distance: Any) -> Any:
        return diffrax.diffeqsolve(
            diffrax.ODETerm(lambda s, y, w: over_distance(jax.numpy.sqrt, y, w)),
            diffrax.Tsit5(), 0.0, distance, distance / steps, state, w,
            saveat=diffrax.SaveAt(t1=True), stepsize_controller=diffrax.ConstantStepSize(), max_steps=steps + 1,
        ).ys  # fmt: skip

    fly = jax.jit(jax.vmap(one))
    given = (tuple(map(jax.numpy.asarray, state)), tuple(map(jax.numpy.asarray, w)), jax.numpy.asarray(distance))
    return lambda: jax.tree.map(lambda y: y[:, 0], jax.block_until_ready(fly(*given)))


def by_heyoka(state: Array, w: Array, distance: Array, batch: int, tolerance: float) -> Flown:
    """Taylor integration by heyoka, a batch of throws at once; the tolerance sets the order."""
    import heyoka  # noqa: PLC0415 - may not be installed

    names = heyoka.make_vars("x", "z", "t", "vx", "vy", "vz")
    slopes = over_distance(heyoka.sqrt, names, [heyoka.par[number] for number in range(3)])
    solver = heyoka.taylor_adaptive_batch(
        list(zip(names, slopes, strict=True)),
        state=np.zeros((6, batch)), pars=np.zeros((3, batch)), tol=tolerance, fast_math=True,
    )  # fmt: skip
    start, end = np.zeros(batch), np.empty_like(state)

    def fly() -> Array:
        for first in range(0, state.shape[1], batch):
            part = slice(first, first + batch)
            solver.set_time(start)
            solver.state[:] = state[:, part]
            solver.pars[:] = w[:, part]
            solver.propagate_until(distance[part])
            end[:, part] = solver.state
        return end

    return fly


def _jax() -> Any:
    """Jax in doubles and with one thread, as every other anchor."""
    os.environ.setdefault("XLA_FLAGS", "--xla_cpu_multi_thread_eigen=false")
    import jax  # noqa: PLC0415 - may not be installed

    jax.config.update("jax_enable_x64", True)
    return jax
