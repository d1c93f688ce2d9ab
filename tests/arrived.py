"""Quantities of arrivals by plain numpy, as their definitions say."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.arrival import QUANTITIES
from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.flight.flying import without_spin
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, VX, VY, VZ

Array = NDArray[np.float64]


def arrived(bundle: Bundle, releases: Array) -> dict[str, Array]:
    """Fly releases (15, n) with and without spin-made and seam-made force, and measure them."""
    full, bare = bundle.flight.arrivals(releases), bundle.flight.arrivals(without_spin(releases))
    vx, vy, vz = full[[AT_VX, AT_VY, AT_VZ]]
    ux, uy, uz = releases[[VX, VY, VZ]]
    quantities = {
        "flight_time": full[AT_TIME],
        "arrival_speed": np.sqrt(vx**2 + vy**2 + vz**2),
        "arrival_side": full[AT_X],
        "arrival_height": full[AT_Z],
        # arrival minus the arrival without spin-made and seam-made force, each at its own time
        "induced_vertical_break": full[AT_Z] - bare[AT_Z],
        "induced_side_break": full[AT_X] - bare[AT_X],
        "vertical_approach": np.arctan2(vz, -vy),
        "side_approach": np.arctan2(vx, -vy),
        "launch_elevation": np.arcsin(uz / np.sqrt(ux**2 + uy**2 + uz**2)),
        "launch_azimuth": np.arctan2(ux, -uy),
    }
    assert tuple(quantities) == QUANTITIES
    return quantities
