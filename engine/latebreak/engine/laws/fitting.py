"""Fit registered force laws on the range of S and V that a bundle visits, and say how good the fit is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, comb, floor

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.laws.registry import SPEED_RANGE, SPIN_RANGE, Kind, force_law, names
from latebreak.engine.laws.table import LawTable

Array = NDArray[np.float64]

_DEGREE = 5
_NODES = np.cos(np.pi * (np.arange(24) + 0.5) / 24)  # Chebyshev nodes on -1..1
_DENSE = np.linspace(-1.0, 1.0, 101)
_TO_COEFFICIENTS = np.linalg.pinv(np.vander(_NODES, _DEGREE + 1, increasing=True))
_AT_DENSE = np.vander(_DENSE, _DEGREE + 1, increasing=True)
# (power of V, power of S) of the drag polynomial, in the order of `law_table.drag_coefficient`
_DRAG_POWERS = ((0, 0), (1, 0), (2, 0), (3, 0), (0, 1), (1, 1), (2, 1), (0, 2), (1, 2), (0, 3))

#: Lift fits better than this need no better knot: 1e-6 of C_L is some 1e-4 in at the plate.
_GOOD_ENOUGH = 1e-6
#: A law whose slope changes by more than this factor within 0.01 of S is hard on large steps (of the built-in laws the
#: piecewise one at S = 0.1, the power law below S = 0.03).
_KINK = 1.2


@dataclass(frozen=True)
class LawFit:
    """Fitted laws of one bundle.

    Attributes
    ----------
    table : LawTable
        Coefficients for the kernels.
    lift_error, drag_error : float
        Largest difference between law and fit on a dense grid of the range, in units of the coefficient.
    kinked : bool
        Whether the slope of the lift law changes sharply inside the range: Runge-Kutta steps must be small.
    """

    table: LawTable
    lift_error: float
    drag_error: float
    kinked: bool

    def error_at_plate(self, force_constant: float, distance: float) -> float:
        """Bound on the error (m) that the fit makes at the plate in still air: forces wrong all the way, K dC d^2/2."""
        return 0.5 * force_constant * (self.lift_error + self.drag_error) * distance**2


def fit_laws(lift: str, drag: str, spin_range: tuple[float, float], speed_range: tuple[float, float]) -> LawFit:
    """Fit two registered laws.

    Parameters
    ----------
    lift, drag : str
        Names of registered laws.
    spin_range, speed_range : tuple of float
        Lowest and highest S and V (m/s) of the bundle; widened to multiples of 0.01 and 1 m/s.

    Returns
    -------
    LawFit
        Coefficients, errors and whether the lift law is kinked.

    Raises
    ------
    InputError
        If a name is not registered, or is not a law of that kind.
    """
    return fit_over(
        lift,
        drag,
        max(0, floor(spin_range[0] * 100.0)),
        ceil(spin_range[1] * 100.0) + 1,
        max(0, floor(speed_range[0])),
        ceil(speed_range[1]) + 1,
    )


@lru_cache(maxsize=256)
def fit_over(lift: str, drag: str, spin_low: int, spin_high: int, speed_low: int, speed_high: int) -> LawFit:
    """Fit a pair of laws over a range of S in hundredths and of v in m/s, once."""
    lift_law, drag_law = _asked_in_range(lift, "lift"), _asked_in_range(drag, "drag")
    low, high = spin_low / 100.0, spin_high / 100.0
    below, above, knot, lift_error = _fit_lift(lift_law, low, high)
    coefficients, drag_error = _fit_drag(drag_law, (low, high), (speed_low, speed_high))
    table = LawTable(
        below, above, knot, low, high,
        tuple(coefficients), float(speed_low), float(speed_high),
    )  # fmt: skip
    return LawFit(table, lift_error, drag_error, _has_kink(lift_law, low, high))


def _asked_in_range(name: str, kind: Kind) -> Callable[..., Array]:
    """Return a registered law of a kind, its arguments kept to the range where it must answer."""
    law = force_law(name)
    if law.kind != kind:
        choices = "one of " + ", ".join(names(kind))
        raise InputError([Fault("", f"{name!r} is a {law.kind} law, not a {kind} law", choices)])
    ranges = (SPEED_RANGE, SPIN_RANGE) if kind == "drag" else (SPIN_RANGE,)
    return lambda *arguments: law.function(*(np.clip(a, *limits) for a, limits in zip(arguments, ranges, strict=True)))


def _has_kink(law: Callable[[Array], Array], low: float, high: float) -> bool:
    slopes = np.diff(law(np.arange(low, high + 0.015, 0.01)))
    steps = slopes[1:] / np.where(slopes[:-1] == 0.0, 1.0, slopes[:-1])
    return bool(np.any((steps > _KINK) | (steps < 1.0 / _KINK)))


def _piece(law: Callable[[Array], Array], low: float, high: float) -> tuple[Array, float]:
    """Least-squares polynomial of a piece, in a variable that runs over it from -1 to 1, and its largest error."""
    middle, half = 0.5 * (high + low), 0.5 * (high - low)
    coefficients = _TO_COEFFICIENTS @ law(middle + half * _NODES)
    error = float(np.abs(_AT_DENSE @ coefficients - law(middle + half * _DENSE)).max())
    return coefficients, error


def _from_zero(coefficients: Array, low: float, high: float) -> tuple[float, ...]:
    """Coefficients in powers of S itself of a polynomial in u = (2 S - low - high) / (high - low); by Horner's rule."""
    shift, scale = -(low + high) / (high - low), 2.0 / (high - low)
    result = [0.0] * len(coefficients)
    for c in map(float, coefficients[::-1]):  # result = u result + c
        result = [shift * here + scale * lower for here, lower in zip(result, [0.0, *result[:-1]], strict=True)]
        result[0] += c
    return tuple(result)


