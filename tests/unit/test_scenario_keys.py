"""Every key of a scenario is accepted, in both its units, and means the same in both."""

import tomllib
from typing import Any

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.scenario import Scenario, from_mapping, parse
from latebreak.service.scenario.model import Air, Ball, Field, Hitter, Pitcher
from latebreak.service.scenario.pitch_entry import MeanError, PitchEntry, Spread, SpreadError

# Each key at least once over the three texts; keys that exclude each other stand in different texts.
FULL = """
title = "every key"
sport = "baseball"
seed = 7
throws = 4000
[air]
temperature_c = 24.0
humidity_percent = 55.0
altitude_m = 180.0
wind_to_plate_mph = 3.0
wind_to_right_mph = -2.0
[field]
rubber_to_plate_ft = 60.5
[ball]
mass_oz = 5.1
circumference_in = 9.1
drag_coefficient = 0.35
drag_law = "falling_drag"
lift_law = "power_lift"
lift_scale = 1.1
spin_decay_s = 25
[pitcher]
hand = "right"
level = "college"
age_years = 20
[pitch.fastball]
name = "Four-seam"
role = "fastball"
reference = true
speed_mph = 91.0
spin_rpm = 2250
break_clock = "12:50"
efficiency_percent = 95
gyro_sense = "reverse"
release_side_ft = -1.9
release_height_ft = 5.9
extension_ft = 6.2
target_side_ft = 0.1
target_height_ft = 2.6
seam_force = 0.05
seam_force_clock = "4:30"
drag_coefficient = 0.36
lift_scale = 0.95
[pitch.fastball.spread]
speed_mph = 1.0
spin_rpm = 70
break_clock_deg = 3
gyro_deg = 4
release_side_in = 1.1
release_height_in = 0.8
extension_in = 1.2
launch_elevation_deg = 0.8
launch_azimuth_deg = 0.7
drag_coefficient = 0.02
lift_scale = 0.05
seam_force = 0.01
[pitch.fastball.correlation]
"speed_mph:spin_rpm" = 0.4
[pitch.fastball.mean_error]
speed_mph = 0.3
spin_rpm = 20
break_clock_deg = 1
gyro_deg = 1.2
release_side_in = 0.3
release_height_in = 0.2
extension_in = 0.4
launch_elevation_deg = 0.2
launch_azimuth_deg = 0.2
drag_coefficient = 0.01
lift_scale = 0.05
seam_force = 0.01
[pitch.fastball.spread_error]
speed_mph = 0.2
spin_rpm = 15
break_clock_deg = 0.8
gyro_deg = 1
release_side_in = 0.2
release_height_in = 0.1
extension_in = 0.3
launch_elevation_deg = 0.2
launch_azimuth_deg = 0.1
[pitch.curve]
speed_mph = 76.0
spin_rpm = 2500
break_clock_deg = 210
gyro_deg = 40
release_side_ft = -1.8
release_height_ft = 6.0
extension_ft = 5.8
launch_elevation_deg = 1.5
launch_azimuth_deg = 2.0
seam_force = 0.02
seam_force_clock_deg = 135
[hitter]
bats = "left"
level = "professional"
familiarity = 0.6
commit_before_arrival_ms = 155
model = "one_glance"
eye_side_ft = 2.4
eye_height_ft = 5.0
eye_depth_ft = 1.0
zone_bottom_ft = 1.4
zone_top_ft = 3.4
balls = 1
strikes = 2
taught = {bat_gain = 0.9}
taught_factor = [0.02]
latency_ms = 110
view_start_ms = 20
noise_window_ms = 100
motion_lag_ms = 90
direction_noise_deg = 0.1
speed_noise_percent = 7
same_side_noise = 1.2
speed_scatter_percent = 3
line_efficiency = 0.06
bend_efficiency = 0.7
memory_error = 0.2
line_scatter_deg = 0.8
waiting_share = 0.5
spin_share = 0.8368
wanted_height_in = -0.2024
wanted_inside_in = 2.416
zone_blur_in = 9.784
swing_slope = 2.08
first_pitch_patience = 0.7879
bias_no_strikes = 0.8883
bias_one_strike = 1.781
bias_two_strikes = 2.622
bias_per_ball = 0.0681
correction_share = 0.7736
bat_gain = 0.8871
usual_height_in = 3.44
motor_height_in = 0.9959
motor_growth = 0.1833
motor_time_ms = 7
timing_window_ms = 30
lapse_percent = 2
[hitter.expects]
fastball = 0.6
curve = 0.4
"""

