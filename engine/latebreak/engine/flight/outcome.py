"""What became of a throw: a code and a count, never an exception."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import AT_X, AT_Z, MAX_VY, SLOWEST, VX, VY, VZ
from latebreak.engine.units import FOOT

#: Codes in the order of their numbers.
OUTCOMES = ("arrived", "arrived_steep", "bounced", "stalled", "flew_off")
ARRIVED, ARRIVED_STEEP, BOUNCED, STALLED, FLEW_OFF = range(5)

#: Share of the release speed that the pace towards the plate keeps in any ordinary pitch; a throw below it at some
#: point is a lob, and its path is less exact. Chosen: 60 degrees from level.
_STEEP_SHARE = 0.5
#: m, chosen: farther from the plate's middle, or higher, no catcher reaches.
_FARTHEST_SIDE = 10.0 * FOOT
_HIGHEST = 12.0 * FOOT


def code_of(x: Any, z: Any, slowest: Any, speed: Any, radius: float) -> Any:
    """Outcome as a number: of throws in arrays, or of one in a kernel; arguments as the rows that `outcomes` reads."""
    steep = slowest > -_STEEP_SHARE * speed
    bounced = z < radius
    near = (abs(x) < _FARTHEST_SIDE) & (z < _HIGHEST)
    moving = (slowest < -SLOWEST) & np.isfinite(x + z)
    code = 1.0 * ARRIVED_STEEP * steep
    code = code + bounced * (BOUNCED - code)  # the later in this order says what became of the throw
    code = FLEW_OFF + near * (code - FLEW_OFF)
    return STALLED + moving * (code - STALLED)


def outcomes(releases: NDArray[np.float64], arrivals: NDArray[np.float64], radius: float) -> NDArray[np.int8]:
    """Judge throws.

    Parameters
    ----------
    releases : float64 array, shape (15, n)
        Where the throws started.
    arrivals : float64 array, shape (7, n)
        Their states at the plate.
    radius : float
        Radius of the ball, m. A path is bent downwards nearly always, so a ball that is lower than its radius at the
        plate has touched the ground before.

    Returns
    -------
    int8 array, shape (n,)
        Indices into `OUTCOMES`: `arrived`; `arrived_steep` (a lob: arrived, less exact); `bounced` before the plate;
        `stalled` (stopped moving towards the plate); `flew_off` (out of any catcher's reach).
    """
    speed = np.sqrt(releases[VX] ** 2 + releases[VY] ** 2 + releases[VZ] ** 2)
    codes: NDArray[np.int8] = code_of(arrivals[AT_X], arrivals[AT_Z], arrivals[MAX_VY], speed, radius).astype(np.int8)
    return codes


def has_arrived(codes: NDArray[np.int8]) -> NDArray[np.bool_]:
    """Whether each throw reached the plate in the air."""
    return codes <= ARRIVED_STEEP
