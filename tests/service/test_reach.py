"""The question how much must be added: roads to a goal along each lever, and along speed and spin rate together."""

import numpy as np
import pytest
from levered import THROWS
from reached import EVERY, asked, measured, result_of
from starters import STILL, Json, starter, with_lever

from latebreak.engine.errors import InputError
from latebreak.service.questions import fly
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.reach import USUAL
from latebreak.service.scenario import from_mapping


# --- keys and numbers -----------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def sure() -> Json:
    """Roads of the starter's curve to 2 points more, with intervals."""
    return asked(starter(), "miss_chance_percent", "+2", intervals=True)


def test_the_keys_of_the_contract(sure: Json) -> None:
    assert set(sure) == {"command", "title", "seed", "throws", "version", "warnings", "cautions", "result"}
    assert (sure["command"], sure["throws"]) == ("reach", THROWS)
    result = sure["result"]
    assert (result["pitch"], result["fastball"], result["measure"]) == ("curve", "fastball", "miss_chance_percent")
    assert result["goal"] == {"kind": "change", "number": 2.0, "value": pytest.approx(result["now"]["value"] + 2.0)}
    assert set(result["levers"]) == {key for key in USUAL if not key.startswith("launch")}
    for key, road in result["levers"].items():
        told = {"change", "new_value", "reachable", "reason", "measure_there", "lowest", "highest", "trouble"}
        told |= {"arrives_percent"} if road["trouble"] in ("", "unsure") else set()
        assert set(road) == told, key
        assert (road["trouble"] == "") == road["reachable"], key
        assert road["lowest"] <= road["highest"], key
        interval = {"low", "high"} if road["reachable"] else set()
        assert set(road["change"]) == {"value", "sampling_error"} | interval, key
        if road["reachable"]:
            assert road["change"]["low"] <= road["change"]["value"] <= road["change"]["high"], key
            assert road["change"]["sampling_error"] > 0.0, key
    for pair in result["frontier"]:
        assert set(pair) == {"speed_mph", "spin_rpm"}


def test_now_is_what_compare_says(sure: Json) -> None:
    """Digit for digit, the interval too."""
    assert sure["result"]["now"] == measured(starter(), "miss_chance_percent", intervals=True)
    for measure in ("late_break_in", "tunnel_exit_ft", "recognition_ft"):
        assert result_of(starter(), measure, "+0", by=["speed_mph"])["now"] == measured(starter(), measure)


def test_new_values_are_where_the_change_leads(sure: Json) -> None:
    scenario = from_mapping(starter()).scenario
    for key, road in sure["result"]["levers"].items():
        lever = BY_KEY[key]
        now = lever.stands_at(scenario.pitch["curve"], "right")
        low, high = lever.bounds(scenario, "fastball", "curve")
        assert road["new_value"] == pytest.approx(now + road["change"]["value"])
        assert low - 1e-9 <= road["new_value"] <= high + 1e-9
        if road["reachable"]:
            assert low - now - 1e-9 <= road["change"]["low"]
            assert road["change"]["high"] <= high - now + 1e-9


def test_without_intervals_nothing_is_claimed() -> None:
    result = result_of(starter(), "miss_chance_percent", "+2")
    assert "low" not in result["now"]
    assert all("low" not in road["change"] for road in result["levers"].values())


def test_the_same_seed_the_same_digits() -> None:
    one, again, other = (asked(starter(), "miss_chance_percent", "+1", by=["speed_mph"], seed=s) for s in (5, 5, 6))
    assert one == again
    assert one["result"]["levers"] != other["result"]["levers"]


def test_a_wider_model_uncertainty_is_a_wider_interval() -> None:
    """Without intervals a change is known to its sampling error; with them it is known less well than that."""
    road = result_of(starter(), "late_break_in", "=2.2", intervals=True, by=["spin_rpm"])["levers"]["spin_rpm"]
    width = road["change"]["high"] - road["change"]["low"]
    assert width > 4.0 * road["change"]["sampling_error"]
    # lift is known to 10 %, and the late break rises with it as with the spin rate, less than in proportion: some 10 %
    # of 2,300 rpm, times 3.3 for 90 %
    assert 300.0 < width < 1600.0


# --- there and back -------------------------------------------------------------------------------------------------
#: A goal within reach of most levers, by measure.
THERE = {
    "miss_chance_percent": "+1.5",
    "late_break_in": "+0.15",
    "tunnel_exit_ft": "-0.5",
    "clean_contact_percent": "-0.3",
    "arrival_surprise_side_in": "+0.1",
    "recognition_ft": "-0.1",
    "path_gap_at_commit_arcmin": "-20",
    "timing_surprise_ms": "+0.3",
}


