"""Comparisons at the edge: bad questions, pitches that hardly arrive, pitches that nothing bends."""

from typing import Any

import pytest
from starters import STILL, Json, asked, compared, starter, with_pitches

from latebreak.engine.errors import InputError
from latebreak.service.questions import compare, fly
from latebreak.service.scenario import Loaded, from_mapping

MOMENTS = ("tunnel_exit", "recognition", "break_onset")


# --- bad questions --------------------------------------------------------------------------------------------------
def faults(source: Json | str, **how: Any) -> list[tuple[str, str]]:
    loaded: Loaded | str = from_mapping(source, "bullpen.toml") if isinstance(source, dict) else source
    with pytest.raises(InputError) as caught:
        compare(loaded, throws=64, **how)
    for line in str(caught.value).split("\n"):
        assert line.isprintable()
        assert line.startswith(("bullpen.toml: ", f"{source}: "))
    return [(fault.where, f"{fault.problem}; {fault.allowed}; {fault.remedy}") for fault in caught.value.faults]


def test_without_a_fastball_role_is_named() -> None:
    mapping = starter()
    mapping["pitch"]["fastball"]["role"] = "offspeed"
    ((where, words),) = faults(mapping)
    assert where.endswith("role")
    assert 'role = "fastball"' in words


def test_a_fastball_alone_has_nothing_beside_it() -> None:
    mapping = starter()
    del mapping["pitch"]["curve"]
    ((where, words),) = faults(mapping)
    assert where == "pitch"
    assert "[pitch.NAME]" in words


def test_every_unknown_pitch_is_named_at_once() -> None:
    found = faults("two-grips", pitches=["curve_spike", "slider", "curve_spkie"])
    assert [where for where, _ in found] == ["pitches", "pitches"]
    assert "'slider'" in found[0][1]
    assert "'curve_spkie'" in found[1][1]
    assert all("curve_spike, curve_standard" in words for _, words in found)


def test_the_fastball_is_no_candidate() -> None:
    ((where, words),) = faults("two-grips", pitches=["fastball", "curve_spike"])
    assert where == "pitches"
    assert "'fastball'" in words
    assert "curve_spike, curve_standard" in words


def test_no_name_at_all() -> None:
    ((where, words),) = faults("two-grips", pitches=[])
    assert where == "pitches"
    assert "no pitch is named" in words


def test_a_name_given_twice_counts_once() -> None:
    assert list(compared("two-grips", pitches=["curve_spike", "curve_spike"], throws=64)) == ["curve_spike"]


def test_another_fastball_is_compared_when_asked_for() -> None:
    assert list(compared("staff", throws=64, intervals=False)) == ["changeup", "curve"]
    assert list(compared("staff", pitches=["sinker"], throws=64, intervals=False)) == ["sinker"]


def test_mean_pitches_that_never_arrive_are_named_at_once() -> None:
    line = {"launch_elevation_deg": 60.0, "launch_azimuth_deg": 0.0}
    mapping = starter(target_side_ft=None, target_height_ft=None, **line)
    mapping["pitch"]["low"] = mapping["pitch"]["curve"] | {"launch_elevation_deg": -20.0}
    found = faults(mapping)
    assert [where for where, _ in found] == ["pitch.curve", "pitch.low"]
    assert all("does not reach the plate" in words and " ft away" in words for _, words in found)
    assert all("launch angles" in words for _, words in found)


def test_unreachable_targets_are_one_fault_each_at_once() -> None:
    """At 20 mph a ball flies 27 ft at most on the level (computed: v^2/g); the plate is 54 ft away."""
    mapping = with_pitches(lob={"speed_mph": 20.0}, drop={"speed_mph": 10.0})
    found = faults(mapping)
    assert [where for where, _ in found] == ["pitch.lob.target_height_ft", "pitch.drop.target_height_ft"]
    assert "20 mph" in found[0][1]
    assert "10 mph" in found[1][1]


# --- pitches that hardly arrive -------------------------------------------------------------------------------------
def test_many_throws_in_the_dirt_are_said() -> None:
    answer = asked(starter(target_height_ft=0.4), throws=640)
    assert any("pitch.curve" in warning and "leaves them out" in warning for warning in answer["warnings"])


def test_no_throw_that_arrives_is_null_and_said() -> None:
    """One throw, drawn so wide that it sails away: nothing is known of it, and no word says nan."""
    mapping = starter(target_height_ft=0.3, spread={"launch_elevation_deg": 20.0})
    for intervals in (True, False):
        answer = asked(mapping, throws=1, seed=5, intervals=intervals)
        curve = answer["result"]["pitches"]["curve"]
        assert all((estimate["value"] is None) != key.startswith(MOMENTS) for key, estimate in curve.items())
        assert any("100 % of the throws" in warning for warning in answer["warnings"])
        assert "nan" not in " ".join(answer["result"]["why"])


def test_draws_that_can_not_be_thrown_are_said() -> None:
    """A lob on the edge of its reach, which the hitter expects besides two curves, misses its target under more than
    half of the draws: the answer says in how many, and does not tell a user who asked for intervals that they were not
    asked for.
    """
    mapping = with_pitches(hard={"speed_mph": 80.0}, lob={"speed_mph": 28.9, "mean_error": {"speed_mph": 6.0}})
    answer = asked(mapping, pitches=["curve", "hard"], throws=80, seed=2)
    assert any("pitch.lob: in " in warning and "reach its target" in warning for warning in answer["warnings"])
    assert all("low" not in pitch["miss_chance_percent"] for pitch in answer["result"]["pitches"].values())
    assert "chance_percent" not in answer["result"]["better"]
    why = " ".join(answer["result"]["why"])
    assert "too few cases" in why
    assert "not asked for" not in why


def test_draws_in_which_no_throw_arrives_are_no_zeros() -> None:
    """A curve on a given line that just clears the ground at the plate: in some draws it bounces. Those can't say how
    late it breaks, so they leave the interval alone: a lift known to 10 % moves the late break by less than half.
    """
    aimed_low = fly(from_mapping(starter(target_height_ft=0.2, spread=STILL)), throws=8).result.pitches["curve"]
    line = {key: aimed_low.quantities[key].mean for key in ("launch_elevation_deg", "launch_azimuth_deg")}
    mapping = starter(target_side_ft=None, target_height_ft=None, spread=STILL, **line)
    late = compared(mapping, throws=16)["curve"]["late_break_in"]
    assert late["low"] > 0.5 * late["value"]


def test_without_spin_no_share_is_claimed() -> None:
    """A ball that nothing bends has no late break, and no share of nothing: 0 or null, not a ratio of roundings."""
    curve = compared(starter(spin_rpm=0.0, spread=STILL), throws=16)["curve"]
    assert curve["late_break_in"]["value"] < 0.005
    assert curve["late_break_share_percent"]["value"] in (0.0, None)
