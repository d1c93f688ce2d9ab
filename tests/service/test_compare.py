"""The question which pitch is harder to tell from the fastball: keys, intervals, verdicts, and what must not matter."""

import copy
import json
import os
import tomllib
from typing import Any

import numpy as np
import pytest

from latebreak.engine.errors import InputError
from latebreak.engine.units import ARCMIN, FOOT
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import preset, vision_of
from latebreak.perception.separation import same_line_separation
from latebreak.perception.sight import angle_between
from latebreak.service.questions import compare, fly
from latebreak.service.questions.setting import settle
from latebreak.service.scenario import Loaded, from_mapping, load, ready_names
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS
from latebreak.service.scenario.starter import starter_text

THROWN = {
    "path_gap_at_100ms_arcmin", "path_gap_at_100ms_in", "path_gap_at_commit_arcmin", "path_gap_at_commit_in",
    "late_break_in", "late_break_share_percent",
}  # fmt: skip
SEPARATION = {
    "same_line_separation_ft", "same_line_separation_after_release_ms", "same_line_separation_before_arrival_ms",
    "same_line_separation_reached_percent",
}  # fmt: skip
KEYS = THROWN | SEPARATION
STILL = dict.fromkeys(SPREAD_KEYS, 0.0)

Json = dict[str, Any]


def starter(**curve: Any) -> Json:
    """The starter scenario with some keys of its curve changed, or taken away (None)."""
    mapping = tomllib.loads(starter_text("base"))
    entry = mapping["pitch"]["curve"] | curve
    mapping["pitch"]["curve"] = {key: value for key, value in entry.items() if value is not None}
    return mapping


def with_pitches(**pitches: Json) -> Json:
    """The starter with more pitches: each the starter's curve but for some keys."""
    mapping = starter()
    for name, changes in pitches.items():
        mapping["pitch"][name] = mapping["pitch"]["curve"] | changes
    return mapping


def asked(source: Json | str, **how: Any) -> Json:
    """The answer as JSON, which holds no NaN."""
    loaded = from_mapping(source) if isinstance(source, dict) else source
    answer: Json = json.loads(json.dumps(compare(loaded, **how).to_dict(), allow_nan=False))
    return answer


def pitches_of(source: Json | str, **how: Any) -> Json:
    pitches: Json = asked(source, **how)["result"]["pitches"]
    return pitches


# --- keys and numbers -----------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ready_names())
def test_the_keys_of_the_contract(name: str) -> None:
    answer = asked(name, throws=640)
    found = load(name).scenario
    for pitch in answer["result"]["pitches"].values():
        assert set(pitch) >= KEYS
        for estimate in pitch.values():
            assert set(estimate) == {"value", "low", "high", "sampling_error"}
            assert 0.0 <= estimate["low"] <= estimate["value"] <= estimate["high"]
            assert estimate["sampling_error"] >= 0.0
        assert pitch["same_line_separation_reached_percent"]["value"] in (0.0, 100.0)
        assert pitch["same_line_separation_ft"]["value"] < found.field.rubber_to_plate_ft
        assert 0.0 < pitch["late_break_share_percent"]["value"] < 100.0
    better = answer["result"]["better"]
    assert better["measure"] == "same_line_separation_ft"
    assert better["pitch"] is None or better["pitch"] in answer["result"]["pitches"]
    assert isinstance(answer["result"]["why"], str)
    assert answer["result"]["why"].count(". ") + 1 <= 4  # two or three sentences; one more dot stands in "0.9 in"


def test_times_and_places_fit_together() -> None:
    """After release and before arrival share out the flight; the angle is the gap over the distance."""
    curve = pitches_of("two-grips", throws=640)["curve_spike"]
    flight = sum(curve[f"same_line_separation_{key}_ms"]["value"] for key in ("after_release", "before_arrival"))
    assert 440.0 < flight < 540.0  # ms, of a 78.6 mph curve
    inches, arcmin = (curve[f"path_gap_at_100ms_{unit}"]["value"] for unit in ("in", "arcmin"))
    distance = inches / np.tan(np.radians(arcmin / 60.0)) / 12.0
    assert 40.0 < distance < 46.0  # ft from the eye, 100 ms after release


