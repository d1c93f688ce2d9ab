"""The question `reach` at the edge: bad questions, one throw, and what is said beside every answer."""

import pytest
from reached import EVERY, asked, result_of
from starters import Json, starter

from latebreak.engine.errors import InputError
from latebreak.service.judging.measures import MEASURES
from latebreak.service.questions import reach
from latebreak.service.questions.lever import levers_of
from latebreak.service.scenario import from_mapping


# --- what is refused, and what is said beside it --------------------------------------------------------------------
def test_all_faults_at_once() -> None:
    with pytest.raises(InputError) as caught:
        asked(starter(), "miss_chance", "two", pitch="slider", by=["speed", "spin_rpm", "wind"])
    said = str(caught.value)
    assert len(caught.value.faults) == 5
    for words in ("'slider'", "'miss_chance'", "did you mean miss_chance_percent", "'two' is no goal",
                  "'speed'", "did you mean speed_mph", "'wind'"):  # fmt: skip
        assert words in said
    assert "'spin_rpm'" not in said


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"pitch": "fastball"}, "judged behind"),
        ({"by": []}, "no lever is named"),
        ({"by": ["launch_elevation_deg"]}, "no lever 'launch_elevation_deg'"),
    ],
)
def test_one_fault(how: Json, words: str) -> None:
    with pytest.raises(InputError) as caught:
        asked(starter(), "miss_chance_percent", "+2", **how)
    assert words in str(caught.value)


@pytest.mark.parametrize("goal", ["like:curve", "like:fastball", "like:slider"])
def test_not_like_itself_nor_the_fastball(goal: str) -> None:
    with pytest.raises(InputError) as caught:
        asked(starter(), "miss_chance_percent", goal)
    assert "there is no other pitch" in str(caught.value)


def test_no_fastball() -> None:
    mapping = starter()
    mapping["pitch"]["fastball"]["role"] = "offspeed"
    with pytest.raises(InputError) as caught:
        asked(mapping, "miss_chance_percent", "+2")
    assert 'role = "fastball"' in str(caught.value)


def test_one_throw_has_no_sampling_error() -> None:
    """It can't be said, so it is null and never a made-up 0."""
    road = result_of(starter(), "late_break_in", "+0.2", throws=1, by=["spin_rpm"])["levers"]["spin_rpm"]
    assert road["reachable"]
    assert road["change"]["sampling_error"] is None


@pytest.mark.slow
def test_every_measure_can_be_asked_for() -> None:
    for measure in MEASURES:
        result = result_of(starter(), measure, "+0", by=["spin_rpm"], throws=80)
        assert result["levers"]["spin_rpm"]["reachable"], measure


def test_progress_rises() -> None:
    told: list[float] = []
    reach(from_mapping(starter()), pitch="curve", measure="late_break_in", goal="+0.1", intervals=False, throws=80,
          progress=told.append)  # fmt: skip
    assert told == sorted(told)
    assert 0.0 < told[-1] <= 1.0


def test_levers_named_here_are_those_of_the_pitch() -> None:
    assert [lever.key for lever in levers_of(from_mapping(starter()).scenario.pitch["curve"])] == EVERY
