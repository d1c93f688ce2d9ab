"""The hitter of a question: what the keys of `[hitter]` do, which model sees, and in which mix a pitch is judged."""

import tomllib
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from latebreak.engine.errors import InputError
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import TRAITS, preset
from latebreak.perception.model import observer
from latebreak.perception.registry import DEFAULT, hitter_model
from latebreak.perception.registry import names as model_names
from latebreak.service.judging.judged_pitch import hitter_of
from latebreak.service.judging.lineup import mix_of
from latebreak.service.questions import compare, fly, reach
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.section import Level
from latebreak.service.scenario.starter import starter_text

#: A curve that no college hitter has seen: hard, much spin, nearly all of it across the flight.
UNUSUAL = {"speed_mph": 79.0, "spin_rpm": 2900, "break_clock": "6:20", "efficiency_percent": 97}
#: A curve that is hard to tell from the fastball in time.
TIGHT = {"speed_mph": 80.0, "efficiency_percent": 42}

Found = dict[str, tuple[float, float]]


def scenario(curve: dict[str, Any] | None = None, **hitter: Any) -> dict[str, Any]:
    mapping = tomllib.loads(starter_text("base")) | {"hitter": hitter}
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
    found, expected = hitter_of(from_mapping(scenario(level=level)).scenario), preset(level, Eye(), 0.15)
    assert (found.level, found.familiarity) == (level, 0.5)
    assert found.commit_before_arrival == pytest.approx(entry.commit_before_arrival_ms * MILLISECOND)
    for trait in TRAITS:
        assert getattr(found.traits, trait) == getattr(expected.traits, trait)


@pytest.mark.parametrize(
    ("key", "value", "trait", "si"),
    [
        ("evidence_efficiency", 0.3, "evidence_efficiency", 0.3),
        ("template_speed_error_percent", 7.0, "speed_error", 0.07),
        ("template_movement_error_percent", 55.0, "movement_error", 0.55),
        ("template_direction_error_deg", 30.0, "direction_error", 30.0 * DEGREE),
    ],
)
def test_what_the_file_gives_replaces_that_trait_alone(key: str, value: float, trait: str, si: float) -> None:
    given, default = (hitter_of(from_mapping(scenario(None, **keys)).scenario).traits for keys in ({key: value}, {}))
    assert getattr(given, trait) == pytest.approx(si, rel=1e-12)
    assert all(getattr(given, other) == getattr(default, other) for other in TRAITS if other != trait)


def test_the_eye_and_the_commit_point_are_the_files() -> None:
    keys = {"eye_side_ft": 2.0, "eye_height_ft": 5.0, "eye_depth_ft": 1.0, "commit_before_arrival_ms": 140.0}
    found = hitter_of(from_mapping(scenario(None, bats="left", familiarity=0.8, **keys)).scenario)
    assert found.eye == Eye(2.0 * FOOT, 5.0 * FOOT, 1.0 * FOOT, "left")
    assert found.commit_before_arrival == pytest.approx(0.140)
    assert found.familiarity == 0.8


# --- what the keys do -----------------------------------------------------------------------------------------------
def test_a_hitter_who_knows_an_unusual_pitch_misses_it_less() -> None:
    """And is surprised less: at familiarity 1 what is remembered is the pitch, so nothing is left but what is seen."""
    first, some, scouted = (seen(UNUSUAL, familiarity=share) for share in (0.0, 0.5, 1.0))
    for more, less in ((first, some), (some, scouted)):
        assert exceeds("miss_chance_percent", more, less)
        assert exceeds("clean_contact_percent", less, more)
        assert exceeds("arrival_surprise_rms_in", more, less)
    assert first["arrival_surprise_vertical_in"][0] < -2.0  # it drops more than such pitches do
    assert abs(scouted["arrival_surprise_vertical_in"][0]) < 0.1
    assert abs(scouted["timing_surprise_ms"][0]) < 0.5


def test_more_of_the_evidence_is_believed_sooner() -> None:
    little, some, all_of_it = (seen(TIGHT, evidence_efficiency=share) for share in (0.01, 0.1, 1.0))
    for less, more in ((little, some), (some, all_of_it)):
        for key in ("belief_at_commit_percent", "recognition_before_arrival_ms", "same_line_separation_ft"):
            assert exceeds(key, more, less), key
    assert exceeds("miss_chance_percent", little, some)
    assert exceeds("miss_chance_percent", little, all_of_it)
    assert all_of_it["belief_at_commit_percent"][0] > 99.0


@pytest.mark.parametrize(
    ("key", "values"),
    [
        ("template_movement_error_percent", (0.0, 40.0, 100.0)),
        ("template_direction_error_deg", (0.0, 30.0, 80.0)),
    ],
)
def test_a_worse_memory_of_the_movement_is_an_error_in_place(key: str, values: tuple[float, ...]) -> None:
    found = [seen(None, **dict[str, Any]({"familiarity": 0.2, key: value})) for value in values]
    for good, bad in pairwise(found):
        assert exceeds("arrival_surprise_rms_in", bad, good)
        assert bad["miss_chance_percent"][0] > good["miss_chance_percent"][0]
    assert exceeds("miss_chance_percent", found[-1], found[0])