@pytest.mark.parametrize("measure", THERE)
def test_a_road_that_is_taken_leads_to_the_goal(measure: str) -> None:
    """Every road, written into the file and asked about again, without a root of its own being trusted.

    Within two sampling errors of the measure, the search's own bound, and 0.1 % of it, as what nothing is sampled of
    has none.
    """
    result = result_of(starter(), measure, THERE[measure], by=EVERY)
    roads = {key: road for key, road in result["levers"].items() if road["reachable"]}
    assert len(roads) >= 2
    for key, road in roads.items():
        there = measured(with_lever(starter(), key, road["new_value"]), measure)
        slack = 2.0 * there["sampling_error"] + 1e-3 * max(abs(result["goal"]["value"]), 1.0)
        assert there["value"] == pytest.approx(result["goal"]["value"], abs=slack), key
        assert there["value"] == pytest.approx(road["measure_there"], abs=slack), key
        assert abs(road["change"]["value"]) > 0.0, key


@pytest.mark.parametrize("measure", ["miss_chance_percent", "late_break_in", "tunnel_exit_ft"])
def test_a_change_is_met_closer_than_the_measure_is_known(measure: str) -> None:
    """Common throws: with the same seed the goal is met to a tenth of the measure's own sampling error and 0.1 %."""
    result = result_of(starter(), measure, THERE[measure], by=["speed_mph", "spin_rpm", "efficiency_percent"])
    for key, road in result["levers"].items():
        if road["reachable"]:
            there = measured(with_lever(starter(), key, road["new_value"]), measure)
            close = 0.1 * there["sampling_error"] + 1e-3 * abs(result["goal"]["value"])
            assert there["value"] == pytest.approx(result["goal"]["value"], abs=close), key


@pytest.mark.slow
def test_now_as_a_goal_is_no_change() -> None:
    """As a value to the last digit, and as a change of nothing; whatever the lever does to the measure."""
    for measure in ("miss_chance_percent", "late_break_in", "tunnel_exit_ft", "recognition_ft"):
        now = measured(starter(), measure)["value"]
        levers = EVERY if measure != "recognition_ft" else ["spin_rpm", "spread_scale"]  # looks are dear
        for goal in (now, "+0"):
            for key, road in result_of(starter(), measure, goal, by=levers)["levers"].items():
                assert road["reachable"], (measure, key)
                assert road["change"]["value"] == pytest.approx(0.0, abs=1e-9), (measure, key)
                assert road["measure_there"] == pytest.approx(now, rel=1e-6), (measure, key)


def test_a_change_of_nothing_is_sure() -> None:
    """No draw of what is not known moves it; as a value it is another matter: the pitch may be elsewhere already."""
    by = ["speed_mph", "spin_rpm"]
    for road in result_of(starter(), "late_break_in", "+0", by=by, intervals=True)["levers"].values():
        assert road["change"]["low"] == road["change"]["high"] == 0.0
        assert road["reason"] == ""
    now = measured(starter(), "late_break_in")["value"]
    for key, road in result_of(starter(), "late_break_in", now, by=by, intervals=True)["levers"].items():
        assert road["change"]["low"] < 0.0 < road["change"]["high"], key


def test_a_lever_that_does_nothing() -> None:
    """A pitch without spread can't be scaled: it has what it has, and reaches nothing else."""
    still = starter(spread=STILL)
    now = measured(still, "miss_chance_percent")["value"]
    there = result_of(still, "miss_chance_percent", now, by=["spread_scale"])["levers"]["spread_scale"]
    assert (there["reachable"], there["change"]["value"], there["reason"]) == (True, 0.0, "")
    away = result_of(still, "miss_chance_percent", "+5", by=["spread_scale"])["levers"]["spread_scale"]
    assert not away["reachable"]


# --- levers ---------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("gyro", [45.0, -45.0])
def test_a_cleaner_axis_for_a_gyro_angle(gyro: float) -> None:
    """The road is told in efficiency; written beside the sense that the angle had, it leads there."""
    mapping = starter(efficiency_percent=None, gyro_deg=gyro)
    result = result_of(mapping, "late_break_in", "+0.15", by=["efficiency_percent"])
    road = result["levers"]["efficiency_percent"]
    assert road["reachable"]
    assert road["new_value"] - road["change"]["value"] == pytest.approx(100.0 * np.cos(np.radians(45.0)))
    there = measured(with_lever(mapping, "efficiency_percent", road["new_value"]), "late_break_in")
    assert there["value"] == pytest.approx(result["goal"]["value"], abs=0.002)


