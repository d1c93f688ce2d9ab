"""What must not matter to a comparison: the mirror, the length of the file, the threads."""

import copy
import json
import os

import numpy as np
import pytest
from starters import STILL, Json, asked, compared, in_the_mirror, starter, with_pitches

from latebreak.service.judging.setting import settle
from latebreak.service.questions import fly
from latebreak.service.scenario import from_mapping

#: What needs no eye: the flights, and where the pitch leaves the zone. The rest is seen with noise that is drawn throw
#: by throw: in the mirror those are other draws.
SEEN_BY_NOBODY = ("path_gap", "late_break", "blind_break", "zone", "break_onset")
#: Medians of throws: they have steps.
MEDIANS = ("tunnel_exit", "recognition", "break_onset")


# --- the mirror -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("is_aimed", "close"), [(False, 1e-7), (True, 1e-6)])
def test_a_mirror_changes_nothing(is_aimed: bool, close: float) -> None:
    """A left-hander's mirror image before a left-handed hitter: all that needs no eye, for throws without scatter.

    To 1e-7 where the launch angles are given; the aim stops within 1e-4 in of its target, by one-sided slopes that have
    no mirror image, which leaves 1e-6.
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
    here, there = (asked(each, throws=16)["result"] for each in (mapping, in_the_mirror(mapping)))
    for name, pitch in here["pitches"].items():
        other = there["pitches"][name]
        for key, estimate in pitch.items():
            for part in ("value", "low", "high"):
                if key.startswith(SEEN_BY_NOBODY):
                    assert other[key][part] == pytest.approx(estimate[part], rel=close, abs=close), (name, key, part)


@pytest.mark.parametrize("spread", [STILL, {}], ids=["still", "scattered"])
def test_a_mirror_changes_nothing_but_the_sample(spread: dict[str, float]) -> None:
    """With scatter the same draws are other throws in the mirror, and the same noise is another look: five standard
    errors. A median has steps: 1 ms, 0.1 ft.
    """
    mapping = starter(speed_mph=80.0, efficiency_percent=42)  # not told at once, so that its moments scatter
    for entry in mapping["pitch"].values():
        entry["spread"] = spread
    here, there = (compared(each, throws=4000, intervals=False)["curve"] for each in (mapping, in_the_mirror(mapping)))
    side = there["arrival_surprise_side_in"]
    side["value"] *= -1.0
    for key, estimate in here.items():
        if estimate["value"] is None:  # of none that end outside the zone there is no share
            assert there[key]["value"] is None
            continue
        slack = 5.0 * np.hypot(estimate["sampling_error"], there[key]["sampling_error"]) + 1e-3
        if key.startswith(MEDIANS):
            slack += 0.1 if key.endswith("_ft") else 1.0
        assert there[key]["value"] == pytest.approx(estimate["value"], abs=slack), key


# --- the length of the file -----------------------------------------------------------------------------------------
def three() -> Json:
    return with_pitches(slow={"speed_mph": 70.0}, hard={"speed_mph": 80.0, "efficiency_percent": 50})


def test_candidates_do_not_feel_each_other() -> None:
    """Three compared at once, and a file that has only two of them: the same numbers, as each is judged alone with what
    the hitter expects of all of them together (0.5 in both files; shares whose sums are exact).
    """
    mapping = three()
    two = copy.deepcopy(mapping)
    del two["pitch"]["slow"]
    mapping["hitter"] = {"expects": {"fastball": 0.5, "curve": 0.125, "slow": 0.25, "hard": 0.125}}
    two["hitter"] = {"expects": {"fastball": 0.5, "curve": 0.375, "hard": 0.125}}
    together, alone = asked(mapping, throws=640)["result"], asked(two, throws=640)["result"]
    assert {name: together["pitches"][name] for name in ("curve", "hard")} == alone["pitches"]
    lead, next_best = sorted(
        together["pitches"], key=lambda name: -together["pitches"][name]["miss_chance_percent"]["value"]
    )[:2]
    assert {lead, next_best} == {"curve", "hard"}  # the third is no rival of theirs
    assert together["better"] == alone["better"]
    assert together["why"] == alone["why"]


def test_the_order_of_the_question_does_not_matter() -> None:
    here, there = (
        asked(three(), pitches=names, throws=64)["result"] for names in (["curve", "hard"], ["hard", "curve"])
    )
    assert here["pitches"] == there["pitches"]
    assert here["better"] == there["better"]
    assert here["why"] == there["why"]


def test_a_pitch_that_is_not_compared_keeps_its_share() -> None:
    """Two of three compared: one that stands in the file alone, expecting the sum of both, beside the same third."""
    mapping = three()
    one = copy.deepcopy(mapping)
    del one["pitch"]["hard"]
    mapping["hitter"] = {"expects": {"fastball": 0.5, "curve": 0.125, "slow": 0.25, "hard": 0.125}}
    one["hitter"] = {"expects": {"fastball": 0.5, "curve": 0.25, "slow": 0.25}}
    here = compared(mapping, pitches=["curve", "hard"], throws=640)
    assert here["curve"] == compared(one, pitches=["curve"], throws=640)["curve"]


def test_a_pitch_that_nobody_expects_is_as_good_as_none() -> None:
    """Two of three compared, the third not expected at all; and a file that has only those two."""
    mapping = three()
    two = copy.deepcopy(mapping)
    del two["pitch"]["slow"]
    mapping["hitter"] = {"expects": {"fastball": 0.6, "curve": 0.2, "slow": 0.0, "hard": 0.2}}
    two["hitter"] = {"expects": {"fastball": 0.6, "curve": 0.2, "hard": 0.2}}
    here, there = asked(mapping, pitches=["curve", "hard"], throws=640)["result"], asked(two, throws=640)["result"]
    assert set(here["others"]) == {"fastball", "slow"}  # it is judged all the same
    del here["others"]["slow"]
    assert here == there


def test_a_candidate_that_can_hardly_be_thrown_does_not_matter() -> None:
    """Each candidate is judged alone: that a lob of 29 mph misses its target under half of the draws is no reason to
    leave those draws out of another pitch's interval.
    """
    mapping = with_pitches(lob={"speed_mph": 29.0, "mean_error": {"speed_mph": 1.0}})
    beside = asked(mapping, pitches=["curve", "lob"], throws=80)
    assert any("pitch.lob: in " in warning and "reach its target" in warning for warning in beside["warnings"])
    assert beside["result"]["pitches"]["curve"] == compared(starter(), throws=80)["curve"]


# --- draws and threads ----------------------------------------------------------------------------------------------
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
