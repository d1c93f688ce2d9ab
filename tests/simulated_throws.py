"""Throws of known pitches from the engine's own bundles, measured with or without noise, in SI units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import copysign

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.flight.flying import EXACT_STEPS, without_spin
from latebreak.engine.flight.kernel import AT_VX, AT_VZ, AT_X, AT_Z
from latebreak.engine.inverse.fitted import Prior
from latebreak.engine.inverse.observed import Observed
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM

Array = NDArray[np.float64]

AIR = Conditions(air_density=1.19)
UNITS = np.array([MPH, RPM, DEGREE, DEGREE, INCH, INCH, INCH, DEGREE, DEGREE])
#: A college pitcher's: within-game medians (see conftest.py) times 1.2 (chosen); launch angles with deliberate aims.
SPREAD = 1.2 * np.array([1.05, 81.0, 5.1, 6.0, 1.2, 0.77, 1.3, 0.87, 0.74]) * UNITS

#: What a device adds to each throw, standard deviations; chosen as realistic. Levers in the order and units of `UNITS`
#: (the launch angles, from a track, chosen too), then efficiency, arrival, arrival speed, movement.
LEVER_NOISE = np.array([0.5, 30.0, 4.0, 3.0, 0.7, 0.7, 0.7, 0.1, 0.1]) * UNITS
EFFICIENCY_NOISE = 0.03
ARRIVAL_NOISE = 0.7 * INCH
ARRIVAL_SPEED_NOISE = 0.5 * MPH
MOVEMENT_NOISE = 0.6 * INCH


def pitch(speed: float, spin: float, clock: float, gyro: float, side: float = -1.9, **more: float) -> Pitch:
    """A pitch from mph, rpm, degrees and feet; `more` as in `Pitch`, the seam clock in degrees."""
    more["seam_clock"] = more.get("seam_clock", 0.0) * DEGREE
    aim = Target(0.2 * FOOT, 2.3 * FOOT)
    levers = (speed * MPH, spin * RPM, clock * DEGREE, gyro * DEGREE, side * FOOT, 5.9 * FOOT, 6.2 * FOOT)
    return Pitch(*levers, aim, **more, spread=Spread(SPREAD))


PITCHES = {
    "curve": pitch(78.0, 2600.0, 210.0, 45.0),
    "fastball": pitch(92.0, 2300.0, 22.0, 14.0),
    "slider": pitch(84.0, 2450.0, 300.0, 65.0),
    "left-handed curve": pitch(77.0, 2500.0, 150.0, -40.0, side=1.9),
    "pushed by seams": pitch(86.0, 1900.0, 60.0, 25.0, seam_force=0.05, seam_clock=150.0),
}

#: Columns that are not measured (rows of the levers, or fields), by the name of the case.
SPIN, CLOCK, GYRO, ELEVATION, AZIMUTH = 1, 2, 3, 7, 8
HIDDEN: dict[str, tuple[int | str, ...]] = {
    "all": (),
    "efficiency, no launch": (GYRO, ELEVATION, AZIMUTH),
    "no efficiency": (GYRO, ELEVATION, AZIMUTH, "efficiency"),
    "no clock": (CLOCK, GYRO, ELEVATION, AZIMUTH),
    "neither": (CLOCK, GYRO, ELEVATION, AZIMUTH, "efficiency"),
    "movement from launch and arrival": (GYRO, "induced"),
    "no movement": (GYRO, ELEVATION, AZIMUTH, "induced"),
    "no spin rate": (SPIN, GYRO, ELEVATION, AZIMUTH),
}


@dataclass(frozen=True, eq=False)
class Bullpen:
    """A prepared pitch that can be thrown and measured again and again."""

    bundle: Bundle

    @property
    def mean(self) -> Array:
        """True mean levers, launch angles solved, shape (9,)."""
        levers: Array = self.bundle.mean.levers[:, 0]
        return levers

    def thrown(self, normals: Array) -> Observed:
        """Everything about throws from standard normal draws (9, n), without noise."""
        releases = self.bundle.releases(normals)
        levers = self.bundle.mean.levers + self.bundle.factor @ normals
        flown = self.bundle.flight.arrivals(releases, EXACT_STEPS)
        bare = self.bundle.flight.arrivals(without_spin(releases), EXACT_STEPS)
        place, speed = flown[[AT_X, AT_Z]], np.linalg.norm(flown[AT_VX : AT_VZ + 1], axis=0)
        return Observed(levers, np.abs(np.cos(levers[GYRO])), place, speed, place - bare[[AT_X, AT_Z]])


def bullpen(pitch: Pitch, conditions: Conditions = AIR) -> Bullpen:
    """Make a pitch ready."""
    return Bullpen(prepare(pitch, conditions))


def with_noise(observed: Observed, rng: np.random.Generator) -> Observed:
    """Measure throws with a realistic device, which shows no efficiency above 1."""

    def noise(like: Array, sd: float | Array) -> Array:
        return np.asarray(sd * rng.standard_normal(like.shape))

    return Observed(
        observed.levers + noise(observed.levers, LEVER_NOISE[:, None]),
        np.minimum(observed.efficiency + noise(observed.efficiency, EFFICIENCY_NOISE), 1.0),
        observed.arrival + noise(observed.arrival, ARRIVAL_NOISE),
        observed.arrival_speed + noise(observed.arrival_speed, ARRIVAL_SPEED_NOISE),
        observed.induced + noise(observed.induced, MOVEMENT_NOISE),
    )


def hidden(observed: Observed, columns: tuple[int | str, ...]) -> Observed:
    """The same throws without some columns."""
    levers = observed.levers.copy()
    levers[[column for column in columns if isinstance(column, int)]] = np.nan
    fields = {name: np.full_like(getattr(observed, name), np.nan) for name in columns if isinstance(name, str)}
    return replace(observed, levers=levers, **fields)


def every(observed: Observed, change: Callable[[Array], Array]) -> Observed:
    """Apply a change to the last axis, the throws, of every array."""
    return Observed(*(change(getattr(observed, name)) for name in observed.__dataclass_fields__))


def prior(pitch: Pitch, spread: Array = SPREAD) -> Prior:
    """A prior that knows the hand and nothing of the pitch."""
    return Prior(spread=spread, levers=np.full(9, np.nan), hand_sense=copysign(1.0, pitch.gyro))