PRESSURE = FULL.replace("altitude_m = 180.0", "pressure_hpa = 990")
DENSITY = FULL.replace("temperature_c = 24.0\nhumidity_percent = 55.0\naltitude_m = 180.0", "density_kg_m3 = 1.15")


@pytest.mark.parametrize("text", [FULL, PRESSURE, DENSITY])
def test_a_file_with_every_key_is_read_without_warning(text: str) -> None:
    assert parse(text).warnings == ()


def test_the_texts_above_name_every_key_of_the_model() -> None:
    """Keeps the test above complete when a key is added."""
    tables = [tomllib.loads(text) for text in (FULL, PRESSURE, DENSITY)]
    named: dict[Any, Any] = {
        Scenario: [key for table in tables for key in table],
        Air: [key for table in tables for key in table["air"]],
        Field: tables[0]["field"],
        Ball: tables[0]["ball"],
        Pitcher: tables[0]["pitcher"],
        Hitter: [*tables[0]["hitter"], "file"],  # stands for `taught` in a file; refused where there is none
        Spread: tables[0]["pitch"]["fastball"]["spread"],
        MeanError: tables[0]["pitch"]["fastball"]["mean_error"],
        SpreadError: tables[0]["pitch"]["fastball"]["spread_error"],
        PitchEntry: [key for pitch in tables[0]["pitch"].values() for key in pitch],
    }
    # What was left out is filled in; the hitter's and the pitch's clock keys are known under their clock name too.
    for section, keys in named.items():
        assert {section.other_keys().get(key, key) for key in keys} == set(section.model_fields), section


def test_values_stand_where_the_file_puts_them() -> None:
    scenario = parse(FULL).scenario
    assert (scenario.seed, scenario.throws, scenario.title) == (7, 4000, "every key")
    assert scenario.pitch["fastball"].break_clock_deg == 25.0  # 12:50 = 50 min of half a degree
    assert scenario.pitch["fastball"].seam_force_clock_deg == 135.0  # 4:30
    assert scenario.pitch["fastball"].correlation == {"speed_mph:spin_rpm": 0.4}
    assert scenario.pitch["curve"].role == "breaking"
    assert scenario.hitter.bats == "left"
    assert scenario.hitter.expects == {"fastball": 0.6, "curve": 0.4}


# US value, US key, and the metric twin by the exact definitions of foot, inch, mile and ounce (NIST SP 811, 2008).
TWINS = [
    (Air, "wind_to_plate_mph", "wind_to_plate_kmh", 10.0, 16.09344),
    (Air, "wind_to_right_mph", "wind_to_right_kmh", 10.0, 16.09344),
    (Air, "temperature_c", "temperature_f", 25.0, 77.0),
    (Air, "altitude_m", "altitude_ft", 1609.344, 5280.0),
    (Field, "rubber_to_plate_ft", "rubber_to_plate_m", 60.5, 18.4404),
    (Ball, "mass_oz", "mass_g", 5.125, 145.291306015625),
    (Ball, "circumference_in", "circumference_cm", 9.0, 22.86),
    (PitchEntry, "speed_mph", "speed_kmh", 90.0, 144.84096),
    (PitchEntry, "release_side_ft", "release_side_m", -2.0, -0.6096),
    (PitchEntry, "release_height_ft", "release_height_m", 6.0, 1.8288),
    (PitchEntry, "extension_ft", "extension_m", 6.0, 1.8288),
    (PitchEntry, "target_side_ft", "target_side_m", 1.0, 0.3048),
    (PitchEntry, "target_height_ft", "target_height_m", 2.5, 0.762),
    (Spread, "speed_mph", "speed_kmh", 1.0, 1.609344),
    (Spread, "release_side_in", "release_side_cm", 1.0, 2.54),
    (Spread, "release_height_in", "release_height_cm", 1.0, 2.54),
    (Spread, "extension_in", "extension_cm", 1.0, 2.54),
    (MeanError, "speed_mph", "speed_kmh", 1.0, 1.609344),
    (MeanError, "release_side_in", "release_side_cm", 1.0, 2.54),
    (MeanError, "release_height_in", "release_height_cm", 1.0, 2.54),
    (MeanError, "extension_in", "extension_cm", 1.0, 2.54),
    (Hitter, "eye_side_ft", "eye_side_m", 2.5, 0.762),
    (Hitter, "eye_height_ft", "eye_height_m", 5.0, 1.524),
    (Hitter, "eye_depth_ft", "eye_depth_m", 1.0, 0.3048),
    (Hitter, "zone_bottom_ft", "zone_bottom_m", 1.5, 0.4572),
    (Hitter, "zone_top_ft", "zone_top_m", 3.5, 1.0668),
    (Hitter, "wanted_height_in", "wanted_height_cm", 2.0, 5.08),
    (Hitter, "wanted_inside_in", "wanted_inside_cm", 2.0, 5.08),
    (Hitter, "zone_blur_in", "zone_blur_cm", 2.0, 5.08),
    (Hitter, "usual_height_in", "usual_height_cm", 2.0, 5.08),
    (Hitter, "motor_height_in", "motor_height_cm", 2.0, 5.08),
]


