"""A force law as data: polynomial coefficients that the kernels evaluate.

A registered law is a numpy function. Before a run it is fitted once on the range of S and V that the bundle visits:
C_L as two polynomials of degree 5 in S joined at a searched knot, C_D as a polynomial of total degree 3 in (V, S). So
a law of another package costs no compilation and runs at full speed. Outside the fitted range its edge value holds.
"""

from __future__ import annotations

from typing import NamedTuple

from latebreak.engine.jit import inlined


class LawTable(NamedTuple):
    """Coefficients of the fitted lift and drag law, lowest degree first."""

    lift_below: tuple[float, ...]
    lift_above: tuple[float, ...]
    knot: float  # S where the two lift polynomials join
    spin_low: float  # fitted range of S
    spin_high: float
    drag: tuple[float, ...]
    speed_low: float  # fitted range of V, m/s
    speed_high: float


@inlined
def lift_coefficient(s: float, laws: LawTable) -> float:
    """C_L(S)."""
    s = min(max(s, laws.spin_low), laws.spin_high)
    a = laws.lift_below
    b = laws.lift_above
    below = a[0] + s * (a[1] + s * (a[2] + s * (a[3] + s * (a[4] + s * a[5]))))
    above = b[0] + s * (b[1] + s * (b[2] + s * (b[3] + s * (b[4] + s * b[5]))))
    return below if s < laws.knot else above


@inlined
def drag_coefficient(v: float, s: float, laws: LawTable) -> float:
    """C_D(V, S): 1, v, v2, v3, s, s v, s v2, s2, s2 v, s3."""
    v = min(max(v, laws.speed_low), laws.speed_high)
    s = min(max(s, laws.spin_low), laws.spin_high)
    c = laws.drag
    return (
        c[0]
        + v * (c[1] + v * (c[2] + v * c[3]))
        + s * (c[4] + v * (c[5] + v * c[6]) + s * (c[7] + v * c[8] + s * c[9]))
    )
