"""A pitch as it can be drawn: held against the engine's promises, plain trigonometry, and the other questions."""

import json
from functools import cache
from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.service.questions import Answer, PortraitResult, compare, fly, portray
from latebreak.service.questions.portrait import Portrait, Track
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.ready import ready_names

READY = ready_names()


@cache
def portrait_of(name: str) -> Answer[PortraitResult]:
    return portray(name, throws=2000)


def tracks(portrait: Portrait) -> list[Track]:
    return [portrait.thrown, portrait.beside]


@pytest.mark.parametrize("name", READY)
def test_every_ready_scenario_can_be_drawn(name: str) -> None:
    answer = portrait_of(name)
    assert list(answer.result.pitches) == list(compare(name, throws=64, intervals=False).result.pitches)
    json.dumps(answer.to_dict(), allow_nan=False)


@pytest.mark.parametrize("name", READY)
def test_tracks_go_from_the_hand_to_the_plate(name: str) -> None:
    for portrait in portrait_of(name).result.pitches.values():
        for track in tracks(portrait):
            assert track.time_ms[0] == 0.0
            np.testing.assert_allclose(np.diff(track.time_ms)[:-1], 4.0, rtol=1e-9)
            assert np.all(np.diff(track.from_plate_ft) < 0.0)
            assert track.from_plate_ft[-1] == pytest.approx(0.0, abs=1e-4)  # the path is interpolated in time
            assert np.all(np.diff(track.radius_deg) > 0.0) or name == "youth-46ft"


@pytest.mark.parametrize("name", READY)
def test_angles_are_those_of_plain_trigonometry(name: str) -> None:
    result = portrait_of(name).result
    side, height, behind = result.eye_ft
    for portrait in result.pitches.values():
        for track in tracks(portrait):
            right, ahead, up = track.side_ft - side, track.from_plate_ft + behind, track.height_ft - height
            level = np.sqrt(right**2 + ahead**2)
            np.testing.assert_allclose(track.right_deg, np.degrees(np.arctan(right / ahead)), atol=1e-9)
            np.testing.assert_allclose(track.up_deg, np.degrees(np.arctan(up / level)), atol=1e-9)
            radius_ft = 9.125 / (2.0 * np.pi) / 12.0  # the default ball, 9.125 in around
            sine = radius_ft / np.sqrt(level**2 + up**2)
            np.testing.assert_allclose(track.radius_deg, np.degrees(np.arcsin(sine)), rtol=1e-9)


def test_the_mean_pitch_arrives_at_its_target() -> None:
    result = portray(from_mapping(starter()), throws=64).result
    entry = from_mapping(starter()).scenario.pitch
    for track, aimed in ((result.pitches["curve"].thrown, "curve"), (result.pitches["curve"].beside, "fastball")):
        # aim is promised to a tenth of an inch
        assert track.side_ft[-1] == pytest.approx(entry[aimed].target_side_ft, abs=0.1 / 12.0)
        assert track.height_ft[-1] == pytest.approx(entry[aimed].target_height_ft, abs=0.1 / 12.0)


def test_a_mirrored_game_is_drawn_in_a_mirror() -> None:
    """Left for right: hand, clock, sides, box."""

    def mirrored(mapping: dict[str, Any]) -> dict[str, Any]:
        mapping["pitcher"]["hand"] = "left"
        mapping.setdefault("hitter", {})["bats"] = "left"
        for entry in mapping["pitch"].values():
            hours, minutes = (int(part) for part in entry.pop("break_clock").split(":"))
            entry["break_clock_deg"] = -(30.0 * (hours % 12) + 0.5 * minutes) % 360.0
            entry["release_side_ft"] *= -1.0
            entry["target_side_ft"] = -entry.get("target_side_ft", 0.0)
        return mapping

    mapping = starter()
    mapping.setdefault("hitter", {})["bats"] = "right"
    one = portray(from_mapping(mapping), throws=64).result
    other = portray(from_mapping(mirrored(starter())), throws=64).result
    assert other.eye_ft == (-one.eye_ft[0], *one.eye_ft[1:])
    for name, portrait in one.pitches.items():
        for here, there in zip(tracks(portrait), tracks(other.pitches[name]), strict=True):
            # laws are fitted on draws that are not mirrored: a hundredth of the radius of the ball at release
            np.testing.assert_allclose(there.time_ms, here.time_ms, atol=1e-3)
            np.testing.assert_allclose(there.right_deg, -here.right_deg, atol=1e-3)
            np.testing.assert_allclose(there.up_deg, here.up_deg, atol=1e-3)


