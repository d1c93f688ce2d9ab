"""Late break: what spin and seams still do to the path after the commit point. Flights only, no hitter.

A throw is flown to the plate, and once more from its state at a moment, the commit point say, with spin and seams
switched off. The distance between the two arrivals is its late break; the distance between the arrival and that of the
same release with gravity and drag only is its whole induced break.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.flying import Flight, Paths
from latebreak.engine.flight.kernel import (
    AT_TIME,
    AT_X,
    AT_Z,
    LANES,
    RELEASE_ROWS,
    SEAM,
    SPIN_X,
    SPIN_Y,
    SPIN_Z,
    STATE_ROWS,
    VX,
    VY,
    VZ,
    X,
    Y,
    Z,
    fly,
)
from latebreak.engine.flight.path import state_at
from latebreak.engine.jit import SOURCES, kernel
from latebreak.engine.laws.table import LawTable

Array = NDArray[np.float64]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_breaks(
        release: Array,
        nodes: Array,
        before_arrival: Array,
        plate: float,
        constants: FlightConstants,
        laws: LawTable,
        breaks: Array,
    ) -> None:
        _ = sources
        steps = nodes.shape[0] - 1  # all three flights alike, so that no spin gives no break, exactly
        throws = release.shape[1]
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            coasting, bare = np.empty((RELEASE_ROWS, lanes)), np.empty((RELEASE_ROWS, lanes))
            there = np.empty((1, STATE_ROWS, lanes))
            bare[:] = release[:, first : first + lanes]
            for row in (SPIN_X, SPIN_Y, SPIN_Z, SEAM):
                bare[row] = 0.0
            for row in range(breaks.shape[0]):
                coasting[:] = bare
                if row < before_arrival.shape[0]:
                    for i in range(lanes):
                        moment = nodes[steps, AT_TIME, first + i] - before_arrival[row, first + i]
                        _node, x, y, z, vx, vy, vz = state_at(release, plate, nodes, first + i, moment, 0)
                        coasting[X, i], coasting[Y, i], coasting[Z, i] = x, y, z
                        coasting[VX, i], coasting[VY, i], coasting[VZ, i] = vx, vy, vz
                fly(coasting, plate, steps, constants, laws, there)
                for i in range(lanes):
                    dx = nodes[steps, AT_X, first + i] - there[0, AT_X, i]
                    dz = nodes[steps, AT_Z, first + i] - there[0, AT_Z, i]
                    breaks[row, first + i] = sqrt(dx * dx + dz * dz)

    return fill_breaks


_fill_breaks = _compile(SOURCES)


def late_and_whole_break(flight: Flight, paths: Paths, before_arrival: Array) -> Array:
    """Late break and whole induced break of throws.

    Parameters
    ----------
    flight : Flight
        How they were flown.
    paths : Paths
        n throws.
    before_arrival : float64 array, shape (k, n)
        s: moments before each throw's own arrival, the commit point say; a throw that flies less long is all late.

    Returns
    -------
    float64 array, shape (k + 1, n)
        Late break after each of the moments, and whole induced break, m, at the front of the plate.
    """
    breaks = np.empty((len(before_arrival) + 1, paths.releases.shape[1]))
    moments = np.ascontiguousarray(before_arrival)
    _fill_breaks(paths.releases, paths.nodes, moments, flight.plate, flight.constants, flight.laws.table, breaks)
    return breaks
