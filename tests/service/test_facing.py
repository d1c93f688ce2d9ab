"""The hitter of a question: what the keys of `[hitter]` do, which model sees, and in which mix a pitch is judged."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.engine.units import FOOT, MILLISECOND
from latebreak.perception.decision import Zone
from latebreak.perception.eye import Eye
from latebreak.perception.model import one_glance
from latebreak.perception.parameters import NAMES, keys, parameter_table, preset, unit_of
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.perception.registry import names as model_names
from latebreak.service.judging.hitter import hitter_of, mix_of
from latebreak.service.plain import plain
from latebreak.service.questions import compare, fly, reach
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.section import Level

#: A curve that no college hitter has seen: hard, much spin, nearly all of it across the flight.
UNUSUAL = {"speed_mph": 79.0, "spin_rpm": 2900, "break_clock": "6:20", "efficiency_percent": 97}
#: A curve that is hard to tell from the fastball in time.
TIGHT = {"speed_mph": 80.0, "efficiency_percent": 42}

Found = dict[str, tuple[float, float]]


def scenario(curve: dict[str, Any] | None = None, **hitter: Any) -> dict[str, Any]:
    mapping = starter() | {"hitter": hitter}
    mapping["pitch"]["curve"] |= curve or {}
    return mapping


def seen(curve: dict[str, Any] | None = None, throws: int = 4000, **hitter: Any) -> Found:
    """Value and sampling error of every key of the starter's curve before such a hitter."""
    answer = compare(from_mapping(scenario(curve, **hitter)), throws=throws, intervals=False)
    return {key: (one.value, one.sampling_error) for key, one in answer.result.pitches["curve"].items()}


def exceeds(key: str, more: Found, less: Found) -> bool:
    """Whether a value is larger beyond four standard errors."""
    return bool(more[key][0] - less[key][0] > 4.0 * np.hypot(more[key][1], less[key][1]))


# --- the hitter of the file -----------------------------------------------------------------------------------------
@pytest.mark.parametrize("level", ["youth", "high_school", "college", "professional"])
def test_what_the_file_leaves_open_is_of_the_level(level: Level) -> None:
    entry = from_mapping(scenario(level=level)).scenario.hitter
    found, expected = hitter_of(from_mapping(scenario(level=level)).scenario), preset(level, 0.5)
    assert found.given == {"commit"}  # by the level, and never drawn
    assert found.parameters.commit == pytest.approx(entry.commit_before_arrival_ms * MILLISECOND)
    for name in NAMES:
        assert name == "commit" or getattr(found.parameters, name) == getattr(expected, name)


@pytest.mark.parametrize("key", keys().values())
def test_what_the_file_gives_replaces_that_parameter_alone_and_is_known(key: str) -> None:
    """Any value within what is possible, in the unit of its key; at familiarity 0 nothing is taken off its memory."""
    value = float(np.mean(parameter_table()["parameter"][key]["possible"]))
    given, default = (
        hitter_of(from_mapping(scenario(None, familiarity=0.0, **own)).scenario) for own in ({key: value}, {})
    )
    (name,) = (one for one, its in keys().items() if its == key)
    assert getattr(given.parameters, name) == pytest.approx(value * unit_of(key), rel=1e-12)
    assert given.given == {name, "commit"}
    assert all(getattr(given.parameters, one) == getattr(default.parameters, one) for one in NAMES if one != name)
    drawn = given.members(16, 3)
    assert np.ptp(getattr(drawn, name)) == 0.0
    assert np.ptp(drawn.lapse if name != "lapse" else drawn.motor_time) > 0.0  # the others are not known


def test_the_eye_the_zone_and_the_count_are_the_files() -> None:
    given = {"eye_side_ft": 2.0, "eye_height_ft": 5.0, "eye_depth_ft": 1.0, "commit_before_arrival_ms": 140.0}
    given |= {"zone_bottom_ft": 1.2, "zone_top_ft": 3.1, "balls": 3, "strikes": 2}
    found = hitter_of(from_mapping(scenario(None, bats="left", **given)).scenario)
    assert found.eye == Eye(2.0 * FOOT, 5.0 * FOOT, 1.0 * FOOT, "left")
    assert found.parameters.commit == pytest.approx(0.140)
    assert found.situation.zone == Zone(1.2 * FOOT, 3.1 * FOOT)
    assert (found.situation.bats, found.situation.throws) == ("left", "right")
    assert found.situation.count == (3, 2)
    assert hitter_of(from_mapping(scenario()).scenario).situation.count is None


