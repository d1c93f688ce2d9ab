"""From a scenario, in trade units, to the engine's conditions and pitches, in SI units and radians."""

from __future__ import annotations

from math import acos, copysign

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air import ball as flight_ball
from latebreak.engine.air.atmosphere import standard_pressure
from latebreak.engine.air.density import moist_air_density
from latebreak.engine.laws.registry import force_law
from latebreak.engine.pitch import pitch as flight_pitch
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, OUNCE, RPM
from latebreak.service.scenario.correlations import correlation_matrix
from latebreak.service.scenario.model import Air, Scenario
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry, Spread, SpreadError
from latebreak.service.scenario.section import Hand

CELSIUS_ZERO = 273.15  # K, exact by definition of the Celsius scale
HECTOPASCAL = 100.0  # Pa, exact

#: m/s and 1: where a drag law is held against a drag coefficient of the file (chosen: 89 mph with the spin parameter
#: of an ordinary fastball).
DRAG_SPEED, DRAG_SPIN_PARAMETER = 40.0, 0.2

#: SI unit of each spread key, in the order of `pitch.LEVERS`: m/s, rad/s, rad, rad, m, m, m, rad, rad.
LEVER_UNITS: NDArray[np.float64] = np.array([Spread.ranges()[key].unit.si for key in SPREAD_KEYS])


def conditions(scenario: Scenario) -> flight_ball.Conditions:
    """Return the air, field, ball and force laws of a scenario."""
    ball = scenario.ball
    return flight_ball.Conditions(
        air_density=air_density(scenario.air),
        wind_to_right=scenario.air.wind_to_right_mph * MPH,
        wind_to_plate=scenario.air.wind_to_plate_mph * MPH,
        rubber_to_plate=scenario.field.rubber_to_plate_ft * FOOT,
        ball=flight_ball.Ball(ball.mass_oz * OUNCE, ball.circumference_in * INCH, ball.spin_decay_s),
        lift_law=ball.lift_law,
        drag_law=ball.drag_law,
    )


def pitches(scenario: Scenario) -> dict[str, flight_pitch.Pitch]:
    """Return every pitch of a scenario, by name, in the order of the file.

    Raises
    ------
    InputError
        The scenario names a force law that is not registered here.
    """
    return {name: physical_pitch(scenario, entry) for name, entry in scenario.pitch.items()}


def air_density(air: Air) -> float:
    """Return the density of the air in kg/m3: as given, or of moist air at its temperature and pressure."""
    if air.density_kg_m3 is not None:
        return air.density_kg_m3
    # An air without density always has both: they are filled in when the scenario is read.
    assert air.temperature_c is not None
    assert air.humidity_percent is not None
    pressure = standard_pressure(air.altitude_m or 0.0) if air.pressure_hpa is None else air.pressure_hpa * HECTOPASCAL
    return moist_air_density(air.temperature_c + CELSIUS_ZERO, pressure, air.humidity_percent / 100.0)


def signed_gyro(entry: PitchEntry, hand: Hand) -> float:
    """Return the gyro angle in rad, positive = clockwise as seen from behind the ball.

    An efficiency tells the size of the angle only, efficiency = |cos(gyro)|; its sense is then clockwise for
    right-handers and counter-clockwise for left-handers, unless the entry reverses it.
    """
    if entry.efficiency_percent is None:
        assert entry.gyro_deg is not None  # a scenario has one of the two
        return entry.gyro_deg * DEGREE
    sense = (1.0 if hand == "right" else -1.0) * (-1.0 if entry.gyro_sense == "reverse" else 1.0)
    return copysign(acos(entry.efficiency_percent / 100.0), sense)


def in_lever_order(quantities: Spread | SpreadError) -> NDArray[np.float64]:
    """Return standard deviations or standard errors in SI units.

    Returns
    -------
    float64 array, shape (9,)
        In the order of `pitch.LEVERS` (m/s, rad/s, rad, rad, m, m, m, rad, rad); 0 where not measured.
    """
    values: list[float] = [getattr(quantities, key) or 0.0 for key in SPREAD_KEYS]
    return np.multiply(values, LEVER_UNITS)


def drag_scale(law: str, drag_coefficient: float | None) -> float:
    """Return the factor that brings a drag law to a drag coefficient at 40 m/s and S = 0.2; 1 where none is given."""
    if drag_coefficient is None:
        return 1.0
    at_reference = force_law(law).function(np.array([DRAG_SPEED]), np.array([DRAG_SPIN_PARAMETER]))
    return drag_coefficient / float(at_reference[0])


def physical_pitch(scenario: Scenario, entry: PitchEntry) -> flight_pitch.Pitch:
    """Return one pitch as this scenario's pitcher would throw it.

    Raises
    ------
    InputError
        The scenario names a drag law that is not registered here.
    """
    ball = scenario.ball
    drag_coefficient = ball.drag_coefficient if entry.drag_coefficient is None else entry.drag_coefficient
    return flight_pitch.Pitch(
        speed=entry.speed_mph * MPH,
        spin_rate=entry.spin_rpm * RPM,
        break_clock=entry.break_clock_deg * DEGREE,
        gyro=signed_gyro(entry, scenario.pitcher.hand),
        release_side=entry.release_side_ft * FOOT,
        release_height=entry.release_height_ft * FOOT,
        extension=entry.extension_ft * FOOT,
        aim=_aim(entry),
        seam_force=entry.seam_force,
        seam_clock=(entry.seam_force_clock_deg or 0.0) * DEGREE,
        drag_scale=drag_scale(ball.drag_law, drag_coefficient),
        lift_scale=ball.lift_scale if entry.lift_scale is None else entry.lift_scale,
        spread=flight_pitch.Spread(
            in_lever_order(entry.spread),
            correlation_matrix(entry.correlation),
            drag_scale(ball.drag_law, entry.spread.drag_coefficient),
            entry.spread.lift_scale,
            entry.spread.seam_force,
        ),
    )


def _aim(entry: PitchEntry) -> flight_pitch.Target | flight_pitch.Launch:
    if entry.target_side_ft is not None and entry.target_height_ft is not None:
        return flight_pitch.Target(entry.target_side_ft * FOOT, entry.target_height_ft * FOOT)
    assert entry.launch_elevation_deg is not None  # a scenario has either both targets
    assert entry.launch_azimuth_deg is not None  # or both launch angles
    return flight_pitch.Launch(entry.launch_elevation_deg * DEGREE, entry.launch_azimuth_deg * DEGREE)