@pytest.mark.parametrize("bats", ["right", "left"])
def test_the_answer_is_seen_by_the_eye_of_the_file(bats: str) -> None:
    """One still pitch and fastball, flown and looked at here: 2 ft from the middle of the plate on the hitter's side,
    5 ft high, 1 ft behind the front edge; the scatter behind the separation is the pitch's own.
    """
    mapping = starter()
    mapping["hitter"] = {"bats": bats, "eye_side_ft": 2.0, "eye_height_ft": 5.0, "eye_depth_ft": 1.0}
    mapping["pitch"]["curve"]["spread"] = {"speed_mph": 3.0, "launch_elevation_deg": 3.0}
    feet = np.array([-2.0 if bats == "right" else 2.0, 17.0 / 12.0 - 1.0, 5.0])
    setting = settle(from_mapping(mapping), None, None)
    fastball, curve = setting.bundles(["fastball", "curve"]).values()
    hitter = preset("college", Eye(), 0.160)
    expected = same_line_separation(
        curve.mean, curve.flight, fastball.mean, fastball.flight, curve.factor, feet * FOOT, vision_of(hitter)
    )
    found = pitches_of(mapping, throws=8, intervals=False)["curve"]
    assert found["same_line_separation_ft"]["value"] == pytest.approx(expected.distance[0] / FOOT, rel=1e-9)

    for entry in mapping["pitch"].values():
        entry["spread"] = STILL
    gap = pitches_of(mapping, throws=8, intervals=False)["curve"]["path_gap_at_100ms_arcmin"]["value"]
    here, there = (
        each.flight.paths(each.mean.releases(), 16).at(np.array([[0.1]]))[0, :3, 0] for each in (curve, fastball)
    )
    assert gap == pytest.approx(float(angle_between(here, there, feet * FOOT)) / ARCMIN, rel=1e-3)


def test_without_intervals_nothing_is_claimed() -> None:
    answer = asked("two-grips", throws=640, intervals=False)
    for pitch in answer["result"]["pitches"].values():
        assert set(pitch) >= KEYS
        assert all(set(estimate) == {"value", "sampling_error"} for estimate in pitch.values())
    assert "chance_percent" not in answer["result"]["better"]
    assert "%" not in answer["result"]["why"].split(" still breaks ")[0]


def test_intervals_change_no_value() -> None:
    full, bare = (pitches_of("two-grips", throws=640, intervals=which) for which in (True, False))
    for name, pitch in full.items():
        for key, estimate in pitch.items():
            for part in ("value", "sampling_error"):  # 65 columns are summed in another order than one: rounding
                assert bare[name][key][part] == pytest.approx(estimate[part], rel=1e-12), (name, key, part)


# --- what must not matter -------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("is_aimed", "close"), [(False, 1e-9), (True, 1e-7)])
def test_a_mirror_changes_nothing(is_aimed: bool, close: float) -> None:
    """A left-hander's mirror image before a left-handed hitter: every estimate, for throws without scatter.

    To 1e-9 where the launch angles are given; the aim stops within 1e-4 in of its target, by one-sided slopes that have
    no mirror image, which leaves 1e-7.
    """
    mapping = with_pitches(slow={"speed_mph": 68.0, "efficiency_percent": 90})
    for entry in mapping["pitch"].values():
        entry["spread"] = STILL
    if not is_aimed:
        launches = fly(from_mapping(mapping), throws=8).result.pitches
        for name, entry in mapping["pitch"].items():
            del entry["target_side_ft"], entry["target_height_ft"]
            for key in ("launch_elevation_deg", "launch_azimuth_deg"):
                entry[key] = launches[name].quantities[key].mean
    here, there = (pitches_of(each, throws=16) for each in (mapping, in_the_mirror(mapping)))
    for name, pitch in here.items():
        for key, estimate in pitch.items():
            for part in ("value", "low", "high"):
                assert there[name][key][part] == pytest.approx(estimate[part], rel=close, abs=close), (name, key, part)