def _fit_lift(
    law: Callable[[Array], Array], low: float, high: float
) -> tuple[tuple[float, ...], tuple[float, ...], float, float]:
    coefficients, error = _piece(law, low, high)
    if error < _GOOD_ENOUGH:
        whole = _from_zero(coefficients, low, high)
        return whole, whole, 0.5 * (low + high), error

    def error_at(knot: float) -> float:
        return max(_piece(law, low, knot)[1], _piece(law, knot, high)[1])

    # coarse search over a grid that is denser near the low end (laws are steep there), then golden-section refinement
    grid = low + (high - low) * np.linspace(0.02, 0.98, 49) ** 2
    errors = [error_at(knot) for knot in grid]
    best = int(np.argmin(errors))
    a, b = grid[max(best - 1, 0)], grid[min(best + 1, grid.size - 1)]
    if errors[best] < _GOOD_ENOUGH:
        a = b = grid[best]
    golden = (np.sqrt(5.0) - 1.0) / 2.0
    for _ in range(40 if b > a else 0):
        c, d = b - golden * (b - a), a + golden * (b - a)
        a, b = (a, d) if error_at(c) < error_at(d) else (c, b)
    knot = min((grid[best], 0.5 * (a + b)), key=error_at)
    below, above = _piece(law, low, knot), _piece(law, knot, high)
    return (
        _from_zero(below[0], low, knot),
        _from_zero(above[0], knot, high),
        float(knot),
        max(below[1], above[1]),
    )


def _fit_drag(
    law: Callable[[Array, Array], Array], spin_range: tuple[float, float], speed_range: tuple[float, float]
) -> tuple[list[float], float]:
    def grid(unit: Array) -> tuple[Array, Array]:
        v, s = np.meshgrid(
            *(0.5 * (low + high) + 0.5 * (high - low) * unit for low, high in (speed_range, spin_range)), indexing="ij"
        )
        return v.ravel(), s.ravel()

    # fit in centred variables, then expand: raw powers of V would lose digits
    v_mid, s_mid = 0.5 * sum(speed_range), 0.5 * sum(spin_range)
    v, s = grid(_NODES[::2])
    design = np.stack([(v - v_mid) ** p * (s - s_mid) ** q for p, q in _DRAG_POWERS], axis=1)
    scale = np.abs(design).max(axis=0)
    centred = np.linalg.lstsq(design / scale, law(v, s), rcond=None)[0] / scale
    raw = dict.fromkeys(_DRAG_POWERS, 0.0)
    for c, (p, q) in zip(centred, _DRAG_POWERS, strict=True):
        for i in range(p + 1):  # binomial theorem
            for j in range(q + 1):
                raw[i, j] += c * comb(p, i) * (-v_mid) ** (p - i) * comb(q, j) * (-s_mid) ** (q - j)
    coefficients = [float(raw[power]) for power in _DRAG_POWERS]
    v, s = grid(np.linspace(-1.0, 1.0, 21))
    fitted = sum(c * v**p * s**q for c, (p, q) in zip(coefficients, _DRAG_POWERS, strict=True))
    return coefficients, float(np.abs(fitted - law(v, s)).max())
