"""Where to aim: the scatter and the target both count."""

from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service.questions.aim import AimResult, aim
from latebreak.service.questions.compare import compare
from latebreak.service.questions.target_search import BALL
from latebreak.service.scenario import Scenario, from_mapping

THROWS = 2000
SPREAD = ("launch_elevation_deg", "launch_azimuth_deg", "release_side_in", "release_height_in")


def scenario(scatter: float = 1.0, **curve: Any) -> Scenario:
    """The starter's pitcher; `scatter` scales where his curve goes."""
    tables = starter()
    plain = from_mapping(tables).scenario
    spread = {key: scatter * getattr(plain.pitch["curve"].spread, key) for key in SPREAD}
    tables["pitch"]["curve"] |= {"spread": spread, **curve}
    return from_mapping(tables).scenario


def aimed(result: AimResult) -> tuple[float, float]:
    return result.best.target_side_ft, result.best.target_height_ft


def test_zone_is_hit_most_where_it_is_widest() -> None:
    """Known answer: the share in the zone is largest for the middle of it. (A law of geometry.)"""
    plain = scenario()
    result = aim(plain, pitch="curve", measure="ball_percent", throws=THROWS, intervals=False).result
    # balls are pitches taken outside the zone: fewest near its middle, within a ball's width and a half
    side, height = aimed(result)
    assert abs(side) < 1.5 * BALL
    assert abs(height - 2.5) < 3.0 * BALL
    assert result.gain.value <= 0.0  # fewer


def test_what_it_says_is_what_compare_says_of_a_pitch_aimed_there() -> None:
    plain = scenario()
    result = aim(plain, pitch="curve", throws=THROWS).result
    assert result.measure == "strike_without_contact_percent"
    for target in (result.now, result.best):
        there = scenario(target_side_ft=target.target_side_ft, target_height_ft=target.target_height_ft)
        own = compare(there, throws=THROWS).result.pitches["curve"][result.measure]
        # flown beside other targets the force laws are fitted over a wider range: a thousandth of a point
        assert target.estimate.value == pytest.approx(own.value, abs=0.01)
        assert target.estimate.low == pytest.approx(own.low, abs=0.1)
    assert result.gain.value == pytest.approx(result.best.estimate.value - result.now.estimate.value)


def test_no_place_of_the_grid_is_better_beyond_sampling_error() -> None:
    result = aim(scenario(), pitch="curve", throws=THROWS, intervals=False).result
    values = np.array([place.value for place in result.grid], dtype=float)
    assert values.max() <= result.best.estimate.value + 3.0 * 2.0 * result.best.estimate.sampling_error
    assert result.best.estimate.value >= result.now.estimate.value
    for change in result.away.values():
        assert change.value <= 0.0  # none of the four neighbours is better
    heights = {place.target_height_ft for place in result.grid}
    steps = np.diff(sorted(heights))
    assert steps == pytest.approx(BALL)


def test_who_scatters_less_gains_more_from_an_edge_and_loses_more_beside_it() -> None:
    """Common practice, no source: command is worth something."""
    steady, wild = (
        aim(scenario(scatter), pitch="curve", throws=THROWS, intervals=False).result for scatter in (0.4, 1.6)
    )
    assert steady.best.estimate.value > wild.best.estimate.value + 3.0 * np.hypot(
        steady.best.estimate.sampling_error, wild.best.estimate.sampling_error
    )


def test_a_pitch_given_by_launch_angles_is_aimed_where_it_arrives() -> None:
    tables = starter()
    curve = tables["pitch"]["curve"]
    del curve["target_side_ft"], curve["target_height_ft"]
    tables["pitch"]["curve"] |= {"launch_elevation_deg": 1.5, "launch_azimuth_deg": 1.5}
    launched = from_mapping(tables).scenario
    result = aim(launched, pitch="curve", throws=500, intervals=False).result
    own = compare(launched, throws=500, intervals=False).result.pitches["curve"][result.measure]
    assert result.now.estimate.value == pytest.approx(own.value, abs=0.05)


def test_what_ever_farther_out_is_better_stops_at_the_edge_and_says_so() -> None:
    answer = aim(scenario(), pitch="curve", measure="miss_chance_percent", throws=500, intervals=False)
    assert any("edge of what is searched" in warning for warning in answer.warnings)
    inside = [place.target_side_ft for place in answer.result.grid]
    assert min(inside) <= answer.result.best.target_side_ft <= max(inside)


def test_faults_are_told_at_once() -> None:
    with pytest.raises(InputError) as caught:
        aim(scenario(), pitch="nobody", measure="zone_percent", throws=10)
    assert [fault.where for fault in caught.value.faults] == ["pitch", "measure"]


def test_no_place_around_the_best_is_shown_as_better() -> None:
    """What a reader sees beside the best comes from all throws, as the best does."""
    found = aim("gyro-curve", pitch="curve_clean", throws=2000, intervals=False).result
    best = found.best
    around = [
        place.value
        for place in found.grid
        if max(
            abs(place.target_side_ft - best.target_side_ft), abs(place.target_height_ft - best.target_height_ft)
        ) < 1.5 * BALL and place.value is not None
    ]  # fmt: skip
    assert len(around) == 9
    assert max(around) <= best.estimate.value + 1e-9
