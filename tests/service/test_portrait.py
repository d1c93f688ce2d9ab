"""A pitch as it can be drawn: held against the engine's promises, plain trigonometry, and the other questions."""

import json
import tomllib
from functools import cache
from typing import Any

import numpy as np
import pytest

from latebreak.service.questions import Answer, PortraitResult, compare, fly, portray
from latebreak.service.questions.portrait import Portrait, Track
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.ready import ready_names
from latebreak.service.scenario.starter import starter_text

READY = ready_names()


@cache
def portrait_of(name: str) -> Answer[PortraitResult]:
    return portray(name, throws=2000)


def starter(**changes: Any) -> Any:
    mapping = tomllib.loads(starter_text("base"))
    for path, value in changes.items():
        *way, key = path.split("__")
        place = mapping
        for part in way:
            place = place.setdefault(part, {})
        place[key] = value
    return from_mapping(mapping)


def tracks(portrait: Portrait) -> list[Track]:
    return [portrait.thrown, portrait.beside, portrait.same_line]


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
    result = portray(starter(), throws=64).result
    entry = starter().scenario.pitch
    for track, aimed in ((result.pitches["curve"].thrown, "curve"), (result.pitches["curve"].beside, "fastball")):
        # aim is promised to a tenth of an inch
        assert track.side_ft[-1] == pytest.approx(entry[aimed].target_side_ft, abs=0.1 / 12.0)
        assert track.height_ft[-1] == pytest.approx(entry[aimed].target_height_ft, abs=0.1 / 12.0)


def test_the_same_line_starts_as_the_pitch_does() -> None:
    portrait = portray(starter(), throws=64).result.pitches["curve"]
    pitch, line = portrait.thrown, portrait.same_line
    for key in ("side_ft", "height_ft", "from_plate_ft", "right_deg", "up_deg"):
        assert getattr(line, key)[0] == getattr(pitch, key)[0]
    # after 4 ms the direction is still common: what gravity and spin bend in that time is some thousandths of an inch
    for key in ("side_ft", "height_ft"):
        slope = [
            (getattr(one, key)[1] - getattr(one, key)[0]) / (one.from_plate_ft[0] - one.from_plate_ft[1])
            for one in (pitch, line)
        ]
        assert slope[0] == pytest.approx(slope[1], abs=1e-3)
    assert line.time_ms[-1] == pytest.approx(portrait.beside.time_ms[-1], abs=3.0)  # a fastball's time


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

    mapping = tomllib.loads(starter_text("base"))
    mapping.setdefault("hitter", {})["bats"] = "right"
    one = portray(from_mapping(mapping), throws=64).result
    other = portray(from_mapping(mirrored(tomllib.loads(starter_text("base")))), throws=64).result
    assert other.eye_ft == (-one.eye_ft[0], *one.eye_ft[1:])
    for name, portrait in one.pitches.items():
        for here, there in zip(tracks(portrait), tracks(other.pitches[name]), strict=True):
            # laws are fitted on draws that are not mirrored: a hundredth of the radius of the ball at release
            np.testing.assert_allclose(there.time_ms, here.time_ms, atol=1e-3)
            np.testing.assert_allclose(there.right_deg, -here.right_deg, atol=1e-3)
            np.testing.assert_allclose(there.up_deg, here.up_deg, atol=1e-3)


@pytest.mark.parametrize("name", READY)
def test_what_is_believed_adds_up_and_starts_from_what_is_expected(name: str) -> None:
    for portrait in portrait_of(name).result.pitches.values():
        belief = portrait.belief
        assert belief.types[0] == portrait.fastball
        assert portrait.name in belief.types
        np.testing.assert_allclose(belief.mean.sum(axis=0), 100.0, rtol=1e-9)
        assert np.all((belief.low <= belief.high) & (belief.low >= 0.0) & (belief.high <= 100.0))
        # at release nothing is seen: everybody believes what he expects
        np.testing.assert_allclose(belief.low[:, 0], belief.high[:, 0], atol=0.1)
        assert belief.time_ms[-1] < portrait.thrown.time_ms[-1]


