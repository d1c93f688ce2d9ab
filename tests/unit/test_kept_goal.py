"""A goal in its file: what is written is read again, and everything that is wrong with one is said at once."""

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.quantities import Reader
from latebreak.service.questions.answer import Answer, Estimate
from latebreak.service.questions.following.goal_text import OWN, goal_text
from latebreak.service.questions.following.kept_goal import GoalFileError, KeptGoal, goal_of, keep, load_goal
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.road import Road
from latebreak.service.scenario import load
from latebreak.service.writing import OutputFileError, write

SCENARIO = load("two-grips").scenario
ROADS = {
    "speed_mph": Road(Estimate(2.0, 0.1, 1.0, 3.0), 80.6, True, "", 35.5, 70.0, 88.0),
    "spin_rpm": Road(Estimate(900.0, 0.1), 3500.0, False, "no", 33.0, 1400.0, 3500.0, "nearest"),
    "break_clock_deg": Road(Estimate(10.0, 0.1, 5.0, 15.0), 205.0, True, "", 35.5, 150.0, 240.0),
}
CHANGE = Goal("change", 3.0)


def answered(measure: str = "miss_chance_percent", goal: Goal = CHANGE) -> Answer[ReachResult]:
    now = Estimate(32.51234567, 0.5, 28.0, 44.0)
    result = ReachResult("curve_spike", "fastball", measure, goal, 35.51234567, now, ROADS, (), "")
    return Answer("reach", SCENARIO.title, 7, 4000, (), (), result)


KEPT = keep(answered(), SCENARIO, date(2026, 3, 31))
TABLES: dict[str, Any] = KEPT.parts()


def test_what_is_kept() -> None:
    assert (KEPT.title, KEPT.pitch, KEPT.measure) == (SCENARIO.title, "curve_spike", "miss_chance_percent")
    assert (KEPT.date, KEPT.seed, KEPT.throws) == ("2026-03-31", 7, 4000)
    assert (KEPT.goal.kind, KEPT.goal.number, KEPT.goal.value) == ("change", 3.0, 35.5123)
    assert KEPT.now.estimate == Estimate(32.5123, 0.5, 28.0, 44.0)
    assert KEPT.pitcher == SCENARIO.pitcher
    assert list(KEPT.roads) == ["speed_mph", "break_clock_deg"]  # those that get there
    own = SCENARIO.pitch["curve_spike"]
    assert (KEPT.roads["speed_mph"].now, KEPT.roads["speed_mph"].wanted) == (own.speed_mph, 80.6)
    assert (KEPT.roads["break_clock_deg"].now, KEPT.roads["break_clock_deg"].wanted) == (own.break_clock_deg, 205.0)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_there_and_back(tmp_path: Path, units: Any) -> None:
    place = tmp_path / "goal.toml"
    write(place, goal_text(KEPT, "What is wanted.", "my.toml", Reader(units)), OWN)
    assert load_goal(place) == KEPT
    text = place.read_text()
    assert "# What is wanted." in text
    assert "--base my.toml" in text
    # the words of a comment are the reader's, the number is the key's
    assert ("wanted = 80.6 # 80.6 mph" if units == "us" else "wanted = 80.6 # 129.7 km/h") in text


@pytest.mark.parametrize("goal", [Goal("value", 35.5), Goal("like", pitch="curve_standard")])
def test_every_kind_of_goal(goal: Goal) -> None:
    kept = keep(answered(goal=goal), SCENARIO, date(2026, 3, 31))
    assert goal_of(tomllib.loads(goal_text(kept, "", "x", Reader()))) == kept
    assert (kept.goal.kind, kept.goal.pitch) == (goal.kind, goal.pitch or None)


def test_without_roads_and_without_an_interval() -> None:
    plain = {**TABLES, "roads": {}, "now": {"value": 32.5}}
    kept = goal_of(plain)
    assert goal_of(tomllib.loads(goal_text(kept, "", "x", Reader()))) == kept
    assert kept.now.estimate.low is None


def test_every_fault_at_once() -> None:
    wrong = {
        **TABLES, "measure": "mis_chance_percent", "date": "31.3.2026", "seed": 1.5, "colour": "red",
        "goal": {"kind": "like", "value": float("inf")}, "now": {"value": 1.0, "low": 3.0, "high": 2.0},
        "roads": {"sped_mph": {"now": 1.0, "wanted": 2.0}, "spin_rpm": {"now": -4.0, "wanted": True}},
    }  # fmt: skip
    with pytest.raises(InputError) as caught:
        goal_of(wrong, "goal.toml")
    message = str(caught.value)
    for words in (
        "miss_chance_percent", "31.3.2026", "seed", "colour", "goal.pitch", "goal.value", "now.low", "speed_mph",
        "roads.spin_rpm.now", "roads.spin_rpm.wanted", "goal.toml",
    ):  # fmt: skip
        assert words in message, words


@pytest.mark.parametrize("key", ["title", "pitch", "measure", "date", "seed", "throws", "version", "goal", "now"])
def test_what_is_missing(key: str) -> None:
    with pytest.raises(InputError, match=rf"{key}: missing"):
        goal_of({name: value for name, value in TABLES.items() if name != key})


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "title: missing"),
        (b"a = [[[[[[[[[[[[1]]]]]]]]]]]]", "brackets"),
        (b"a.b.c.d.e.f.g.h.i.j = 1", "parts"),
        (b"\xff\xfe", "UTF-8"),
        (b"title = ", "not TOML"),
        (b"#" * 200_000, "larger than 0.1 MB"),
    ],
)
def test_what_is_no_goal(tmp_path: Path, content: bytes, words: str) -> None:
    place = tmp_path / "goal.toml"
    place.write_bytes(content)
    with pytest.raises(InputError, match=words):
        load_goal(place)


@pytest.mark.parametrize("name", ["none.toml", ".", "a\0b"])
def test_a_file_that_is_none(tmp_path: Path, name: str) -> None:
    with pytest.raises(GoalFileError, match="can't be read"):
        load_goal(f"{tmp_path}/{name}")


def test_only_a_goal_is_written_over(tmp_path: Path) -> None:
    text, place = goal_text(KEPT, "", "x", Reader()), tmp_path / "goal.toml"
    write(place, text, OWN)
    write(place, text, OWN)
    other = tmp_path / "scenario.toml"
    other.write_text('title = "mine"\n')
    with pytest.raises(OutputFileError, match="no goal of latebreak goal"):
        write(other, text, OWN)
    assert other.read_text() == 'title = "mine"\n'


def test_the_keys_are_those_of_the_file() -> None:
    assert set(KeptGoal.model_fields) == set(TABLES)
