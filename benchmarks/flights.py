"""Flights a second: the kernel beside its anchors at matched error, and draw, fly and summarise."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from math import inf
from time import process_time
from typing import Any

import numpy as np
from batting import CURVE
from published.test_against_dop853 import PROMISE, reference

from benchmarks import anchors
from benchmarks.measuring import Effort, Row, one_core, take_turns
from latebreak.engine.air.ball import Ball, Conditions
from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.flying import PLATE_FRONT, STEP_CHOICES
from latebreak.engine.flight.kernel import SPIN_X, SPIN_Z, VX, VZ, X, Y, Z
from latebreak.engine.units import INCH

Array = anchors.Array

THROWS = 4096  # of one call
CHECKED = 32  # of them are held against the reference
ONE_BY_ONE = 64  # of them are given to a solver that flies one after the other

#: What the anchors fly: the default laws in still air, no decay, no seams; and all that the engine knows.
BARE = Conditions(anchors.DENSITY, ball=Ball(spin_decay_time=inf))
FULL = Conditions(anchors.DENSITY, wind_to_right=1.0, wind_to_plate=-1.0)
PITCH = CURVE.bundle.pitch
SEAMED = replace(
    PITCH,
    seam_force=0.03,
    seam_clock=2.0,
    spread=replace(PITCH.spread, drag_scale=0.05, lift_scale=0.04, seam_force=0.008),
)

Setting = tuple[object, ...]
STEPS: tuple[Setting, ...] = tuple((steps,) for steps in STEP_CHOICES)
#: The kernel, and its anchors with their settings from the fastest: the first within the promise is timed.
OURS = {
    "full": "latebreak, full model (spin decay, wind, seam force), steps: {}",
    "bare": "latebreak, the anchors' model, steps: {}",
}
ANCHORS: dict[str, tuple[str, Callable[..., anchors.Flown], Sequence[Setting]]] = {
    "jax": ("jax.jit, Runge-Kutta by hand, steps: {}", anchors.by_jax, STEPS),
    "numpy": ("numpy, Runge-Kutta by hand, steps: {}", anchors.by_numpy, STEPS),
    "heyoka": ("heyoka, batch of {}, tolerance {:g}", anchors.by_heyoka, [(128, 10.0**-k) for k in (2, 3, 4)]),
    "diffrax": ("diffrax, vmap, Tsit5, steps: {}", anchors.by_diffrax, STEPS),
    "rk45": ("scipy solve_ivp, {}, tolerance {:g}", anchors.by_scipy, [("RK45", 10.0**-k) for k in (2, 3, 4, 5)]),
    "dop853": ("scipy solve_ivp, {}, tolerance {:g}", anchors.by_scipy, [("DOP853", 10.0**-k) for k in (1, 2, 3, 4)]),
}


def measure(effort: Effort) -> Iterator[Row]:
    """Rows of the kernel and its anchors, then of the whole run of a bundle."""
    bare, full = prepare(PITCH, BARE), prepare(SEAMED, FULL)
    normals = Draws(1, 8 * THROWS).normals(0)
    releases, seamed = bare.releases(normals), full.releases(normals)
    with one_core():
        yield from _kernel(effort, bare, releases, full, seamed)
        yield from _bundles(effort, full, seamed)
    yield from _threads(effort, full)


def _kernel(effort: Effort, bare: Bundle, releases: Array, full: Bundle, seamed: Array) -> Iterator[Row]:
    group, exact = "flight kernel, one core", _reference(releases, BARE)
    state = np.stack([releases[X], releases[Z], np.zeros(THROWS), *releases[VX : VZ + 1]])
    given = state, np.ascontiguousarray(releases[SPIN_X : SPIN_Z + 1]), releases[Y] - PLATE_FRONT
    found = {
        "full": _matched(partial(full.flight.arrivals, seamed), STEPS, _reference(seamed, FULL)),
        "bare": _matched(partial(bare.flight.arrivals, releases), STEPS, exact),
    }
    names, share, missing = dict(OURS), {}, []
    for key, (name, anchor, settings) in ANCHORS.items():
        share[key] = ONE_BY_ONE / THROWS if anchor is anchors.by_scipy else 1.0
        part = [rows[..., : round(share[key] * THROWS)] for rows in given]
        try:
            found[key], names[key] = _matched(partial(anchor, *part), settings, exact, makes=True), name
        except ModuleNotFoundError as without:
            missing.append(
                Row(f"flights.{key}", group, name.partition(",")[0], note=f"{without.name} is not installed")
            )
    timed = take_turns({key: function for key, (function, *_) in found.items()}, effort, process_time, share)
    for key, (_, setting, error) in found.items():
        value, scatter = timed.rate(key, THROWS)
        times = timed.times("full", key) if key in ANCHORS else None
        yield Row(
            f"flights.{key}", group, names[key].format(*setting), value, "flights/s", scatter, times,
            error / INCH, PROMISE / INCH, "in",
        )  # fmt: skip
    yield from missing


def _matched(
    fly: Callable[..., Any], settings: Sequence[Setting], exact: Array, makes: bool = False
) -> tuple[anchors.Flown, Setting, float]:
    """Fly at the first setting within the promise, at the last if none is: function, setting and error (m).

    An anchor `makes` its function from the setting, once; the engine takes the setting as it flies.
    """
    for setting in settings:
        function = fly(*setting) if makes else partial(fly, *setting)
        places = np.array([np.asarray(row) for row in function()])[:2, :CHECKED]
        error = float(np.abs(places - exact).max())
        if error <= PROMISE:
            break
    return function, setting, error


def _bundles(effort: Effort, full: Bundle, seamed: Array) -> Iterator[Row]:
    draws = Draws(1, 64 * THROWS)
    functions: dict[str, anchors.Flown] = {
        "fly": partial(full.flight.arrivals, seamed),
        "all": partial(arrive, full, draws),
    }
    timed = take_turns(functions, effort, process_time, {"fly": THROWS / draws.throws})
    value, scatter = timed.rate("all", draws.throws)
    note = f"{timed.times('fly', 'all'):.1f} times a flight alone in {full.flight.steps} steps"
    yield Row("bundle", "bundles", "draw, fly and summarise, one core", value, "throws/s", scatter, note=note)


def _threads(effort: Effort, full: Bundle) -> Iterator[Row]:
    draws = Draws(1, 256 * THROWS)
    timed = take_turns({str(n): partial(arrive, full, draws, n) for n in (2, 1)}, effort)
    for n, times in (("2", None), ("1", timed.times("2", "1"))):
        value, scatter = timed.rate(n, draws.throws)
        yield Row(
            f"threads.{n}", "bundles", f"the same by the wall clock, threads: {n}", value, "throws/s", scatter, times
        )


def _reference(releases: Array, conditions: Conditions) -> Array:
    """Side and height (m) at the plate of the first throws, by DOP853 at 1e-12 of the whole equation over time."""
    return np.stack([reference(release, conditions)[1][[0, 2]] for release in releases.T[:CHECKED]], axis=1)