def test_a_mirror_changes_nothing_but_the_sample() -> None:
    """With scatter the same draws are other throws in the mirror: five standard errors; the separation, of which
    nothing is sampled, to 1e-4 ft (the force laws are fitted on another sample).
    """
    here, there = (pitches_of(mapping, throws=4000) for mapping in (starter(), in_the_mirror(starter())))
    for key, estimate in here["curve"].items():
        other = there["curve"][key]
        slack = 5.0 * np.hypot(estimate["sampling_error"], other["sampling_error"]) + 1e-3
        assert other["value"] == pytest.approx(estimate["value"], abs=slack), key


def in_the_mirror(mapping: Json) -> Json:
    """The other hand, the other box, and every side turned over; an efficiency turns its own sense."""
    result = copy.deepcopy(mapping)
    result["pitcher"]["hand"] = "left"
    result["hitter"] = {"bats": "left"}
    for entry in result["pitch"].values():
        hours, minutes = (int(part) for part in entry.pop("break_clock").split(":"))
        entry["break_clock_deg"] = 360.0 - (30.0 * (hours % 12) + 0.5 * minutes)
        for key in {"release_side_ft", "target_side_ft", "launch_azimuth_deg"} & set(entry):
            entry[key] *= -1.0
    return result


def test_the_length_of_the_file_does_not_matter() -> None:
    """Two of three pitches compared, and a file that has only those two: the same numbers, and the same verdict."""
    three = with_pitches(slow={"speed_mph": 70.0}, hard={"speed_mph": 80.0, "efficiency_percent": 50})
    two = copy.deepcopy(three)
    del two["pitch"]["slow"]
    for names in (["curve", "hard"], ["hard", "curve"]):
        here, there = asked(three, pitches=names, throws=640), asked(two, pitches=names, throws=640)
        assert here["result"] == there["result"]
    together = asked(three, throws=640)["result"]
    assert {name: together["pitches"][name] for name in ("curve", "hard")} == asked(two, throws=640)["result"][
        "pitches"
    ]
    assert together["better"] == asked(two, throws=640)["result"]["better"]  # the third is no rival of theirs


def test_a_candidate_that_can_hardly_be_thrown_does_not_matter() -> None:
    """Each candidate is judged alone: that a lob of 29 mph misses its target under half of the draws is no reason to
    leave those draws out of another pitch's interval.
    """
    mapping = with_pitches(lob={"speed_mph": 29.0, "mean_error": {"speed_mph": 1.0}})
    alone = pitches_of(mapping, pitches=["curve"], throws=640)["curve"]
    beside = pitches_of(mapping, pitches=["curve", "lob"], throws=640)["curve"]
    assert beside == alone


def test_draws_that_can_not_be_thrown_are_said() -> None:
    """A lob on the edge of its reach misses its target under many of the draws: the answer says in how many, and does
    not tell a user who asked for intervals that they were not asked for.
    """
    mapping = with_pitches(lob={"speed_mph": 28.95, "mean_error": {"speed_mph": 6.0}})
    for seed in (1, 2, 3):
        answer = asked(mapping, throws=80, seed=seed)
        assert any("draws" in warning and "reach its target" in warning for warning in answer["warnings"])
        assert "not asked for" not in answer["result"]["why"]


def test_same_seed_same_digits() -> None:
    one, again, other = (json.dumps(asked("two-grips", throws=640, seed=seed)["result"]) for seed in (8, 8, 9))
    assert one == again
    assert one != other


def test_the_number_of_threads_does_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """60,000 throws are enough that several threads share them."""
    answers = set()
    for cores in (1, 2, 5):
        monkeypatch.setattr(os, "sched_getaffinity", lambda _, cores=cores: range(cores), raising=False)
        assert settle("two-grips", None, 60_000).threads == cores
        answers.add(json.dumps(asked("two-grips", pitches=["curve_spike"], throws=60_000)))
    assert len(answers) == 1


