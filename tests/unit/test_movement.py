"""Where movement comes from: the causes add up, each is what it is alone."""

from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.bundle.movement import CAUSES, movements
from latebreak.engine.flight.kernel import AT_X, AT_Z, VX, VY, VZ, X, Y, Z
from latebreak.engine.units import FOOT, INCH, MPH
from latebreak.service import questions as ask
from latebreak.service.judging.setting import settle
from latebreak.service.scenario import Scenario, from_mapping


def scenario(ball: dict[str, Any] | None = None, **curve: Any) -> Scenario:
    tables = starter()
    tables["pitch"]["curve"] |= curve
    tables["ball"] = ball or {}
    return from_mapping(tables).scenario


def split(source: Scenario, name: str = "curve") -> dict[str, np.ndarray]:
    setting = settle(source, None, 100)
    return dict(zip(CAUSES, movements(prepare(setting.pitches[name], setting.conditions)), strict=True))


def test_the_causes_add_up_to_the_way_from_the_straight_line() -> None:
    setting = settle(scenario(seam_force=0.05, seam_force_clock="9:00"), None, 100)
    bundle = prepare(setting.pitches["curve"], setting.conditions)
    release = bundle.mean.releases()
    arrival = bundle.flight.arrivals(release)
    time = (release[Y] - bundle.flight.plate) / -release[VY]
    straight = np.array([release[Z] + release[VZ] * time, release[X] + release[VX] * time])[:, 0]
    whole = movements(bundle).sum(axis=0)
    assert whole == pytest.approx(arrival[[AT_Z, AT_X], 0] - straight, abs=1e-12)


def test_gravity_is_free_fall_over_the_time_without_drag() -> None:
    """Half g t^2, with g = 9.80665 m/s^2 (standard gravity, exact) and t = distance over speed."""
    tables = starter()
    for key in ("target_side_ft", "target_height_ft"):
        del tables["pitch"]["curve"][key]
    tables["pitch"]["curve"] |= {"launch_elevation_deg": 0.0, "launch_azimuth_deg": 0.0}
    level = from_mapping(tables).scenario
    found = split(level)["gravity"]
    entry = level.pitch["curve"]
    distance = (60.5 - entry.extension_ft) * FOOT - 17.0 * INCH  # to the front of the plate, 17 in before its point
    time = distance / (entry.speed_mph * MPH)
    assert found[0] == pytest.approx(-0.5 * 9.80665 * time**2, rel=1e-6)
    assert found[1] == 0.0


def test_what_is_not_there_moves_nothing() -> None:
    plain = split(scenario())
    assert plain["seams"] == pytest.approx([0.0, 0.0], abs=1e-12)
    still = split(scenario(spin_rpm=0))
    assert still["spin"] == pytest.approx([0.0, 0.0], abs=1e-12)
    assert still["drag"][0] < 0.0  # a slower ball falls longer
    thin = split(scenario(ball={"drag_coefficient": 0.2}))
    thick = split(scenario(ball={"drag_coefficient": 0.4}))
    assert thick["drag"][0] < thin["drag"][0] < 0.0


def test_spin_and_seams_are_the_induced_break() -> None:
    """Of a pitch that hardly scatters, the mean over throws is the mean pitch's to a hundredth of an inch."""
    steady = dict.fromkeys(("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in"), 0.0)
    steady |= dict.fromkeys(("release_height_in", "extension_in", "launch_elevation_deg", "launch_azimuth_deg"), 0.0)
    found = ask.fly(scenario(spread=steady, seam_force=0.03, seam_force_clock="6:00"), throws=200)
    pitch = found.result.pitches["curve"]
    for way, key in (("vertical_in", "induced_vertical_break_in"), ("side_in", "induced_side_break_in")):
        total = sum(getattr(pitch.movement[cause], way) for cause in ("spin", "seams"))
        mean = pitch.quantities[key].mean
        assert mean is not None
        assert total == pytest.approx(mean, abs=0.3)  # balls differ from throw to throw, in lift among other things
    assert found.to_dict()["result"]["pitches"]["curve"]["movement"]["seams"]["vertical_in"] < 0.0
