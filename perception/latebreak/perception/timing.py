"""When the decision is made.

He is ready for the fastball, whose flight takes T_f, and of a slower pitch waits a share eta of what it takes longer:

    s = T - L - (1 - eta) max(0, T - T_f),      L = commit point + latency.

What is seen after s comes too late for the decision.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.parameters import Parameters

Array = NDArray[np.float64]

#: s: the decision is never made from less than this (chosen).
EARLIEST = 0.020


def moment(flight_time: Array, ready_time: Array, parameters: Parameters) -> Array:
    """When the decision is made: s of the module's text.

    Parameters
    ----------
    flight_time : float64 array, shape (m,) or (m, n)
        T, s.
    ready_time : float64 array, shape (m,)
        T_f, s.
    parameters : Parameters
        m columns.

    Returns
    -------
    float64 array, of the shape of `flight_time`
        s after release.
    """
    wide = (slice(None),) + (None,) * (flight_time.ndim - 1)
    s: Array = flight_time - ready_time[wide]  # one array throughout: of many throws, a new one costs as much as a sum
    np.maximum(s, 0.0, out=s)
    s *= 1.0 - parameters.waiting_share[wide]
    s += (parameters.commit + parameters.latency)[wide]
    np.subtract(flight_time, s, out=s)
    return np.maximum(s, EARLIEST, out=s)
