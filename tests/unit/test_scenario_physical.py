"""From trade units to the engine's SI units: by hand for every quantity of a pitch."""

from math import acos, cos, pi

import numpy as np
import pytest
from starters import starter

from latebreak.engine.air.density import moist_air_density
from latebreak.engine.laws.registry import force_law
from latebreak.engine.pitch.pitch import LEVERS, Launch, Pitch, Target
from latebreak.service.scenario import Scenario, from_mapping, physical


def curve_with(hand: str = "right", **keys: object) -> tuple[Scenario, Pitch]:
    mapping = starter()
    mapping["pitcher"]["hand"] = hand
    curve = mapping["pitch"]["curve"] | keys
    if "gyro_deg" in keys:
        del curve["efficiency_percent"]
    mapping["pitch"]["curve"] = curve
    scenario = from_mapping(mapping).scenario
    return scenario, physical.pitches(scenario)["curve"]


def test_a_pitch_in_si_units() -> None:
    """Foot, mile and turn by definition: 75 mph = 33.528 m/s, 2400 rpm = 80 pi rad/s, 7:00 = 210 deg."""
    _, pitch = curve_with(speed_mph=75.0, spin_rpm=2400, release_side_ft=-2.0, release_height_ft=6.0, extension_ft=5.0)
    assert pitch.speed == pytest.approx(33.528, rel=1e-15)
    assert pitch.spin_rate == pytest.approx(80 * pi, rel=1e-15)
    assert pitch.break_clock == pytest.approx(210 / 180 * pi, rel=1e-15)
    assert (pitch.release_side, pitch.release_height, pitch.extension) == pytest.approx((-0.6096, 1.8288, 1.524))
    assert pitch.aim == Target(0.3 * 0.3048, 1.8 * 0.3048)


@pytest.mark.parametrize(
    ("hand", "sense", "sign"),
    [("right", None, 1), ("left", None, -1), ("right", "reverse", -1), ("left", "reverse", 1)],
)
def test_an_efficiency_becomes_a_signed_gyro_angle(hand: str, sense: str | None, sign: int) -> None:
    keys = {"gyro_sense": sense} if sense else {}
    _, pitch = curve_with(hand, efficiency_percent=70, **keys)
    assert pitch.gyro == pytest.approx(sign * acos(0.7), rel=1e-15)
    assert abs(cos(pitch.gyro)) == pytest.approx(0.7, rel=1e-15)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_gyro_angle_keeps_its_own_sign(hand: str) -> None:
    _, pitch = curve_with(hand, gyro_deg=-30)
    assert pitch.gyro == pytest.approx(-pi / 6, rel=1e-15)


def test_the_ends_of_efficiency() -> None:
    assert curve_with(efficiency_percent=100)[1].gyro == 0.0
    assert curve_with(efficiency_percent=0)[1].gyro == pytest.approx(pi / 2, rel=1e-15)


def test_launch_angles_instead_of_a_target() -> None:
    mapping = starter()
    curve = mapping["pitch"]["curve"]
    del curve["target_side_ft"], curve["target_height_ft"]
    curve |= {"launch_elevation_deg": 90, "launch_azimuth_deg": -1.8}
    pitch = physical.pitches(from_mapping(mapping).scenario)["curve"]
    assert isinstance(pitch.aim, Launch)
    assert (pitch.aim.elevation, pitch.aim.azimuth) == pytest.approx((pi / 2, -pi / 100), rel=1e-15)


def test_seam_force_and_its_clock() -> None:
    _, pitch = curve_with(seam_force=0.04, seam_force_clock="3:00")
    assert (pitch.seam_force, pitch.seam_clock) == (0.04, pytest.approx(pi / 2, rel=1e-15))


