"""Levers of a pitch: what they stand at, steps that are cut, moves that keep what they should, and bounds."""

from math import nextafter
from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.service.quantities import CLOCK_SPREAD, SPREAD_SCALE
from latebreak.service.questions.lever import AIMED, BY_KEY, LAUNCHED, LEVERS, cut_step, levers_of
from latebreak.service.scenario import Scenario, from_mapping
from latebreak.service.scenario.physical import physical_pitch, signed_gyro
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry
from latebreak.service.scenario.section import Hand


def scenario(hand: str = "right", **curve: Any) -> Scenario:
    """The starter with some keys of its curve changed, or taken away (None)."""
    mapping = starter()
    mapping["pitcher"]["hand"] = hand
    entry = mapping["pitch"]["curve"] | curve
    mapping["pitch"]["curve"] = {key: value for key, value in entry.items() if value is not None}
    return from_mapping(mapping).scenario


def curve_of(hand: str = "right", **curve: Any) -> PitchEntry:
    return scenario(hand, **curve).pitch["curve"]


GYRO: dict[str, Any] = {"efficiency_percent": None}
LAUNCH: dict[str, Any] = {
    "target_side_ft": None,
    "target_height_ft": None,
    "launch_elevation_deg": 1.2,
    "launch_azimuth_deg": 2.0,
}


# --- which there are, and where they stand --------------------------------------------------------------------------
def test_the_steps_of_the_contract() -> None:
    """As a coach would step: +1 mph, +100 rpm, +5 points, 15 minutes of the clock (7.5 deg), spread times 0.8."""
    steps = {key: lever.step for key, lever in BY_KEY.items()}
    assert steps["speed_mph"] == 1.0
    assert steps["spin_rpm"] == 100.0
    assert steps["efficiency_percent"] == 5.0
    assert steps["break_clock_deg"] == 7.5
    assert 1.0 + steps[SPREAD_SCALE] == pytest.approx(0.8)
    assert {"release_height_ft", "extension_ft", "target_height_ft", CLOCK_SPREAD} < set(steps)


def test_a_pitch_is_aimed_by_a_target_or_by_launch_angles() -> None:
    aimed, launched = ({lever.key for lever in levers_of(curve_of(**how))} for how in ({}, LAUNCH))
    assert aimed == set(BY_KEY) - set(LAUNCHED)
    assert launched == set(BY_KEY) - set(AIMED)


def test_where_levers_stand() -> None:
    entry = curve_of(spread={"break_clock_deg": 6.5})
    stands = {lever.key: lever.stands_at(entry, "right") for lever in levers_of(entry)}
    assert stands == {
        "speed_mph": 74.0,
        "spin_rpm": 2320.0,
        "efficiency_percent": 68.0,
        "break_clock_deg": 210.0,
        "release_height_ft": 5.9,
        "release_side_ft": -1.7,
        "extension_ft": 5.7,
        "target_height_ft": 1.8,
        "target_side_ft": 0.3,
        SPREAD_SCALE: 1.0,
        CLOCK_SPREAD: 6.5,
    }


@pytest.mark.parametrize("gyro", [60.0, -60.0])
def test_the_efficiency_of_a_gyro_angle(gyro: float) -> None:
    assert BY_KEY["efficiency_percent"].stands_at(curve_of(**GYRO, gyro_deg=gyro), "right") == pytest.approx(50.0)


# --- steps ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "now", "step"),
    [
        ("efficiency_percent", 60.0, 5.0),
        ("efficiency_percent", 95.0, 5.0),
        ("efficiency_percent", 98.0, 2.0),
        ("efficiency_percent", 100.0, 0.0),
        ("speed_mph", 129.5, 0.5),
        ("spin_rpm", 6000.0, 0.0),
        ("target_height_ft", -1.9, -0.1),
        ("release_side_ft", 10.0, 0.0),
        (SPREAD_SCALE, 1.0, -0.2),
        (CLOCK_SPREAD, 6.0, -1.0),
        (CLOCK_SPREAD, 0.25, -0.25),
        (CLOCK_SPREAD, 0.0, 0.0),
        ("break_clock_deg", 358.0, 7.5),  # a clock has no end
        ("break_clock_deg", -179.0, 7.5),
    ],
)
def test_steps_are_cut_at_what_is_possible(key: str, now: float, step: float) -> None:
    assert cut_step(BY_KEY[key], now) == pytest.approx(step, abs=1e-12)


