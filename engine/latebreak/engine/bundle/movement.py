"""Where the movement of a mean pitch comes from: spin, seams, gravity, drag.

Each cause is what it adds to the arrival of the same release, one after the other, so that together they make the whole
way from the straight line of the release to the arrival:

    straight line -> + gravity -> + drag and wind -> + spin -> + seams,

each flown to the plate at its own time. Drag adds height lost: the slower ball falls longer.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.flight.flying import without_spin
from latebreak.engine.flight.kernel import AT_X, AT_Z, SEAM, VX, VY, VZ, X, Y, Z
from latebreak.engine.flight.outcome import has_arrived, outcomes
from latebreak.engine.units import STANDARD_GRAVITY

#: In the order in which they are added.
CAUSES = ("gravity", "drag", "spin", "seams")


def movements(bundle: Bundle) -> NDArray[np.float64]:
    """Split the movement of a mean pitch by its causes.

    Parameters
    ----------
    bundle : Bundle
        Its mean pitch, one column.

    Returns
    -------
    float64 array, shape (4, 2)
        m, up and toward the catcher's right, rows as in `CAUSES`; NaN where the mean pitch does not arrive.
    """
    release = bundle.mean.releases()
    flight = bundle.flight
    seamless = release.copy()
    seamless[SEAM] = 0.0
    full, spun, bare = (flight.arrivals(one) for one in (release, seamless, without_spin(release)))
    time = (release[Y] - flight.plate) / -release[VY]  # without drag
    straight = np.stack([release[Z] + release[VZ] * time, release[X] + release[VX] * time])
    fallen = straight - np.stack([0.5 * STANDARD_GRAVITY * time**2, np.zeros_like(time)])
    places = [straight, fallen, *(one[[AT_Z, AT_X]] for one in (bare, spun, full))]
    found: NDArray[np.float64] = np.diff(np.stack(places)[:, :, 0], axis=0)
    arrived = has_arrived(outcomes(release, full, flight.constants.radius))[0]
    return found if arrived else np.full_like(found, np.nan)