@pytest.mark.parametrize("name", READY)
def test_what_is_believed_adds_up(name: str) -> None:
    for portrait in portrait_of(name).result.pitches.values():
        belief = portrait.belief
        assert belief.types[0] == portrait.fastball
        assert portrait.name in belief.types
        np.testing.assert_allclose(belief.mean.sum(axis=0), 100.0, rtol=1e-9)
        assert np.all((belief.low <= belief.high) & (belief.low >= 0.0) & (belief.high <= 100.0))
        assert belief.time_ms[-1] < portrait.thrown.time_ms[-1]


def test_before_much_is_seen_the_shares_are_believed() -> None:
    """The first look is 10 ms old; on average it moves nobody by a point."""
    expecting = starter() | {"hitter": {"expects": {"fastball": 0.7, "curve": 0.3}}}
    portrait = portray(from_mapping(expecting), throws=64).result.pitches["curve"]
    np.testing.assert_allclose(portrait.belief.mean[:, 0], [70.0, 30.0], atol=1.0)


@pytest.mark.parametrize("name", ["two-grips", "staff", "left-eleven-to-five", "youth-46ft"])
def test_expectation_and_belief_agree_with_compare(name: str) -> None:
    """The portrait looks at the first 512 of compare's throws, so they agree within sampling errors: here four."""
    found = compare(name, throws=2000, intervals=False).result.pitches
    for pitch, portrait in portrait_of(name).result.pitches.items():
        estimates, expected = found[pitch], portrait.expectation
        arrival = portrait.thrown.height_ft[-1], portrait.thrown.side_ft[-1]
        off = {"vertical": 12.0 * (arrival[0] - expected.height_ft), "side": 12.0 * (arrival[1] - expected.side_ft)}
        # one forecast is off by the root mean square of compare at most
        error = estimates["arrival_surprise_rms_in"].value / np.sqrt(512)
        for axis, value in off.items():
            assert value == pytest.approx(estimates[f"arrival_surprise_{axis}_in"].value, abs=4.0 * error)
        late = portrait.thrown.time_ms[-1] - expected.arrival_ms
        assert late == pytest.approx(estimates["timing_surprise_ms"].value, abs=4.0)
        # a throw is judged at its own moment, here all at that of the mean pitch
        belief = portrait.belief
        at_decision = np.interp(portrait.decided_ms, belief.time_ms, belief.mean[belief.types.index(portrait.name)])
        assert at_decision == pytest.approx(estimates["belief_at_commit_percent"].value, abs=4.0)


@pytest.mark.parametrize("name", READY)
def test_he_decides_between_hand_and_plate(name: str) -> None:
    answer = portrait_of(name)
    for portrait in answer.result.pitches.values():
        assert 0.0 < portrait.decides_ms < portrait.decided_ms < portrait.thrown.time_ms[-1]
        expected = portrait.expectation
        assert expected.side_low_ft < expected.side_ft < expected.side_high_ft
        assert expected.height_low_ft < expected.height_ft < expected.height_high_ft


@pytest.mark.parametrize("name", ["two-grips", "thin-air"])
def test_nine_throws_of_ten_pass_inside_the_spread(name: str) -> None:
    flown = fly(name, throws=2000).result.pitches
    for pitch, portrait in portrait_of(name).result.pitches.items():
        spread = portrait.thrown_spread
        assert spread.from_plate_ft[-1] == 0.0
        for key in ("side", "height"):
            for end in ("low", "high"):
                found = getattr(spread, f"{key}_{end}_ft")[-1]
                told = getattr(flown[pitch].quantities[f"arrival_{key}_ft"], end)
                # quantiles of 512 throws with an SD near 0.9 ft: 0.08 ft a standard error at 5 %
                assert found == pytest.approx(told, abs=0.25)
        side, height = portrait.arrivals_ft.T
        inside = (side >= spread.side_low_ft[-1]) & (side <= spread.side_high_ft[-1])
        assert inside.mean() == pytest.approx(0.9, abs=4.0 * np.sqrt(0.09 / side.size))
        assert np.all(height > 0.0)


def test_the_zone_is_as_wide_as_the_plate() -> None:
    """17 inches: Official Baseball Rules (as quoted by others)."""
    zone = portrait_of("two-grips").result.zone
    assert 12.0 * (zone.right_ft - zone.left_ft) == pytest.approx(17.0)
    child = portrait_of("youth-46ft").result.zone
    assert child.high_ft < zone.high_ft
    assert child.low_ft < zone.low_ft


def test_a_pitch_that_bounces_mostly_is_drawn_by_what_arrives() -> None:
    result = portray(from_mapping(starter(target_height_ft=0.2)), throws=400).result.pitches["curve"]
    assert 0 < len(result.arrivals_ft) < 300
    assert np.all(result.arrivals_ft[:, 1] > 0.1)