# --- what the keys do -----------------------------------------------------------------------------------------------
def test_a_hitter_who_knows_an_unusual_pitch_misses_it_less() -> None:
    """And is surprised less: what he remembers of it errs less."""
    first, some, scouted = (seen(UNUSUAL, familiarity=share) for share in (0.0, 0.5, 1.0))
    for more, less in ((first, some), (some, scouted)):
        assert more["miss_chance_percent"][0] > less["miss_chance_percent"][0]
        assert more["arrival_surprise_rms_in"][0] > less["arrival_surprise_rms_in"][0]
    assert exceeds("miss_chance_percent", first, scouted)
    assert exceeds("clean_contact_percent", scouted, first)
    assert exceeds("arrival_surprise_rms_in", first, scouted)


@pytest.mark.parametrize("cue", ["line_efficiency", "bend_efficiency"])
def test_a_cue_that_is_used_is_believed_sooner(cue: str) -> None:
    ignored, used = (seen(TIGHT, **dict[str, Any]({cue: share})) for share in (1e-5, 1.0))
    assert exceeds("belief_at_commit_percent", used, ignored)
    assert exceeds("recognition_before_arrival_ms", used, ignored)
    assert exceeds("miss_chance_percent", ignored, used)


def test_a_worse_memory_of_the_movement_is_an_error_in_place() -> None:
    found = [seen(TIGHT, familiarity=0.2, memory_error=share) for share in (0.0, 0.4, 1.0)]
    for good, bad in pairwise(found):
        assert bad["arrival_surprise_rms_in"][0] > good["arrival_surprise_rms_in"][0]
        assert bad["miss_chance_percent"][0] > good["miss_chance_percent"][0]
    for key in ("arrival_surprise_rms_in", "miss_chance_percent"):
        assert exceeds(key, found[-1], found[0])


def test_a_scouted_hitter_has_no_error_of_memory() -> None:
    """`memory_error` is that of a first look."""
    known, forgetful = (seen(familiarity=1.0, memory_error=share) for share in (0.0, 1.0))
    assert forgetful == known


def test_whoever_commits_later_or_has_less_latency_knows_more() -> None:
    """And misses less: what he sees until then counts for the swing. The commit point moves the late break besides."""
    for key, values in (("commit_before_arrival_ms", (100.0, 150.0, 200.0)), ("latency_ms", (50.0, 100.0, 200.0))):
        found = [seen(TIGHT, **dict[str, Any]({key: value})) for value in values]
        for later, earlier in pairwise(found):
            assert exceeds("belief_at_commit_percent", later, earlier), key
            assert exceeds("miss_chance_percent", earlier, later), key
            assert exceeds("clean_contact_percent", later, earlier), key
            assert earlier["blind_break_in"][0] > later["blind_break_in"][0] + 0.4, key
            if key == "latency_ms":
                assert earlier["late_break_in"] == later["late_break_in"]
                assert exceeds("recognition_before_arrival_ms", later, earlier)
            else:
                assert earlier["late_break_in"][0] > later["late_break_in"][0] + 0.4


@pytest.mark.parametrize(
    ("key", "values"),
    [("motor_height_in", (0.5, 1.5, 3.0)), ("lapse_percent", (0.1, 5.0, 20.0))],
)
def test_a_worse_swing_misses_more_and_sees_the_same(key: str, values: tuple[float, ...]) -> None:
    found = [seen(**dict[str, Any]({key: value})) for value in values]
    for good, bad in pairwise(found):
        assert exceeds("miss_chance_percent", bad, good)
        assert exceeds("clean_contact_percent", good, bad)
        for same in ("swing_percent", "belief_at_commit_percent", "arrival_surprise_rms_in", "tunnel_exit_ft"):
            assert good[same] == bad[same]


def test_a_swing_that_is_badly_timed_meets_it_cleanly_less_often() -> None:
    good, bad = (seen(motor_time_ms=value) for value in (4.0, 25.0))
    assert exceeds("clean_contact_percent", good, bad)
    assert bad["miss_chance_percent"][0] >= good["miss_chance_percent"][0]


