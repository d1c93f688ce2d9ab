"""Flight of a baseball: the air, the forces, the throws, and where they arrive; SI units and radians throughout.

What a notebook needs stands here; the rest of the package is the engine's own.

Examples
--------
A curve, aimed at the bottom of the zone, and where it arrives:

>>> import numpy as np
>>> from latebreak.engine import QUANTITIES, Conditions, Draws, Pitch, Spread, Target
>>> from latebreak.engine import arrive, moist_air_density, prepare
>>> from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
>>> air = Conditions(air_density=moist_air_density(temperature=297.0, pressure=99_000.0, humidity=0.5))
>>> curve = Pitch(
...     speed=78 * MPH, spin_rate=2600 * RPM, break_clock=205 * DEGREE, gyro=35 * DEGREE,
...     release_side=-1.9 * FOOT, release_height=5.9 * FOOT, extension=6.2 * FOOT, aim=Target(0.0, 1.8 * FOOT),
...     spread=Spread(np.array([1 * MPH, 80 * RPM, 6 * DEGREE, 6 * DEGREE, 0, 0, 0, 0.6 * DEGREE, 0.5 * DEGREE])),
... )
>>> there = arrive(prepare(curve, air), Draws(seed=1, throws=2000))
>>> drop = there.summary.mean[QUANTITIES.index("induced_vertical_break")]
>>> f"{drop / INCH:.0f} in"
'-18 in'

The path of its mean throw, 0.2 s after release:

>>> bundle = prepare(curve, air)
>>> path = bundle.flight.paths(bundle.mean.releases())
>>> x, y, z, *_ = path.at(np.array([[0.2]]))[0, :, 0]
>>> f"{y / FOOT:.0f} ft from the back of the plate, {z / FOOT:.1f} ft high"
'32 ft from the back of the plate, 5.5 ft high'
"""

from typing import TYPE_CHECKING

from latebreak.engine.on_request import on_request

if TYPE_CHECKING:
    from latebreak.engine.air.atmosphere import standard_pressure
    from latebreak.engine.air.ball import Ball, Conditions
    from latebreak.engine.air.density import moist_air_density
    from latebreak.engine.bundle.arrival import QUANTITIES, Arrivals, arrive
    from latebreak.engine.bundle.bundle import Bundle, prepare
    from latebreak.engine.bundle.draws import Draws
    from latebreak.engine.bundle.movement import movements
    from latebreak.engine.errors import InputError, LatebreakError
    from latebreak.engine.flight.flying import Flight, Paths
    from latebreak.engine.flight.late_break import late_and_whole_break
    from latebreak.engine.pitch.pitch import LEVERS, Launch, Pitch, Spread, Target

#: Where each public name is.
_HOME = {
    "LEVERS": "pitch.pitch",
    "QUANTITIES": "bundle.arrival",
    "Arrivals": "bundle.arrival",
    "Ball": "air.ball",
    "Bundle": "bundle.bundle",
    "Conditions": "air.ball",
    "Draws": "bundle.draws",
    "Flight": "flight.flying",
    "InputError": "errors",
    "LatebreakError": "errors",
    "Launch": "pitch.pitch",
    "Paths": "flight.flying",
    "Pitch": "pitch.pitch",
    "Spread": "pitch.pitch",
    "Target": "pitch.pitch",
    "arrive": "bundle.arrival",
    "late_and_whole_break": "flight.late_break",
    "moist_air_density": "air.density",
    "movements": "bundle.movement",
    "prepare": "bundle.bundle",
    "standard_pressure": "air.atmosphere",
}

__getattr__, __dir__ = on_request(__name__, _HOME)