def test_a_worse_memory_of_the_speed_is_an_error_in_time() -> None:
    """Who remembers the movement exactly and knows the speed to 5 % only has to see it, and sees it with noise."""
    known, unknown = (
        seen(familiarity=0.0, template_movement_error_percent=0.0, template_speed_error_percent=percent)
        for percent in (0.0, 5.0)
    )
    assert exceeds("miss_chance_percent", unknown, known)
    assert exceeds("clean_contact_percent", known, unknown)
    assert unknown["arrival_surprise_rms_in"][0] == pytest.approx(known["arrival_surprise_rms_in"][0], abs=0.3)


def test_a_scouted_hitter_has_no_error_of_memory() -> None:
    known, forgetful = (
        seen(familiarity=1.0, template_movement_error_percent=percent, template_direction_error_deg=degrees)
        for percent, degrees in ((0.0, 0.0), (100.0, 90.0))
    )
    assert forgetful == known


def test_the_commit_point_moves_the_belief_and_the_late_break() -> None:
    """The later it is, the more is known then, and the less is to come; the swing has cut-offs of its own."""
    late, usual, early = (seen(TIGHT, commit_before_arrival_ms=before) for before in (100.0, 150.0, 200.0))
    for later, earlier in ((late, usual), (usual, early)):
        assert exceeds("belief_at_commit_percent", later, earlier)
        assert earlier["late_break_in"][0] > later["late_break_in"][0] + 0.4
    assert early["miss_chance_percent"] == usual["miss_chance_percent"] == late["miss_chance_percent"]


def test_a_pitch_that_is_expected_is_believed() -> None:
    rare, common = (seen(TIGHT, expects={"fastball": 1.0 - share, "curve": share}) for share in (0.1, 0.6))
    assert exceeds("belief_at_commit_percent", common, rare)
    assert exceeds("miss_chance_percent", rare, common)


def test_a_pitch_that_is_never_expected_is_never_believed() -> None:
    """The swing is at the fastball: far above, and far too early."""
    found = seen(expects={"fastball": 1.0, "curve": 0.0})
    assert found["belief_at_commit_percent"][0] < 1e-6
    assert (found["recognition_reached_percent"][0], found["recognition_ft"][0]) == (0.0, 0.0)
    assert found["miss_chance_percent"][0] > 99.0
    assert found["arrival_surprise_vertical_in"][0] < -10.0
    assert found["timing_surprise_ms"][0] > 40.0


# --- the models -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", model_names())
def test_every_model_answers(name: str) -> None:
    """Named in the file, with intervals."""
    answer = compare(from_mapping(scenario(UNUSUAL, model=name)), throws=80)
    assert answer.to_dict()["result"]["pitches"]["curve"]["miss_chance_percent"]["low"] >= 0.0


def test_the_default_model_is_the_observer() -> None:
    assert seen(TIGHT, model="observer") == seen(TIGHT)
    assert hitter_model(DEFAULT) is observer


@pytest.mark.parametrize("curve", [{}, TIGHT, UNUSUAL], ids=["usual", "tight", "unusual"])
def test_the_ideal_observer_is_the_bound(curve: dict[str, Any]) -> None:
    ideal, hitter = (seen(curve, model=name) for name in ("ideal_observer", "observer"))
    assert exceeds("miss_chance_percent", hitter, ideal)
    assert exceeds("arrival_surprise_rms_in", hitter, ideal)
    assert ideal["belief_at_commit_percent"][0] >= hitter["belief_at_commit_percent"][0]


def test_a_plan_by_belief_lies_between_the_types() -> None:
    """Where the hitter is in doubt, the mean of the types is never as far off as the wrong one: the typical surprise is
    smaller, and clean contact rarer. What is seen is the same.
    """
    weighted, most = (seen(TIGHT, model=name, evidence_efficiency=0.02) for name in ("belief_weighted", "observer"))
    assert exceeds("arrival_surprise_rms_in", most, weighted)
    assert exceeds("clean_contact_percent", most, weighted)
    for key in ("belief_at_commit_percent", "recognition_ft", "same_line_separation_ft", "late_break_in"):
        assert weighted[key] == most[key], key


def test_who_knows_no_spin_misses_a_big_curve() -> None:
    """The plain extrapolator lets the ball fly on without spin: it arrives lower and more to the glove side than he
    thinks, by more than a bat is thick.
    """
    plain, hitter = (seen(UNUSUAL, model=name) for name in ("plain_extrapolator", "observer"))
    assert exceeds("miss_chance_percent", plain, hitter)
    assert plain["arrival_surprise_vertical_in"][0] < hitter["arrival_surprise_vertical_in"][0] - 4.0
    assert plain["arrival_surprise_side_in"][0] > 0.0


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
        ("fastball", 0.5), ("slow", 0.25), ("hard", 0.125), ("curve", 0.125),
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
    assert both.result.to_dict()["judged_among"] == "curve or slow 50 %, fastball 50 %"
    assert one.result.to_dict()["judged_among"] == "curve 12.5 %, fastball 50 %, slow 37.5 %"
    wanted = reach(
        from_mapping(mapping), pitch="curve", measure="late_break_in", goal="+0.1", by=["speed_mph"], throws=64
    )
    assert wanted.result.judged_among == both.result.judged_among


def test_the_hitter_is_no_business_of_fly() -> None:
    """Where pitches go does not depend on who hits."""
    hitters: list[dict[str, Any]] = [{}, {"bats": "left", "familiarity": 1.0, "model": "ideal_observer"}]
    here, there = (fly(from_mapping(scenario(None, **hitter)), throws=64).to_dict()["result"] for hitter in hitters)
    assert here == there