def test_the_count_moves_the_swing_and_nothing_that_is_seen() -> None:
    """Behind in the count he protects, ahead he waits for his pitch."""
    first, behind, ahead = (seen(balls=b, strikes=s) for b, s in ((0, 0), (0, 2), (3, 0)))
    for more, less in ((behind, first), (first, ahead)):
        assert exceeds("swing_percent", more, less)
        assert exceeds("chase_percent", more, less)
        assert exceeds("called_strike_percent", less, more)
        for same in ("zone_percent", "belief_at_commit_percent", "arrival_surprise_rms_in", "recognition_ft"):
            assert more[same] == less[same]


@pytest.mark.parametrize(("given", "missing"), [("balls", "strikes"), ("strikes", "balls")])
def test_half_a_count_is_no_count(given: str, missing: str) -> None:
    """Nothing that the model could use, so the file is asked for the other."""
    ((where, words),) = faults_of(scenario(**dict[str, Any]({given: 2})))
    assert where == f"hitter.{missing}"
    assert f"{given} = 2" in words


@pytest.mark.parametrize(
    ("given", "where"),
    [
        ({"zone_bottom_ft": 2.2, "zone_top_ft": 2.1}, "hitter.zone_top_ft"),
        ({"zone_bottom_ft": 3.6}, "hitter.zone_bottom_ft"),  # an adult's ends at 3.5 ft
        ({"zone_top_m": 0.4}, "hitter.zone_top_m"),
    ],
)
def test_a_zone_has_its_top_above_its_bottom(given: dict[str, Any], where: str) -> None:
    ((found, words),) = faults_of(scenario(**given))
    assert found == where
    assert "a top above the bottom" in words


def test_a_pitch_that_is_expected_is_believed() -> None:
    rare, common = (seen(TIGHT, expects={"fastball": 1.0 - share, "curve": share}) for share in (0.1, 0.6))
    assert exceeds("belief_at_commit_percent", common, rare)
    assert exceeds("miss_chance_percent", rare, common)
    assert exceeds("recognition_before_arrival_ms", common, rare)


def test_a_pitch_that_nobody_expects_is_swung_at_as_the_fastball() -> None:
    """The swing is far above it, and far too early."""
    found = seen(TIGHT, expects={"fastball": 1.0, "curve": 0.0})
    assert found["belief_at_commit_percent"][0] < 2.0
    assert found["miss_chance_percent"][0] > 80.0
    assert found["arrival_surprise_vertical_in"][0] < -10.0
    assert found["timing_surprise_ms"][0] > 15.0


def test_the_higher_zone_holds_fewer_low_curves() -> None:
    low, high = (seen(zone_bottom_ft=bottom, zone_top_ft=bottom + 2.0) for bottom in (1.2, 2.2))
    assert exceeds("zone_percent", low, high)
    assert exceeds("called_strike_percent", low, high)


# --- the models -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", model_names())
def test_every_model_answers(name: str) -> None:
    """Named in the file, with intervals."""
    answer = compare(from_mapping(scenario(UNUSUAL, model=name)), throws=80)
    assert answer.to_dict()["result"]["pitches"]["curve"]["miss_chance_percent"]["low"] >= 0.0


def test_the_default_model_is_one_glance() -> None:
    assert seen(TIGHT, model="one_glance") == seen(TIGHT)
    assert hitter_model(DEFAULT) is one_glance


@pytest.mark.parametrize("curve", [{}, TIGHT, UNUSUAL], ids=["usual", "tight", "unusual"])
def test_the_keen_eye_is_the_bound(curve: dict[str, Any]) -> None:
    keen, hitter = (seen(curve, model=name) for name in ("keen_eye", "one_glance"))
    assert exceeds("miss_chance_percent", hitter, keen)
    assert exceeds("arrival_surprise_rms_in", hitter, keen)
    assert exceeds("tunnel_exit_ft", keen, hitter)
    assert keen["belief_at_commit_percent"][0] >= hitter["belief_at_commit_percent"][0]


