"""What spin parameters and speeds through the air a set of flights visits: where force laws must be fitted well."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, inf, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.kernel import (
    AT_TIME,
    AT_VX,
    AT_VY,
    AT_VZ,
    MAX_VY,
    SLOWEST,
    SPIN_X,
    SPIN_Y,
    SPIN_Z,
)
from latebreak.engine.jit import SOURCES, kernel

Array = NDArray[np.float64]


def _compile(sources: int) -> Callable[..., tuple[float, float, float, float]]:
    @kernel
    def air_met(release: Array, nodes: Array, constants: FlightConstants) -> tuple[float, float, float, float]:
        _ = sources
        low_s, high_s, low_v, high_v = inf, -inf, inf, -inf
        for i in range(release.shape[1]):
            if not nodes[-1, MAX_VY, i] < -SLOWEST:
                continue
            wx, wy, wz = release[SPIN_X, i], release[SPIN_Y, i], release[SPIN_Z, i]
            for k in range(nodes.shape[0]):
                ux, uy = nodes[k, AT_VX, i] - constants.wind_x, nodes[k, AT_VY, i] - constants.wind_y
                uz = nodes[k, AT_VZ, i]
                speed = sqrt(ux * ux + uy * uy + uz * uz)
                # S = R |w x u| / u^2 of the spin that is left
                across = sqrt((wy * uz - wz * uy) ** 2 + (wz * ux - wx * uz) ** 2 + (wx * uy - wy * ux) ** 2) / speed
                s = constants.radius * exp(-constants.decay_rate * nodes[k, AT_TIME, i]) * across / speed
                low_s, high_s = min(low_s, s), max(high_s, s)
                low_v, high_v = min(low_v, speed), max(high_v, speed)
        return low_s, high_s, low_v, high_v

    return air_met


_air_met = _compile(SOURCES)


def air_met(release: Array, nodes: Array, constants: FlightConstants) -> tuple[float, float, float, float]:
    """Return the lowest and highest S, then the lowest and highest V, over flights that arrive.

    Parameters
    ----------
    release : float64 array, shape (15, n)
        Releases.
    nodes : float64 array, shape (steps + 1, 7, n)
        Their states, as `latebreak.engine.flight.kernel.fly` gives them.
    constants : FlightConstants
        Wind, radius, decay.

    Returns
    -------
    tuple of float
        S, S, m/s, m/s; infinite, the lowest above the highest, where none arrives.
    """
    return _air_met(release, nodes, constants)