def test_spread_and_correlation_in_the_order_of_the_engine() -> None:
    spread = {
        "speed_mph": 1.0, "spin_rpm": 60.0, "break_clock_deg": 1.8, "gyro_deg": 3.6, "release_side_in": 1.0,
        "release_height_in": 2.0, "extension_in": 3.0, "launch_elevation_deg": 0.9, "launch_azimuth_deg": 0.45,
    }  # fmt: skip
    scenario, pitch = curve_with(
        spread=spread, correlation={"spin_rpm:extension_in": -0.3}, mean_error={"extension_in": 4.0}
    )
    expected = [0.44704, 2 * pi, pi / 100, pi / 50, 0.0254, 0.0508, 0.0762, pi / 200, pi / 400]
    np.testing.assert_allclose(pitch.spread.standard_deviations, expected, rtol=1e-14)
    correlation = np.eye(9)
    row, column = LEVERS.index("spin_rate"), LEVERS.index("extension")
    correlation[row, column] = correlation[column, row] = -0.3
    np.testing.assert_array_equal(pitch.spread.correlation, correlation)
    errors = physical.in_lever_order(scenario.pitch["curve"].mean_error)
    np.testing.assert_allclose(errors, [0.1016 if lever == "extension" else 0.0 for lever in LEVERS], rtol=1e-14)


def test_drag_scale_brings_the_law_to_the_given_coefficient() -> None:
    """At 40 m/s and S = 0.2, where the file's coefficient is held against the law (chosen)."""
    for law in ("constant_drag", "falling_drag"):
        mapping = starter() | {"ball": {"drag_law": law, "drag_coefficient": 0.38}}
        scale = physical.pitches(from_mapping(mapping).scenario)["curve"].drag_scale
        assert scale * force_law(law).function(np.array([40.0]), np.array([0.2]))[0] == pytest.approx(0.38, rel=1e-14)
        mapping["ball"].pop("drag_coefficient")
        assert physical.pitches(from_mapping(mapping).scenario)["curve"].drag_scale == 1.0


def test_a_pitch_overrides_the_ball() -> None:
    mapping = starter() | {"ball": {"drag_coefficient": 0.38, "lift_scale": 1.2}}
    mapping["pitch"]["curve"] |= {"drag_coefficient": 0.33, "lift_scale": 0.9}
    pitches = physical.pitches(from_mapping(mapping).scenario)
    assert pitches["fastball"].lift_scale == 1.2
    assert pitches["curve"].lift_scale == 0.9
    assert pitches["curve"].drag_scale / pitches["fastball"].drag_scale == pytest.approx(0.33 / 0.38, rel=1e-14)


def test_conditions_in_si_units() -> None:
    mapping = starter()
    mapping["air"] |= {"wind_to_plate_mph": 10, "wind_to_right_mph": -5}
    mapping["field"]["rubber_to_plate_ft"] = 46
    mapping["ball"] = {"mass_oz": 5.0, "circumference_in": 9.0, "spin_decay_s": 20, "lift_law": "power_lift"}
    conditions = physical.conditions(from_mapping(mapping).scenario)
    assert (conditions.wind_to_plate, conditions.wind_to_right) == pytest.approx((4.4704, -2.2352), rel=1e-14)
    assert conditions.rubber_to_plate == pytest.approx(14.0208, rel=1e-14)
    assert (conditions.ball.mass, conditions.ball.circumference) == pytest.approx((0.141747615625, 0.2286), rel=1e-14)
    assert (conditions.ball.spin_decay_time, conditions.lift_law) == (20.0, "power_lift")


@pytest.mark.parametrize(
    ("air", "temperature", "pressure", "humidity"),
    [
        ({}, 293.15, 101325.0, 0.5),
        ({"temperature_f": 86, "humidity_percent": 20}, 303.15, 101325.0, 0.2),
        # 5,000 ft of the standard atmosphere: 843.07 hPa (ISO 2533, value from memory), given there to 0.01 hPa
        ({"altitude_ft": 5000}, 293.15, 84307.0, 0.5),
        ({"pressure_hpa": 990}, 293.15, 99000.0, 0.5),
    ],
)  # fmt: skip
def test_the_density_of_the_air(air: dict, temperature: float, pressure: float, humidity: float) -> None:
    mapping = starter() | {"air": air}
    density = physical.conditions(from_mapping(mapping).scenario).air_density
    assert density == pytest.approx(moist_air_density(temperature, pressure, humidity), rel=2e-5)


def test_a_given_density_is_taken_as_it_is() -> None:
    mapping = starter() | {"air": {"density_kg_m3": 1.05}}
    assert physical.conditions(from_mapping(mapping).scenario).air_density == 1.05