def test_a_cut_step_stays_possible_to_the_last_digit() -> None:
    """The sum of where it stands and the step is within the range that the scenario accepts."""
    lever = BY_KEY["efficiency_percent"]
    for now in (97.3, 98.7, 99.99, nextafter(100.0, 0.0)):
        assert lever.range.validate(min(now + cut_step(lever, now), 100.0)) <= 100.0
        assert now + cut_step(lever, now) <= 100.0


# --- moves ----------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("how", [{}, LAUNCH, GYRO | {"gyro_deg": 50.0}])
def test_a_move_sets_its_lever_and_nothing_else(how: dict[str, Any]) -> None:
    entry = curve_of(**how)
    for lever in levers_of(entry):
        value = lever.stands_at(entry, "right") + cut_step(lever, lever.stands_at(entry, "right"))
        moved = lever.moved(entry, "right", value)
        changed = {key for key in PitchEntry.model_fields if getattr(moved, key) != getattr(entry, key)}
        if lever.is_of_spread:
            assert changed == {"spread"}
        elif lever.key == "efficiency_percent":
            assert changed == ({"efficiency_percent"} if entry.gyro_deg is None else {"efficiency_percent", "gyro_deg"})
        else:
            assert changed == {lever.key}
        if lever.key != SPREAD_SCALE:
            assert lever.stands_at(moved, "right") == pytest.approx(value, rel=1e-12)


def test_a_clock_goes_round() -> None:
    lever = BY_KEY["break_clock_deg"]
    assert lever.moved(curve_of(), "right", 365.0).break_clock_deg == pytest.approx(5.0)
    assert lever.moved(curve_of(), "right", -7.5).break_clock_deg == pytest.approx(352.5)


def test_a_scaled_spread_scales_every_one() -> None:
    entry = curve_of()
    moved = BY_KEY[SPREAD_SCALE].moved(entry, "right", 0.8)
    for key in SPREAD_KEYS:
        assert getattr(moved.spread, key) == pytest.approx(0.8 * getattr(entry.spread, key)), key


def test_one_spread_moves_alone() -> None:
    entry = curve_of()
    moved = BY_KEY[CLOCK_SPREAD].moved(entry, "right", 2.5)
    assert moved.spread.break_clock_deg == 2.5
    for key in set(SPREAD_KEYS) - {"break_clock_deg"}:
        assert getattr(moved.spread, key) == getattr(entry.spread, key), key


SENSES = [
    ({"efficiency_percent": 68}, 1.0),
    ({"efficiency_percent": 68, "gyro_sense": "reverse"}, -1.0),
    ({"efficiency_percent": 100}, 1.0),  # an angle of 0 has no sense: the hand's, so that the mirror keeps its image
    ({"efficiency_percent": 100, "gyro_sense": "reverse"}, -1.0),
    ({"efficiency_percent": 0}, 1.0),
    ({"efficiency_percent": None, "gyro_deg": 50.0}, 1.0),
    ({"efficiency_percent": None, "gyro_deg": -50.0}, -1.0),
    ({"efficiency_percent": None, "gyro_deg": 0.0}, 1.0),
    ({"efficiency_percent": None, "gyro_deg": -0.0}, 1.0),
    ({"efficiency_percent": None, "gyro_deg": 90.0}, 1.0),
    ({"efficiency_percent": None, "gyro_deg": -90.0}, -1.0),
]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("how", "sense"), SENSES)
def test_a_cleaner_axis_keeps_its_sense(hand: Hand, how: dict[str, Any], sense: float) -> None:
    """Senses are those of a right-hander, whose usual one is positive; a left-hander's gyro angle is mirrored."""
    own = 1.0 if hand == "right" else -1.0
    if "gyro_deg" in how:
        how = how | {"gyro_deg": own * how["gyro_deg"]}
    moved = BY_KEY["efficiency_percent"].moved(curve_of(hand, **how), hand, 80.0)
    assert signed_gyro(moved, hand) == pytest.approx(own * sense * np.arccos(0.8))


