"""What the processor could do at most, and the share of it that flights, draws, whole throws and the hitter reach.

    python -m benchmarks.hardware_bound

Peaks are measured here, in CPU time of one core: fused multiplications and additions, divisions, roots, copies. At best
the busiest unit never waits; divisions and roots run beside the rest, one after the other in a unit of their own.
Nothing is counted for loads, stores, loop control and the increments of bins.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time
from typing import Any

import numba
import numpy as np

from benchmarks import facing
from benchmarks.flights import THROWS
from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle import draws
from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight import kernel
from latebreak.engine.jit import wide_vectors
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM

_FAST = {"contract", "reassoc", "arcp", "nsz"}
_VALUES = 1024


@numba.njit(error_model="numpy", fastmath=_FAST)
def _multiply_add(a: np.ndarray, result: np.ndarray) -> None:
    """64 fused multiplications and additions a value, in 8 chains that do not wait for each other."""
    wide_vectors()
    for i in range(a.size):
        x = a[i]
        p, q, r, s, t, u, v, w = x, x + 0.1, x + 0.2, x + 0.3, x + 0.4, x + 0.5, x + 0.6, x + 0.7
        for _ in range(8):
            p, q, r, s = p * x + 0.11, q * x + 0.12, r * x + 0.13, s * x + 0.14
            t, u, v, w = t * x + 0.15, u * x + 0.16, v * x + 0.17, w * x + 0.18
        result[i] = max(p, q, r, s, t, u, v, w)  # a sum would let the compiler draw the chains together


@numba.njit(error_model="numpy", fastmath=_FAST)
def _divide(a: np.ndarray, result: np.ndarray) -> None:
    wide_vectors()
    for i in range(a.size):
        result[i] = 1.0 / a[i]


@numba.njit(error_model="numpy", fastmath=_FAST)
def _root(a: np.ndarray, result: np.ndarray) -> None:
    wide_vectors()
    for i in range(a.size):
        result[i] = np.sqrt(a[i])


@numba.njit(error_model="numpy", fastmath=_FAST)
def _copy(a: np.ndarray, result: np.ndarray) -> None:
    wide_vectors()
    for i in range(a.size):
        result[i] = a[i]


def fastest(function: Callable[..., object], *arguments: Any, seconds: float = 0.3) -> float:
    """CPU seconds of the fastest of many runs."""
    function(*arguments)
    start = process_time()
    function(*arguments)
    repeats = max(1, int(2e-3 / max(process_time() - start, 1e-6)))
    best, end = np.inf, process_time() + seconds
    while process_time() < end:
        start = process_time()
        for _ in range(repeats):
            function(*arguments)
        best = min(best, (process_time() - start) / repeats)
    return float(best)


def peaks() -> dict[str, float]:
    """Operations a second and core: on doubles in the first-level cache; `first touch` of fresh memory, in doubles."""
    a, result = np.linspace(0.1, 0.9, _VALUES), np.empty(_VALUES)
    return {
        "multiply-add": 64 * _VALUES / fastest(_multiply_add, a, result),
        "divide": _VALUES / fastest(_divide, a, result),
        "root": _VALUES / fastest(_root, a, result),
        "copy": _VALUES / fastest(_copy, a, result),
        "first touch": 2**22 / fastest(lambda: np.empty(2**22).fill(0.0)),
    }


#: Operations of a throw: multiplications, additions, comparisons and bits (a fused pair is one); divisions; roots.
#: Counted in the machine code of the loops over lanes for AVX-512 (of vectors of four doubles where a kernel has no
#: eight): vector instructions that only move or broadcast left out.
OPERATIONS = {
    "normal": (46, 1, 0),  # each of thirteen
    "stage": (135, 1, 0),  # of a Runge-Kutta step, all forces
    "bare stage": (52, 1, 0),  # without spin-made and seam-made force
    "release": (152, 0, 0),
    "ball": (67, 0, 0),
    "quantities and outcome": (112, 2, 0),
    "sums and bins": (130, 0, 0),
    "moment": (6, 0, 0),  # in numpy; counted in its equation
    "state at a time": (48, 1, 0),  # of two steps, all lanes in one of them
    "glance": (46, 4, 2),
    "belief": (24, 3, 1),
    "belief in a type": (72, 1, 0),
    "forecast": (12, 1, 0),
    "forecast of a type": (47, 0, 0),
    "swing or take": (226, 4, 1),
    "four counts": (14, 1, 0),  # balls and strikes
    "contact": (437, 7, 1),
}
NORMALS, STAGES = 13, 4
#: One glance, over all twelve counts.
HITTER = dict.fromkeys(("moment", "glance", "belief", "forecast", "swing or take", "contact"), 1) | {
    "state at a time": 2,
    "belief in a type": len(facing.IN_MIND),
    "forecast of a type": len(facing.IN_MIND),
    "four counts": 3,
}


def bundle() -> Bundle:
    """A curve with everything on: gyro spin, seam-made force, spin decay, wind, balls that differ; one step."""
    spread = np.array(
        [1.0 * MPH, 80 * RPM, 4 * DEGREE, 5 * DEGREE, 1.2 * INCH, 0.8 * INCH, 1.3 * INCH, 0.8 * DEGREE, 0.8 * DEGREE]
    )
    pitch = Pitch(
        speed=80 * MPH, spin_rate=2450 * RPM, break_clock=205 * DEGREE, gyro=40 * DEGREE, release_side=-1.8 * FOOT,
        release_height=5.9 * FOOT, extension=6 * FOOT, aim=Target(0.0, 2.2 * FOOT), seam_force=0.03,
        seam_clock=120 * DEGREE,
        spread=Spread(spread, np.eye(9), drag_scale=0.05, lift_scale=0.04, seam_force=0.008),
    )  # fmt: skip
    return prepare(pitch, Conditions(air_density=1.19, wind_to_right=1.0, wind_to_plate=-1.0))


def bound(peak: dict[str, float], times: dict[str, int]) -> float:
    """Throws a second at most, if each does every part so many times."""
    ordinary, divisions, roots = (sum(n * OPERATIONS[part][kind] for part, n in times.items()) for kind in range(3))
    return 1.0 / max(ordinary / peak["multiply-add"], divisions / peak["divide"] + roots / peak["root"])


def rows(peak: dict[str, float] | None = None) -> list[dict[str, Any]]:
    """Name, bound and reached per second, share reached, of one core with these peaks, or those measured now."""
    peak = peaks() if peak is None else peak
    thrown = bundle()
    flight, sample = thrown.flight, Draws(1, 8 * draws.LARGEST_BLOCK)
    releases = thrown.releases(sample.normals(0))
    nodes = np.empty((1, kernel.STATE_ROWS, draws.LARGEST_BLOCK))
    normals = np.empty((NORMALS, draws.LARGEST_BLOCK))
    many = Draws(1, 50 * draws.LARGEST_BLOCK)
    stages = STAGES * flight.steps
    whole = {"normal": NORMALS, "stage": stages, "bare stage": stages}
    whole |= dict.fromkeys(("release", "ball", "quantities and outcome", "sums and bins"), 1)

    def draw() -> None:
        draws._fill_normals(sample.points, sample.shifts[0], normals)

    def fly() -> None:
        kernel.fly(releases, flight.plate, flight.steps, flight.constants, flight.laws.table, nodes)

    found = []
    for name, parts, throws, function in (
        ("thirteen normals", {"normal": NORMALS}, draws.LARGEST_BLOCK, draw),
        ("flight, full model", {"stage": stages}, draws.LARGEST_BLOCK, fly),
        ("draw, fly, summarise", whole, many.throws, lambda: arrive(thrown, many)),
        (f"one glance, {len(facing.IN_MIND)} types", HITTER, THROWS, facing.one_glance_of()),
    ):
        most, reached = bound(peak, parts), throws / fastest(function)
        found.append({"name": name, "bound": most, "reached": reached, "share": reached / most})
    return found


def main() -> None:
    """Print peaks and rows."""
    peak = peaks()
    for unit, rate in peak.items():
        print(f"{unit:22s} {rate / 1e9:7.2f} G/s")
    print(f"{'':22s} {'bound':>9s} {'reached':>9s}   share")
    for row in rows(peak):
        bound, reached = row["bound"] / 1e6, row["reached"] / 1e6
        print(f"{row['name']:22s} {bound:5.1f} M/s {reached:5.1f} M/s {100 * row['share']:5.0f} %")


if __name__ == "__main__":
    main()
