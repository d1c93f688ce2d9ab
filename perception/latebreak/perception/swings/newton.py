"""The fit: Newton steps down Q, and how sure it is by what would have changed it.

    Q(u) = - ln L(what happened) + |u|^2/2 + ...,      u: coordinates whose priors are standard normal

Days drawn anew with replacement (Bayesian bootstrap: exponential weights of the days), and whatever else is known moved
by its SD, are each carried through one Newton step,

    u_r = u - H^-1 sum of g_k (w_k - 1),      H: curvature of Q, g_k: slope of one day, one row, one prior.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STEP = 0.02  # of u, in the differences (curvatures need a wide one)
_GAIN = 0.05  # of Q: less ends the fit


class Evidence(Protocol):
    """What a hitter is fitted to."""

    def q(self, u: Array) -> float:
        """Q of the module's text."""
        ...

    def slopes(self, u: Array) -> tuple[Array, Array, Array]:
        """Slope of Q (P,), its curvature (P, P), and the slopes of days, rows and priors (parts, P)."""
        ...


@dataclass(frozen=True, eq=False)
class Fit:
    """What the fit found.

    Attributes
    ----------
    u : float64 array, shape (P,)
        Coordinates.
    factor : float64 array, shape (P, P)
        Of their covariance: u + factor z is as likely a hitter, z standard normal.
    """

    u: Array
    factor: Array

    @property
    def sd(self) -> Array:
        """SDs of the coordinates."""
        return sds(self.factor)


def sds(factor: Array) -> Array:
    """SDs (P,) of what has the covariance F F^T, F of shape (P, P)."""
    sd: Array = np.sqrt((factor**2).sum(axis=1))
    return sd


def differences(value: Callable[[Array], Array], u: Array) -> Array:
    """Slopes of an array by central differences: (P, ...)."""
    up, down = (np.stack([value(u + sign * _STEP * unit) for unit in np.eye(u.size)]) for sign in (1.0, -1.0))
    slopes: Array = (up - down) / (2.0 * _STEP)
    return slopes


def minimum(known: Evidence, start: Array, steps: int = 12, told: Callable[[str], None] = lambda line: None) -> Fit:
    """Fit by Newton steps, each halved until it helps.

    Parameters
    ----------
    known : Evidence
        What the hitter is fitted to.
    start : float64 array, shape (P,)
        Where to start.
    steps : int
        At most.
    told : callable
        Told a line of progress.
    """
    u, value = start, known.q(start)
    for step in range(steps):
        slope, curvature, _ = known.slopes(u)
        move = -np.linalg.solve(curvature, slope)
        tried = ((known.q(u + share * move), share) for share in (1.0, 0.5, 0.25, 0.1, 0.03))
        found, share = next(((q, share) for q, share in tried if q < value), (value, 0.0))
        u, gained, value = u + share * move, value - found, found
        told(f"step {step + 1}: Q = {value:.2f}")
        if gained < _GAIN:
            break
    _, curvature, parts = known.slopes(u)
    inverse = np.linalg.inv(curvature)
    return Fit(u, np.linalg.cholesky(inverse @ (parts.T @ parts) @ inverse))