# --- how sure it is -------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("throws", [7, 8, 9])
def test_few_throws(throws: int) -> None:
    answer = asked("two-grips", throws=throws)
    assert answer["throws"] == throws
    for pitch in answer["result"]["pitches"].values():
        assert all(e["low"] <= e["value"] <= e["high"] and e["sampling_error"] >= 0.0 for e in pitch.values())


def test_one_throw() -> None:
    """One throw has a value; how far it is from the mean can't be said, so that is null and never a made-up 0."""
    curve = pitches_of("two-grips", throws=1)["curve_spike"]
    assert all(estimate["value"] is not None for estimate in curve.values())
    assert all(curve[key]["sampling_error"] is None for key in THROWN)
    separation = curve["same_line_separation_ft"]
    assert separation["low"] < separation["value"] < separation["high"]
    assert pitches_of("two-grips", throws=1, intervals=False)["curve_spike"]["late_break_in"]["value"] > 1.0


def test_measured_less_well_is_known_less_well() -> None:
    """Errors of the means widen every interval that rests on them."""
    errors = {"speed_mph": 1.5, "spin_rpm": 150.0, "break_clock_deg": 8.0, "gyro_deg": 8.0}
    well, ill = (pitches_of(starter(**how), throws=640)["curve"] for how in ({}, {"mean_error": errors}))
    for key in THROWN | {"same_line_separation_ft"}:
        assert ill[key]["high"] - ill[key]["low"] > well[key]["high"] - well[key]["low"], key
    # 2,320 rpm to 6 % and a gyro angle to 8 deg, beside a lift known to 10 %: a third as wide again at least
    late = [found["late_break_in"]["high"] - found["late_break_in"]["low"] for found in (well, ill)]
    assert late[1] > 1.3 * late[0]


def test_the_sampling_error_is_honest() -> None:
    """Over 24 seeds the values scatter as each says it does.

    The scatter of 24 is known to 15 % (one standard error), and the stated errors rest on 8 blocks each; within a
    factor of 1.6 is four standard errors.
    """
    answers = [
        pitches_of("two-grips", pitches=["curve_spike"], seed=seed, throws=800, intervals=False) for seed in range(24)
    ]
    for key in sorted(THROWN):
        found = [answer["curve_spike"][key] for answer in answers]
        scatter = np.std([estimate["value"] for estimate in found], ddof=1)
        stated = np.sqrt(np.mean([estimate["sampling_error"] ** 2 for estimate in found]))
        assert 1 / 1.6 < scatter / stated < 1.6, key


def test_two_of_a_kind_differ_by_chance_alone() -> None:
    mapping = with_pitches(twin={})
    for name in ("curve", "twin"):
        mapping["pitch"][name]["mean_error"] = {"speed_mph": 0.4, "spin_rpm": 30.0, "break_clock_deg": 2.0}
    result = asked(mapping, throws=640)["result"]
    assert result["better"]["pitch"] is None
    assert result["better"]["chance_percent"] < 80.0
    assert "No difference beyond chance" in result["why"]
    curve, twin = (result["pitches"][name] for name in ("curve", "twin"))
    assert all(twin[key]["value"] == curve[key]["value"] for key in KEYS)


def test_equal_pitches_have_no_leader_without_intervals() -> None:
    """Where the draws were not asked for, an exact tie is still no lead."""
    better = asked(with_pitches(twin={}), throws=640, intervals=False)["result"]["better"]
    assert better["pitch"] is None


def test_a_clear_lead_is_named() -> None:
    result = asked(with_pitches(slow={"speed_mph": 64.0}), throws=640)["result"]
    assert result["better"]["pitch"] == "curve"
    assert result["better"]["chance_percent"] > 95.0
    assert "curve hides longer" in result["why"]