def test_who_trusts_speed_alone_misses_a_hard_curve() -> None:
    """He takes it for the fastball more often, and swings above it. Where things are is the same for both."""
    alone, hitter = (seen(UNUSUAL, model=name) for name in ("speed_alone", "one_glance"))
    assert exceeds("belief_at_commit_percent", hitter, alone)
    assert exceeds("miss_chance_percent", alone, hitter)
    assert alone["arrival_surprise_vertical_in"][0] < hitter["arrival_surprise_vertical_in"][0] - 4.0
    for key in ("late_break_in", "path_gap_at_commit_in", "zone_percent"):
        assert alone[key] == hitter[key]


def faults_of(mapping: dict[str, Any]) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        compare(from_mapping(mapping, "bullpen.toml"), throws=64)
    assert all(line.startswith("bullpen.toml: ") for line in str(caught.value).split("\n"))
    return [(fault.where, f"{fault.problem}; {fault.allowed}") for fault in caught.value.faults]


def test_an_unknown_model_is_one_fault_that_lists_the_names() -> None:
    ((where, words),) = faults_of(scenario(model="obsrever"))
    assert where == "hitter.model"
    assert "'obsrever'" in words
    assert all(name in words for name in model_names())


def test_an_unknown_model_is_said_with_all_other_faults() -> None:
    found = faults_of(scenario({"speed_mph": 900.0}, model="obsrever"))
    assert sorted(where for where, _ in found) == ["hitter.model", "pitch.curve.speed_mph"]


# --- the mix --------------------------------------------------------------------------------------------------------
def mixed(compared: list[str], name: str, **expects: float) -> list[tuple[str, float]]:
    mapping = scenario(expects=expects)
    for other in expects:
        mapping["pitch"].setdefault(other, mapping["pitch"]["curve"])
    return list(mix_of(from_mapping(mapping).scenario, "fastball", compared, name).items())


def test_the_judged_pitch_holds_the_sum_of_the_compared() -> None:
    expects = {"fastball": 0.5, "curve": 0.125, "slow": 0.25, "hard": 0.125}
    assert mixed(["curve"], "curve", **expects) == [
        ("fastball", 0.5), ("hard", 0.125), ("slow", 0.25), ("curve", 0.125),
    ]  # fmt: skip
    assert mixed(["curve", "hard"], "hard", **expects) == [("fastball", 0.5), ("slow", 0.25), ("hard", 0.25)]
    for name in ("curve", "slow", "hard"):
        assert mixed(["curve", "slow", "hard"], name, **expects) == [("fastball", 0.5), (name, 0.5)]


def test_the_fastball_too_is_judged_among_the_others() -> None:
    expects = {"fastball": 0.5, "curve": 0.25, "slow": 0.25}
    assert mixed(["fastball"], "fastball", **expects) == [("curve", 0.25), ("slow", 0.25), ("fastball", 0.5)]


def test_another_fastball_is_one_of_the_mix() -> None:
    """Of the staff's two fastballs the one that is not the reference keeps its share."""
    from latebreak.service.scenario import load

    found = mix_of(load("staff").scenario, "four_seam", ["changeup", "curve"], "curve")
    assert list(found) == ["four_seam", "sinker", "curve"]
    assert list(found.values()) == pytest.approx([0.36, 0.22, 0.42])


def test_an_answer_says_among_which_pitches_it_is_judged() -> None:
    """One grip alone is judged beside the other, both together are alternatives that hold the sum of their shares."""
    mapping = scenario(expects={"fastball": 0.5, "curve": 0.125, "slow": 0.375})
    mapping["pitch"]["slow"] = mapping["pitch"]["curve"] | {"speed_mph": 68.0}
    both, one = (
        compare(from_mapping(mapping), pitches=names, throws=64, intervals=False) for names in (None, ["curve"])
    )
    assert plain(both.result)["judged_among"] == "curve or slow 50 %, fastball 50 %"
    assert plain(one.result)["judged_among"] == "curve 12.5 %, fastball 50 %, slow 37.5 %"
    wanted = reach(
        from_mapping(mapping), pitch="curve", measure="late_break_in", goal="+0.1", by=["speed_mph"], throws=64
    )
    assert wanted.result.judged_among == both.result.judged_among


def test_the_hitter_is_no_business_of_fly() -> None:
    """Where pitches go does not depend on who hits."""
    hitters: list[dict[str, Any]] = [{}, {"bats": "left", "familiarity": 1.0, "model": "keen_eye"}]
    here, there = (fly(from_mapping(scenario(None, **hitter)), throws=64).to_dict()["result"] for hitter in hitters)
    assert here == there
