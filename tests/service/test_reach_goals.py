"""The question `reach`: goals of every kind, and what can't be reached."""

import re

import pytest
from reached import EVERY, asked, measured, result_of
from starters import STILL, starter, with_lever

from latebreak.engine.errors import InputError
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import from_mapping

UNITS = r"(mph|rpm|%|ft|in|deg|ms|arcmin|times the spread|draws|of \d+ draws)"


# --- goals ----------------------------------------------------------------------------------------------------------
def test_a_change_is_a_value_from_now() -> None:
    now = measured(starter(), "late_break_in")["value"]
    change, value = (result_of(starter(), "late_break_in", goal, by=["spin_rpm"]) for goal in ("+0.2", f"={now + 0.2}"))
    assert change["goal"]["value"] == pytest.approx(value["goal"]["value"])
    roads = [one["levers"]["spin_rpm"] for one in (change, value)]
    # both stop within a quarter of their errors; that of the value is the larger
    assert roads[0]["change"]["value"] == pytest.approx(
        roads[1]["change"]["value"], abs=0.5 * roads[1]["change"]["sampling_error"] + 1.0
    )
    less = result_of(starter(), "late_break_in", "-0.2", by=["spin_rpm"])["levers"]["spin_rpm"]
    assert less["change"]["value"] < 0.0 < roads[0]["change"]["value"]


def test_as_good_as_another_pitch() -> None:
    """The goal is what `compare` says of the other one, and a road leads there."""
    mapping = starter()
    mapping["pitch"]["other"] = mapping["pitch"]["curve"] | {"spin_rpm": 2700}
    result = result_of(mapping, "miss_chance_percent", "like:other", by=["spin_rpm", "efficiency_percent"])
    other = measured(mapping, "miss_chance_percent", "other")
    assert result["goal"] == {"kind": "like", "pitch": "other", "value": other["value"]}
    # they differ in the spin rate alone, so that is the change: to 0.25 errors of the difference, which vanishes there
    assert result["levers"]["spin_rpm"]["new_value"] == pytest.approx(2700.0, abs=2.0)
    cleaner = result["levers"]["efficiency_percent"]
    there = measured(with_lever(mapping, "efficiency_percent", cleaner["new_value"]), "miss_chance_percent")
    assert there["value"] == pytest.approx(other["value"], abs=2.0 * other["sampling_error"])


def test_like_another_with_intervals() -> None:
    """What is not known moves both alike, so a twin in all but the spin rate is surely that far away."""
    mapping = starter()
    mapping["pitch"]["other"] = mapping["pitch"]["curve"] | {"spin_rpm": 2500}
    road = result_of(mapping, "late_break_in", "like:other", by=["spin_rpm"], intervals=True)["levers"]["spin_rpm"]
    assert road["change"]["value"] == pytest.approx(180.0, abs=2.0)
    assert road["change"]["high"] - road["change"]["low"] < 20.0


def test_like_a_second_fastball() -> None:
    """It is none of those that are compared where none are named, but may be likened to."""
    mapping = starter()
    mapping["pitch"]["fastball"]["reference"] = True
    mapping["pitch"]["sinker"] = mapping["pitch"]["fastball"] | {"reference": False, "speed_mph": 86.0}
    result = result_of(mapping, "timing_surprise_ms", "like:sinker", by=["speed_mph"])
    expected = measured(mapping, "timing_surprise_ms", "sinker", pitches=["sinker"])
    assert result["goal"]["value"] == pytest.approx(expected["value"], rel=1e-9)


def test_a_measure_that_the_pitch_has_not() -> None:
    """No spin and no scatter: no break, so no share of it; a value can be asked for, a change from it can't."""
    still = starter(spin_rpm=0, spread=STILL)
    result = result_of(still, "late_break_share_percent", "=1", by=["spin_rpm"])
    assert result["now"]["value"] is None
    with pytest.raises(InputError) as caught:
        asked(still, "late_break_share_percent", "+1")
    assert "curve has no late_break_share_percent" in str(caught.value)


# --- what can't be reached ------------------------------------------------------------------------------------------
def test_out_of_reach_says_why_and_stays_in_bounds() -> None:
    answer = asked(starter(), "late_break_in", "=9", by=EVERY, intervals=True)
    scenario = from_mapping(starter()).scenario
    for key, road in answer["result"]["levers"].items():
        assert not road["reachable"]
        assert set(road["change"]) == {"value", "sampling_error"}
        low, high = BY_KEY[key].bounds(scenario, "fastball", "curve")
        assert low <= road["new_value"] <= high, key
        assert "it comes nearest at" in road["reason"]
        assert "the goal is 9 in" in road["reason"]
        assert f"with {road['measure_there']:.4g} in" in road["reason"]
    cutter = starter(speed_mph=84.0, break_clock="11:10", efficiency_percent=45)  # of a kind as hard as the fastball
    road = result_of(cutter, "miss_chance_percent", "=99", by=["speed_mph"])["levers"]["speed_mph"]
    assert "(the speed of the fastball)" in road["reason"]
    assert answer["result"]["frontier"] == []


@pytest.mark.parametrize("goal", ["=1e300", "-1e300", "=150"])
def test_wild_goals_are_out_of_reach(goal: str, recwarn: pytest.WarningsRecorder) -> None:
    result = result_of(starter(), "miss_chance_percent", goal, by=["speed_mph", "break_clock_deg"])
    assert not any(road["reachable"] for road in result["levers"].values())
    assert not recwarn.list  # they would stand on stderr


def test_a_clock_near_noon_stays_a_clock() -> None:
    """Bounds on both sides of 12:00: new values from 0 to 360, clock times in words."""
    mapping = starter(break_clock="12:20", speed_mph=84.0, efficiency_percent=90)
    for goal in ("=9", "+0.3", "-0.3"):
        road = result_of(mapping, "arrival_surprise_side_in", goal, by=["break_clock_deg"])["levers"]["break_clock_deg"]
        assert 0.0 <= road["new_value"] < 360.0
        if not road["reachable"]:
            assert re.search(r"between \d+:\d\d and \d+:\d\d", road["reason"])


@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_number_of_a_reason_has_a_unit(hand: str) -> None:
    """And no bare sign: sides are arm and glove side, heights up and down, times early and late."""
    mapping = starter()
    if hand == "left":
        mapping["pitcher"]["hand"] = "left"
        for entry in mapping["pitch"].values():
            entry["release_side_ft"] *= -1.0
    reasons = []
    for measure, goal in (
        ("arrival_surprise_side_in", "=-9"),
        ("timing_surprise_ms", "=-90"),
        ("path_gap_at_100ms_in", "=99"),
    ):
        reasons += [r["reason"] for r in result_of(mapping, measure, goal, by=EVERY)["levers"].values()]
    assert len(reasons) == 3 * len(EVERY)
    for reason in reasons:
        assert not re.search(r"(?<![\w])[-+](?=\d)", reason), reason
        for number in re.finditer(r"(?<![\d:.])\d[\d.e+]*(?![\d:.])", reason):
            after = reason[number.end() :]
            assert re.match(rf" {UNITS}\b|:\d\d|\b %| %", after) or reason[number.start() - 1] == ":", reason