@pytest.mark.parametrize(("section", "first", "other", "value", "twin_value"), TWINS)
def test_a_twin_means_the_same(section: type, first: str, other: str, value: float, twin_value: float) -> None:
    in_first, in_other = tomllib.loads(FULL), tomllib.loads(FULL)
    for mapping, key, amount in ((in_first, first, value), (in_other, other, twin_value)):
        table = _table(mapping, section)
        table.pop(first, None)
        table[key] = amount
    one = _table(from_mapping(in_first).scenario.model_dump(), section)[first]
    two = _table(from_mapping(in_other).scenario.model_dump(), section)[first]
    # a few roundings of double precision, on factors that are exact
    assert two == pytest.approx(one, rel=1e-14)


def test_the_table_of_twins_is_complete() -> None:
    clocks = {"break_clock", "seam_force_clock"}
    known = {(section, other) for section, _, other, _, _ in TWINS}
    sections = (Scenario, Air, Field, Ball, Pitcher, Hitter, PitchEntry, Spread, MeanError)
    assert known == {(section, other) for section in sections for other in section.other_keys() if other not in clocks}


def _table(mapping: dict[str, Any], section: type) -> Any:
    fastball = mapping["pitch"]["fastball"]
    tables: dict[Any, Any] = {
        Air: mapping["air"],
        Field: mapping["field"],
        Ball: mapping["ball"],
        Hitter: mapping["hitter"],
        PitchEntry: fastball,
        Spread: fastball["spread"],
        MeanError: fastball["mean_error"],
        SpreadError: fastball["spread_error"],
    }
    return tables[section]


@pytest.mark.parametrize(
    ("clock", "degrees"),
    [
        ("12:00", 0.0),
        ("3:00", 90.0),
        ("6:00", 180.0),
        ("9:00", 270.0),
        ("12:45", 22.5),
        ("01:15", 37.5),
        ("11:59", 359.5),
    ],
)
def test_clock_faces_are_degrees_from_twelve(clock: str, degrees: float) -> None:
    scenario = parse(FULL.replace('"12:50"', f'"{clock}"')).scenario
    assert scenario.pitch["fastball"].break_clock_deg == degrees


def test_both_units_at_once_are_a_fault_of_that_key() -> None:
    with pytest.raises(InputError) as caught:
        parse(FULL.replace("extension_ft = 6.2", "extension_ft = 6.2\nextension_m = 1.9"))
    (fault,) = caught.value.faults
    assert fault.where == "pitch.fastball.extension_m"
    assert "extension_ft" in fault.problem


def test_a_written_scenario_reads_back_equal() -> None:
    scenario = parse(FULL).scenario
    assert from_mapping(scenario.model_dump(exclude_none=True)).scenario == scenario


def test_whole_numbers_may_be_written_as_floats() -> None:
    assert parse(FULL.replace("throws = 4000", "throws = 4e3")).scenario.throws == 4000


@pytest.mark.parametrize("speed", [20.0, 120.0])
def test_a_throw_straight_up_or_beyond_any_pitcher_is_data(speed: float) -> None:
    text = FULL.replace("speed_mph = 76.0", f"speed_mph = {speed}").replace(
        "launch_elevation_deg = 1.5", "launch_elevation_deg = 90"
    )
    loaded = parse(text)
    assert loaded.scenario.pitch["curve"].speed_mph == speed
    assert any("pitch.curve.launch_elevation_deg: 90 deg is unusual" in warning for warning in loaded.warnings)