def test_moves_are_legal_scenarios() -> None:
    """Each pitch at each end of its bounds passes the model's own checks."""
    for how in ({}, LAUNCH, GYRO | {"gyro_deg": -50.0}):
        found = scenario(**how)
        for lever in levers_of(found.pitch["curve"]):
            for value in lever.bounds(found, "fastball", "curve"):
                moved = lever.moved(found.pitch["curve"], "right", value)
                assert PitchEntry.model_validate(moved.model_dump(exclude_none=True)) == moved, lever.key
                physical_pitch(found, moved)


# --- bounds ---------------------------------------------------------------------------------------------------------
def bounds(key: str, hand: str = "right", **curve: Any) -> tuple[float, float]:
    return BY_KEY[key].bounds(scenario(hand, **curve), "fastball", "curve")


@pytest.mark.parametrize(
    ("key", "curve", "low", "high"),
    [
        ("speed_mph", {"speed_mph": 70.0}, 58.0, 82.0),
        ("speed_mph", {"speed_mph": 80.0}, 68.0, 87.5),  # no faster than the fastball
        ("speed_mph", {"speed_mph": 90.0}, 78.0, 90.0),  # faster already: it may stay there
        ("spin_rpm", {}, 1120.0, 3520.0),
        ("spin_rpm", {"spin_rpm": 3500}, 2300.0, 3600.0),  # the usual range
        ("spin_rpm", {"spin_rpm": 4000}, 2800.0, 4000.0),  # unusual already: it may stay there
        ("efficiency_percent", {"efficiency_percent": 70}, 30.0, 100.0),
        ("efficiency_percent", {"efficiency_percent": 20}, 0.0, 60.0),
        ("break_clock_deg", {}, 165.0, 255.0),
        ("break_clock_deg", {"break_clock": "12:10"}, -40.0, 50.0),  # a clock has no end
        ("target_height_ft", {"target_height_ft": 1.2}, 1.0, 2.7),
        ("target_height_ft", {"target_height_ft": 0.5}, 0.5, 2.0),
        ("release_height_ft", {"release_height_ft": 7.0}, 5.5, 7.5),
        (SPREAD_SCALE, {}, 0.25, 1.75),
        (CLOCK_SPREAD, {"spread": {"break_clock_deg": 4.0}}, 0.0, 14.0),
    ],
)
def test_bounds(key: str, curve: dict[str, Any], low: float, high: float) -> None:
    assert bounds(key, **curve) == pytest.approx((low, high))


def test_a_fastball_may_outrun_the_fastball() -> None:
    found = two_fastballs()
    assert BY_KEY["speed_mph"].bounds(found, "fastball", "curve") == pytest.approx((73.0, 97.0))


def two_fastballs() -> Scenario:
    mapping = starter()
    mapping["pitch"]["fastball"]["reference"] = True
    mapping["pitch"]["curve"] |= {"role": "fastball", "speed_mph": 85.0}
    return from_mapping(mapping).scenario


@pytest.mark.parametrize("lever", LEVERS, ids=[lever.key for lever in LEVERS])
def test_now_is_within_bounds(lever: Any) -> None:
    how = LAUNCH if lever.key in LAUNCHED else {}
    for curve in (how, how | {"speed_mph": 100.0, "spin_rpm": 4200, "release_height_ft": 9.0}):
        found = scenario(**curve)
        low, high = lever.bounds(found, "fastball", "curve")
        assert low <= lever.stands_at(found.pitch["curve"], "right") <= high
        assert low < high