def test_before_anything_is_seen_the_shares_are_believed() -> None:
    portrait = portray(starter(hitter__expects={"fastball": 0.7, "curve": 0.3}), throws=64).result.pitches["curve"]
    np.testing.assert_allclose(portrait.belief.mean[:, 0], [70.0, 30.0], atol=0.01)


@pytest.mark.parametrize("name", ["two-grips", "staff", "left-eleven-to-five", "youth-46ft"])
def test_belief_and_expectation_agree_with_compare(name: str) -> None:
    """Both draw their own noise of the hitter, so they agree within sampling errors: here four of them."""
    throws = 2000
    found = compare(name, throws=throws, intervals=False).result.pitches
    for pitch, portrait in portrait_of(name).result.pitches.items():
        estimates = found[pitch]
        belief, expected = portrait.belief, portrait.expectation
        at_commit = np.interp(portrait.commit_ms, belief.time_ms, belief.mean[belief.types.index(pitch)])
        # 512 throws of a belief that scatters by 20 points at most: 0.9 points a standard error
        assert at_commit == pytest.approx(estimates["belief_at_commit_percent"].value, abs=4.0)
        # the last moment is the height cut-off, from which the surprise of the arrival is told
        arrival = portrait.thrown.height_ft[-1], portrait.thrown.side_ft[-1]
        off = {
            "vertical": 12.0 * (arrival[0] - expected.height_ft[-1]),
            "side": 12.0 * (arrival[1] - expected.side_ft[-1]),
        }
        # one forecast is off by the root mean square of compare at most
        error = estimates["arrival_surprise_rms_in"].value / np.sqrt(512)
        for axis, value in off.items():
            assert value == pytest.approx(estimates[f"arrival_surprise_{axis}_in"].value, abs=4.0 * error)


def test_he_comes_to_know_where_it_arrives() -> None:
    expected = portrait_of("two-grips").result.pitches["curve_spike"].expectation
    width = expected.height_high_ft - expected.height_low_ft
    assert width[-1] < 0.5 * width[0]
    assert (
        abs(expected.arrival_ms[-1] - portrait_of("two-grips").result.pitches["curve_spike"].thrown.time_ms[-1]) < 10.0
    )


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


def test_a_hitter_without_types_believes_in_one() -> None:
    portrait = portray(starter(hitter__model="plain_extrapolator"), throws=64).result.pitches["curve"]
    assert portrait.belief.types == ("curve",)
    np.testing.assert_array_equal(portrait.belief.mean, 100.0)


def test_a_plan_by_belief_moves_with_it() -> None:
    one, other = (
        portray(starter(hitter__model=model), throws=64).result.pitches["curve"].expectation
        for model in ("observer", "belief_weighted")
    )
    assert not np.array_equal(one.height_ft, other.height_ft)
    # once the type is known the two plans are one
    assert other.height_ft[-1] == pytest.approx(one.height_ft[-1], abs=0.1)


def test_the_zone_is_as_wide_as_the_plate() -> None:
    """17 inches: Official Baseball Rules (value from memory)."""
    zone = portrait_of("two-grips").result.zone
    assert 12.0 * (zone.right_ft - zone.left_ft) == pytest.approx(17.0)
    child = portrait_of("youth-46ft").result.zone
    assert child.high_ft < zone.high_ft
    assert child.low_ft < zone.low_ft


def test_a_pitch_that_bounces_mostly_is_drawn_by_what_arrives() -> None:
    result = portray(starter(pitch__curve__target_height_ft=0.2), throws=400).result.pitches["curve"]
    assert 0 < len(result.arrivals_ft) < 300
    assert np.all(result.arrivals_ft[:, 1] > 0.1)