def test_levers_of_the_spread() -> None:
    """A measure that the scatter moves; both stand in the file as spread."""
    result = result_of(starter(), "arrival_surprise_rms_in", "+0.3", by=["spread_scale", "spread.break_clock_deg"])
    scale = result["levers"]["spread_scale"]
    assert scale["reachable"]
    assert 1.0 < scale["new_value"] < 1.75  # more scatter is harder to foresee
    there = measured(with_lever(starter(), "spread_scale", scale["new_value"]), "arrival_surprise_rms_in")
    assert there["value"] == pytest.approx(result["goal"]["value"], abs=0.01)


def test_levers_of_a_launched_pitch() -> None:
    aimed = fly(from_mapping(starter()), throws=8).result.pitches["curve"].quantities
    launch = {key: aimed[key].mean for key in ("launch_elevation_deg", "launch_azimuth_deg")}
    mapping = starter(target_side_ft=None, target_height_ft=None, **launch)
    result = result_of(mapping, "miss_chance_percent", "+1")
    assert set(result["levers"]) == {key for key in USUAL if not key.startswith("target")}
    with pytest.raises(InputError) as caught:
        asked(mapping, "miss_chance_percent", "+1", by=["target_height_ft"])
    assert "'curve' has no lever 'target_height_ft'" in str(caught.value)
    assert "launch_elevation_deg" in str(caught.value)


def test_a_lever_named_twice_is_asked_once() -> None:
    assert list(result_of(starter(), "late_break_in", "+0.1", by=["spin_rpm", "spin_rpm"])["levers"]) == ["spin_rpm"]


def test_a_response_that_turns() -> None:
    """The path gap is largest near 6:30 and falls off on both sides, so two clocks give 8.1 in: one about 6:00 and one
    about 6:45. The curve stands at 7:00; the nearer is named, and that there is another.
    """
    measure = "path_gap_at_100ms_in"
    clocks = (165.0, 180.0, 195.0, 210.0)
    early, _, top, now = (measured(with_lever(starter(), "break_clock_deg", x), measure)["value"] for x in clocks)
    assert early < 8.1 < top
    assert now < 8.1
    road = result_of(starter(), measure, 8.1, by=["break_clock_deg"])["levers"]["break_clock_deg"]
    assert road["reachable"]
    assert 195.0 < road["new_value"] < 210.0
    assert road["reason"] == "the response is not monotone: this is the root nearest to now"
    over = result_of(starter(), measure, 8.5, by=["break_clock_deg"])["levers"]["break_clock_deg"]
    assert not over["reachable"]
    assert 180.0 < over["new_value"] < 210.0  # where it turns


# --- speed and spin rate together -----------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("measure", "goal"), [("blind_break_in", "+0.5"), ("late_break_in", "+0.3"), ("path_gap_at_commit_in", "-0.3")]
)
def test_pairs_of_the_frontier_meet_the_goal(measure: str, goal: str) -> None:
    """Each pair, written into the file and asked with as many throws: within a sampling error, as a road arrives."""
    result = result_of(starter(), measure, goal, throws=2048, by=["spin_rpm"])
    scenario = from_mapping(starter()).scenario
    bounds = {key: BY_KEY[key].bounds(scenario, "fastball", "curve") for key in ("speed_mph", "spin_rpm")}
    assert len(result["frontier"]) >= 3
    speeds = [pair["speed_mph"] for pair in result["frontier"]]
    assert speeds == sorted(set(speeds))
    for pair in result["frontier"]:
        there = measured(starter(**pair), measure, throws=2048)
        slack = there["sampling_error"]
        assert there["value"] == pytest.approx(result["goal"]["value"], abs=slack), pair
        for key, (low, high) in bounds.items():
            assert low <= pair[key] <= high


def test_the_frontier_goes_through_the_road_of_the_spin_rate() -> None:
    """At the pitch's own speed the pair is the road along the spin rate alone."""
    result = result_of(starter(), "late_break_in", "+0.2", by=["spin_rpm"], throws=2048)
    own = next(pair for pair in result["frontier"] if pair["speed_mph"] == 74.0)
    road = result["levers"]["spin_rpm"]
    assert own["spin_rpm"] == pytest.approx(road["new_value"], abs=3.0 * road["change"]["sampling_error"] + 2.0)
