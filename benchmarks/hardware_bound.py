"""What the processor could do at most, and the share that flight and draws reach.

    python benchmarks/hardware_bound.py

Peaks of the two units that matter are measured here: multiplications and additions (a fused pair counts as one), and
divisions. A kernel's operations for each throw are counted in the machine code of its loops over lanes; at best the
busier unit never waits.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time
from typing import Any

import numba
import numpy as np

from latebreak.engine.jit import wide_vectors

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
