"""The question where pitches go: keys, counts, and what air does."""

import copy
import json
import os
from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service.judging.setting import settle
from latebreak.service.questions import fly
from latebreak.service.scenario import from_mapping, load, ready_names

QUANTITIES = {
    "flight_time_s", "arrival_speed_mph", "arrival_side_ft", "arrival_height_ft", "induced_vertical_break_in",
    "induced_side_break_in", "vertical_approach_deg", "side_approach_deg", "launch_elevation_deg", "launch_azimuth_deg",
}  # fmt: skip
OUTCOMES = {"arrived", "arrived_steep", "bounced", "stalled", "flew_off"}


def flown(mapping: dict[str, Any], **asked: Any) -> dict[str, Any]:
    """The answer as JSON, which holds no NaN."""
    answer: dict[str, Any] = json.loads(json.dumps(fly(from_mapping(mapping), **asked).to_dict(), allow_nan=False))
    return answer


@pytest.mark.parametrize("name", ready_names())
def test_the_keys_of_the_contract(name: str) -> None:
    answer = json.loads(json.dumps(fly(name, throws=700).to_dict(), allow_nan=False))
    for pitch in answer["result"]["pitches"].values():
        assert set(pitch) == QUANTITIES | {"outcomes", "movement"}
        for key in QUANTITIES:
            number = pitch[key]
            assert {"mean", "sd", "low", "high"} <= set(number)
            assert number["low"] < number["mean"] < number["high"]
            assert 0.0 < number["sd"] < number["high"] - number["low"]
        assert set(pitch["outcomes"]) == OUTCOMES
        assert sum(pitch["outcomes"].values()) == 700
        assert all(isinstance(count, int) for count in pitch["outcomes"].values())


@pytest.mark.parametrize("throws", [1, 7, 8, 9, 4097])
def test_every_throw_is_accounted_for(throws: int) -> None:
    answer = flown(starter(), throws=throws)
    assert answer["throws"] == throws
    for pitch in answer["result"]["pitches"].values():
        assert sum(pitch["outcomes"].values()) == throws
        assert pitch["flight_time_s"]["mean"] > 0.3


def test_the_mean_throw_hits_its_target() -> None:
    """Of throws without scatter every one: aimed to 1e-4 in, flown to 0.005 in."""
    still = dict.fromkeys(
        ("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in", "release_height_in",
         "extension_in", "launch_elevation_deg", "launch_azimuth_deg", "drag_coefficient", "lift_scale",
         "seam_force"), 0.0,
    )  # fmt: skip
    pitch = flown(starter(spread=still), throws=20)["result"]["pitches"]["curve"]
    assert pitch["arrival_side_ft"]["mean"] * 12 == pytest.approx(0.3 * 12, abs=0.006)
    assert pitch["arrival_height_ft"]["mean"] * 12 == pytest.approx(1.8 * 12, abs=0.006)
    assert pitch["arrival_height_ft"]["sd"] == pytest.approx(0.0, abs=1e-6)
    assert pitch["arrival_height_ft"]["low"] == pytest.approx(pitch["arrival_height_ft"]["high"], abs=1e-6)


def test_the_breaks_point_where_the_clock_points() -> None:
    """A right-hander's 12:50 fastball rises and runs to the arm side (the catcher's left, negative); the 7:00 curve
    drops and sweeps to the glove side: the definition of the break clock.
    """
    pitches = flown(starter(), throws=800)["result"]["pitches"]
    fastball, curve = pitches["fastball"], pitches["curve"]
    assert fastball["induced_vertical_break_in"]["low"] > 5.0
    assert fastball["induced_side_break_in"]["high"] < 0.0
    assert curve["induced_vertical_break_in"]["high"] < -5.0
    assert curve["induced_side_break_in"]["low"] > 0.0
    assert curve["vertical_approach_deg"]["mean"] < fastball["vertical_approach_deg"]["mean"] < 0.0
    assert curve["arrival_speed_mph"]["mean"] < 74.0


def test_a_throw_straight_up_is_counted_and_never_nan() -> None:
    answer = flown(
        starter(
            speed_mph=20.0,
            target_side_ft=None,
            target_height_ft=None,
            launch_elevation_deg=90.0,
            launch_azimuth_deg=0.0,
        ),
        throws=500,
    )
    curve = answer["result"]["pitches"]["curve"]
    assert curve["outcomes"]["arrived"] == 0
    assert sum(curve["outcomes"].values()) == 500
    for key in QUANTITIES:
        assert all(value is None for value in curve[key].values())
    assert "pitch.curve: no throw reached the plate in the air" in answer["warnings"]
    assert answer["result"]["pitches"]["fastball"]["flight_time_s"]["mean"] > 0.3  # the others are not hurt


@pytest.mark.parametrize("elevation", [-89.0, -30.0, 45.0, 80.0])
def test_no_direction_gives_nan(elevation: float) -> None:
    mapping = starter(
        target_side_ft=None, target_height_ft=None, launch_elevation_deg=elevation, launch_azimuth_deg=60.0
    )
    curve = flown(mapping, throws=200)["result"]["pitches"]["curve"]
    assert sum(curve["outcomes"].values()) == 200
    assert curve["outcomes"]["arrived"] == 0


def test_many_throws_in_the_dirt_are_said() -> None:
    answer = flown(starter(target_height_ft=0.3), throws=800)
    outcomes = answer["result"]["pitches"]["curve"]["outcomes"]
    assert outcomes["bounced"] > 200
    assert any("pitch.curve" in warning and "did not reach the plate" in warning for warning in answer["warnings"])


