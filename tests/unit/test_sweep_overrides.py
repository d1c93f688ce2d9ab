"""A what-if is the scenario with keys changed: every replacement gives the scenario that a user would have written."""

import copy
from typing import Any

import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.physical import air_density, signed_gyro
from latebreak.service.sweep.overrides import Overrides, with_overrides

BASE = starter()


def what_if(change: Overrides, base: dict[str, Any] = BASE) -> Any:
    """The scenario of a what-if, validated; the base must stay as it is."""
    before = copy.deepcopy(base)
    scenario = from_mapping(with_overrides(base, change)).scenario
    assert base == before
    return scenario


def with_curve(**keys: object) -> dict[str, Any]:
    """The base with other keys of the curve; None takes one away."""
    base = copy.deepcopy(BASE)
    curve = base["pitch"]["curve"]
    curve.update(keys)
    base["pitch"]["curve"] = {key: value for key, value in curve.items() if value is not None}
    return base


def test_nothing_changed() -> None:
    assert what_if({}) == from_mapping(BASE).scenario


def test_plain_keys_at_every_depth() -> None:
    change: Overrides = {
        "throws": 77,
        "pitcher.hand": "left",
        "field.rubber_to_plate_ft": 46.0,
        "pitch.curve.speed_mph": 71.5,
        "pitch.curve.spread.speed_mph": 0.25,
        "hitter.familiarity": 1,
        "pitch.curve.break_clock": "6:30",
    }
    found = what_if(change)
    assert (found.throws, found.pitcher.hand, found.field.rubber_to_plate_ft) == (77, "left", 46.0)
    assert (found.pitch["curve"].speed_mph, found.pitch["curve"].spread.speed_mph) == (71.5, 0.25)
    assert (found.hitter.familiarity, found.pitch["curve"].break_clock_deg) == (1.0, 195.0)
    assert found.pitch["fastball"] == from_mapping(BASE).scenario.pitch["fastball"]


def test_a_second_unit_replaces_the_first_and_back() -> None:
    # km in a mile: 1.609344, exact
    assert what_if({"pitch.curve.speed_kmh": 112.65408}).pitch["curve"].speed_mph == pytest.approx(70.0, rel=1e-12)
    metric = with_curve(speed_mph=None, speed_kmh=119.0, break_clock=None, break_clock_deg=200.0)
    found = what_if({"pitch.curve.speed_mph": 70.0, "pitch.curve.break_clock": "7:00"}, metric).pitch["curve"]
    assert (found.speed_mph, found.break_clock_deg) == (70.0, 210.0)


def test_efficiency_and_gyro_angle_replace_each_other() -> None:
    found = what_if({"pitch.curve.gyro_deg": -20.0}, with_curve(gyro_sense="reverse")).pitch["curve"]
    assert (found.gyro_deg, found.efficiency_percent, found.gyro_sense) == (-20.0, None, None)
    found = what_if({"pitch.curve.efficiency_percent": 80.0}, with_curve(gyro_sense="reverse")).pitch["curve"]
    assert (found.gyro_deg, found.efficiency_percent, found.gyro_sense) == (None, 80.0, "reverse")


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("gyro", [-30.0, 30.0])
def test_an_efficiency_keeps_the_sense_of_the_spiral(hand: str, gyro: float) -> None:
    base = with_curve(efficiency_percent=None, gyro_deg=gyro)
    found = what_if({"pitch.curve.efficiency_percent": 80.0, "pitcher.hand": hand}, base)
    assert signed_gyro(found.pitch["curve"], hand) * gyro > 0.0  # type: ignore[arg-type]


def test_altitude_pressure_and_density_replace_each_other() -> None:
    base = BASE | {"air": {"temperature_c": 30.0, "humidity_percent": 20.0, "altitude_ft": 5000.0}}
    found = what_if({"air.pressure_hpa": 900.0}, base).air
    assert (found.altitude_m, found.pressure_hpa, found.temperature_c) == (None, 900.0, 30.0)
    found = what_if({"air.density_kg_m3": 1.1}, base).air
    assert air_density(found) == 1.1
    assert (found.temperature_c, found.humidity_percent, found.altitude_m) == (None, None, None)
    dense = BASE | {"air": {"density_kg_m3": 1.1, "wind_to_plate_mph": 3.0}}
    found = what_if({"air.altitude_m": 1000.0}, dense).air
    # temperature and humidity are then those of a file that says nothing of them
    assert (found.altitude_m, found.density_kg_m3, found.temperature_c, found.wind_to_plate_mph) == (
        1000.0, None, 20.0, 3.0,
    )  # fmt: skip


def test_launch_angles_replace_a_target() -> None:
    change = {"pitch.curve.launch_elevation_deg": 1.0, "pitch.curve.launch_azimuth_deg": 1.5}
    found = what_if(change).pitch["curve"]
    assert (found.launch_elevation_deg, found.launch_azimuth_deg, found.target_side_ft) == (1.0, 1.5, None)
    with pytest.raises(InputError, match=r"launch_azimuth_deg: missing"):
        what_if({"pitch.curve.launch_elevation_deg": 1.0})


def test_a_table_that_the_file_does_not_have() -> None:
    base = {key: value for key, value in BASE.items() if key != "air"}
    assert what_if({"air.altitude_m": 1600.0}, base).air.altitude_m == 1600.0
    pair = 'pitch.curve.correlation."speed_mph:spin_rpm"'
    assert what_if({pair: 0.4}).pitch["curve"].correlation == {"speed_mph:spin_rpm": 0.4}
    other = with_curve(correlation={"spin_rpm:speed_mph": -0.1})
    assert what_if({pair: 0.4}, other).pitch["curve"].correlation == {"speed_mph:spin_rpm": 0.4}


def test_the_pitches_that_are_not_swept_share_the_rest() -> None:
    base = copy.deepcopy(BASE)
    base["pitch"]["slider"] = base["pitch"]["curve"]
    # by default fastballs 0.6, the others evenly
    assert what_if({"hitter.expects.fastball": 0.4}, base).hitter.expects == pytest.approx(
        {"fastball": 0.4, "curve": 0.3, "slider": 0.3}, abs=1e-12
    )
    base["hitter"] = {"expects": {"fastball": 0.5, "curve": 0.4, "slider": 0.1}}
    assert what_if({"hitter.expects.fastball": 0.75}, base).hitter.expects == pytest.approx(
        {"fastball": 0.75, "curve": 0.2, "slider": 0.05}, abs=1e-12
    )
    all_three: Overrides = {f"hitter.expects.{name}": 1 / 3 for name in ("fastball", "curve", "slider")}
    assert sum(what_if(all_three, base).hitter.expects.values()) == pytest.approx(1.0, abs=1e-12)
    for share, words in ((1.25, "1.25"), ("most", "'most'")):
        with pytest.raises(InputError, match=words):
            what_if({"hitter.expects.fastball": share}, base)


def test_keys_that_exclude_each_other_are_at_fault_together() -> None:
    with pytest.raises(InputError, match="say the same thing or exclude each other"):
        with_overrides(BASE, {"pitch.curve.gyro_deg": 10.0, "pitch.curve.efficiency_percent": 90.0})
