"""Late break: what spin and seams still do to the path after the commit point. Flights only, no hitter.

A throw is flown to the plate, and once more from its state at the commit point with spin and seams switched off. The
distance between the two arrivals is its late break; the distance between the arrival and that of the same release with
gravity and drag only is its whole induced break.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import Flight, Paths, continued, without_spin
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z

Array = NDArray[np.float64]


def late_and_whole_break(flight: Flight, paths: Paths, before_arrival: float) -> Array:
    """Late break and whole induced break of throws.

    Parameters
    ----------
    flight : Flight
        How they were flown.
    paths : Paths
        n throws.
    before_arrival : float
        s, the commit point before each throw's own arrival; a throw that flies less long is all late.

    Returns
    -------
    float64 array, shape (2, n)
        Late break and whole induced break, m, at the front of the plate.
    """
    commit = paths.at(paths.arrivals[None, AT_TIME] - before_arrival)[0]
    steps = paths.nodes.shape[0] - 1  # all three flights alike, so that no spin gives no break, exactly
    coasting = flight.arrivals(continued(paths.releases, commit), steps)
    bare = flight.arrivals(without_spin(paths.releases), steps)
    return np.stack([_distance(paths.arrivals, coasting), _distance(paths.arrivals, bare)])


def _distance(a: Array, b: Array) -> Array:
    distance: Array = np.hypot(a[AT_X] - b[AT_X], a[AT_Z] - b[AT_Z])
    return distance