@pytest.mark.parametrize(
    ("pitch", "key"),
    [
        ("fastball", "induced_vertical_break_in"),
        ("curve", "induced_vertical_break_in"),
        ("curve", "induced_side_break_in"),
    ],
)
def test_thin_air_bends_less(pitch: str, key: str) -> None:
    """With 0.826 of the density: Denver's air is 17 % thinner (Stephen 1991, secondary), 0.82 of the density at sea
    level (Adair, in Courant 1992, secondary). The push is 17.4 % less; less drag makes the flight a little shorter, and
    less fall of the speed keeps the push up: 16 to 19 %. The sampling error of a mean of 2,000 throws is under 0.1 %.
    """
    breaks = []
    for density in (1.2, 1.2 * 0.826):
        mapping = starter() | {"air": {"density_kg_m3": density}}
        breaks.append(flown(mapping, throws=2000)["result"]["pitches"][pitch][key]["mean"])
    assert 0.16 <= 1.0 - breaks[1] / breaks[0] <= 0.19


def test_a_park_a_mile_up_bends_less() -> None:
    """The ready scenario at its own height and at sea level. At 5,350 ft the standard atmosphere has 0.821 of the
    pressure (computed), and so of the density at one temperature: 17.9 % less push, give or take as above.
    """
    mapping = load("thin-air").scenario.model_dump(exclude_none=True)
    high = flown(mapping, throws=2000)
    mapping["air"]["altitude_m"] = 0.0
    low = flown(mapping, throws=2000)
    breaks = [answer["result"]["pitches"]["curve"]["induced_vertical_break_in"]["mean"] for answer in (high, low)]
    assert 0.165 <= 1.0 - breaks[0] / breaks[1] <= 0.195


def test_a_tail_wind_and_a_head_wind() -> None:
    """A tail wind brings the ball sooner, a head wind later (definition of wind_to_plate_mph)."""
    times = []
    for wind in (-10.0, 0.0, 10.0):
        mapping = copy.deepcopy(starter())
        mapping["air"]["wind_to_plate_mph"] = wind
        times.append(flown(mapping, throws=400)["result"]["pitches"]["curve"]["flight_time_s"]["mean"])
    assert times[0] > times[1] + 0.001 > times[2] + 0.002


def test_same_seed_same_digits() -> None:
    one, again, other = (fly("staff", seed=seed, throws=900).to_dict() for seed in (5, 5, 6))
    assert json.dumps(one) == json.dumps(again)
    assert json.dumps(one["result"]) != json.dumps(other["result"])
    assert (one["seed"], other["seed"]) == (5, 6)


def test_the_number_of_threads_does_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """60,000 throws are enough that several threads share them."""
    answers = set()
    for cores in (1, 2, 5):
        monkeypatch.setattr(os, "sched_getaffinity", lambda _, cores=cores: range(cores), raising=False)
        assert settle("two-grips", None, 60_000).threads == cores
        answers.add(json.dumps(fly("two-grips", throws=60_000).to_dict()))
    assert len(answers) == 1


def test_the_sampling_error_is_honest() -> None:
    """Over 24 seeds the means scatter as each says it does.

    The scatter of 24 is known to 15 % (one standard error), and the stated errors rest on 8 blocks each; within a
    factor of 1.6 is four standard errors.
    """
    for key in ("arrival_height_ft", "induced_side_break_in", "flight_time_s"):
        found = [
            fly("two-grips", seed=seed, throws=800).to_dict()["result"]["pitches"]["curve_spike"][key]
            for seed in range(24)
        ]
        scatter = np.std([number["mean"] for number in found], ddof=1)
        stated = np.sqrt(np.mean([number["sampling_error"] ** 2 for number in found]))
        assert 1 / 1.6 < scatter / stated < 1.6, key


def test_unreachable_targets_are_one_fault_each_at_once() -> None:
    """At 20 mph a ball flies 27 ft at most on the level (computed: v^2/g); the plate is 54 ft away."""
    mapping = starter(speed_mph=20.0)
    mapping["pitch"]["fastball"]["speed_mph"] = 21.0
    with pytest.raises(InputError) as caught:
        fly(from_mapping(mapping, "bullpen.toml"))
    assert [fault.where for fault in caught.value.faults] == [
        "pitch.fastball.target_height_ft",
        "pitch.curve.target_height_ft",
    ]
    for fault, speed in zip(caught.value.faults, ("21 mph", "20 mph"), strict=True):
        assert speed in fault.problem
        assert fault.allowed
        assert fault.remedy


@pytest.mark.parametrize(
    ("asked", "where", "allowed"),
    [
        ({"seed": -1}, "seed", "2^63 - 1"),
        ({"seed": 2**63}, "seed", "2^63 - 1"),
        ({"throws": 0}, "throws", "1 to 100,000,000"),
        ({"throws": 10**12}, "throws", "1 to 100,000,000"),
    ],
)
def test_what_can_not_be_asked(asked: dict[str, Any], where: str, allowed: str) -> None:
    with pytest.raises(InputError) as caught:
        fly("two-grips", **asked)
    (fault,) = caught.value.faults
    assert fault.where == where
    assert allowed in fault.allowed
    assert str(asked[where]) in fault.problem


def test_progress_ends_at_all_of_it() -> None:
    shares: list[float] = []
    fly("two-grips", throws=10_000, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == pytest.approx(1.0)