def test_the_fastball_itself_never_separates() -> None:
    """Under another role it is a candidate like any other: it looks like the fastball all the way."""
    mapping = starter()
    mapping["pitch"]["twin"] = mapping["pitch"]["fastball"] | {"role": "offspeed"}
    result = asked(mapping, throws=640)["result"]
    twin = result["pitches"]["twin"]
    assert twin["same_line_separation_reached_percent"]["value"] == 0.0
    assert twin["same_line_separation_ft"]["value"] == 0.0
    assert twin["same_line_separation_before_arrival_ms"]["value"] == 0.0
    assert twin["same_line_separation_after_release_ms"]["value"] == pytest.approx(435.0, abs=15.0)  # its flight time
    assert "all the way to the plate" in result["why"]


def test_draws_in_which_no_throw_arrives_are_no_zeros() -> None:
    """A curve on a given line that just clears the ground at the plate: in some draws it bounces. Those can't say how
    late it breaks, so they leave the interval alone: a lift known to 10 % moves the late break by less than half.
    """
    aimed_low = fly(from_mapping(starter(target_height_ft=0.2, spread=STILL)), throws=8).result.pitches["curve"]
    line = {key: aimed_low.quantities[key].mean for key in ("launch_elevation_deg", "launch_azimuth_deg")}
    mapping = starter(target_side_ft=None, target_height_ft=None, spread=STILL, **line)
    late = pitches_of(mapping, throws=16)["curve"]["late_break_in"]
    assert late["low"] > 0.5 * late["value"]


def test_without_spin_no_share_is_claimed() -> None:
    """A ball that nothing bends has no late break, and no share of nothing: 0 or null, not a ratio of roundings."""
    curve = pitches_of(starter(spin_rpm=0.0, spread=STILL), throws=16)["curve"]
    assert curve["late_break_in"]["value"] < 0.005
    assert curve["late_break_share_percent"]["value"] in (0.0, None)


# --- the hitter and the commit point --------------------------------------------------------------------------------
def test_a_later_commit_point_leaves_less_to_come() -> None:
    late = []
    for before in (100.0, 150.0, 200.0):
        mapping = starter() | {"hitter": {"commit_before_arrival_ms": before}}
        late.append(pitches_of(mapping, throws=640, intervals=False)["curve"]["late_break_in"]["value"])
    assert (np.diff(late) > 0.5).all()


def test_more_of_the_evidence_tells_sooner() -> None:
    feet = []
    for share in (0.01, 0.1, 1.0):
        mapping = starter() | {"hitter": {"evidence_efficiency": share}}
        feet.append(pitches_of(mapping, throws=64, intervals=False)["curve"]["same_line_separation_ft"]["value"])
    assert (np.diff(feet) > 1.0).all()


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
    assert "no name" in words


def test_a_name_given_twice_counts_once() -> None:
    assert list(pitches_of("two-grips", pitches=["curve_spike", "curve_spike"], throws=64)) == ["curve_spike"]


def test_another_fastball_is_compared_when_asked_for() -> None:
    assert list(pitches_of("staff", throws=64)) == ["changeup", "curve"]
    assert list(pitches_of("staff", pitches=["sinker"], throws=64)) == ["sinker"]


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


def test_many_throws_in_the_dirt_are_said() -> None:
    answer = asked(starter(target_height_ft=0.4), throws=640)
    assert any("pitch.curve" in warning and "left out" in warning for warning in answer["warnings"])


def test_no_throw_that_arrives_is_null_and_said() -> None:
    """One throw, drawn so wide that it sails away: nothing is known of it, and no word says nan."""
    mapping = starter(target_height_ft=0.3, spread={"launch_elevation_deg": 20.0})
    for intervals in (True, False):
        answer = asked(mapping, throws=1, seed=5, intervals=intervals)
        curve = answer["result"]["pitches"]["curve"]
        assert all(curve[key]["value"] is None for key in THROWN)
        assert any("100 % of the throws" in warning for warning in answer["warnings"])
        assert "nan" not in answer["result"]["why"]
