"""`levers` and `reach` on the command line: answers on stdout, trouble on stderr, and tables that people can read.

In this process; the installed commands are run by the tests of the README.
"""

import json
import re
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from commands import Run, assert_clean, toml
from starters import in_the_mirror, starter

from latebreak.service.judging.measures import MEASURES
from latebreak.service.quantities import Reader
from latebreak.service.questions import levers, reach
from latebreak.service.scenario import load, ready_names, reference_fastball
from latebreak.service.scenario.pitch_entry import BALL_KEYS, SPREAD_KEYS
from latebreak.service.scenario.starter import starter_text
from latebreak.service.tables.levers import show as table_of_levers
from latebreak.service.tables.reach import show as table_of_reach

LEVERS = ["levers", "two-grips", "--pitch", "curve_spike"]
REACH = ["reach", "two-grips", "--pitch", "curve_spike", "--measure", "late_break_in", "--goal", "+0.2"]
FEW = ["--throws", "160"]
FAST = [*FEW, "--no-interval"]
#: A sign before a number; "+-" before a standard error and ranges such as "31-45" are none.
BARE_SIGN = re.compile(r"(?<![\w+])[-+\u2212](?=\.?\d)")


def read_json(out: str) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    return answer


# --- the commands ------------------------------------------------------------------------------------------
def test_levers(run: Run) -> None:
    code, out, err = run(*LEVERS, *FEW)
    assert (code, err) == (0, "")
    assert "A step on one lever alone changes" in " ".join(out.split())
    assert "faster" in out
    assert "points" in out
    assert "more" in out
    assert "Caution: Build up gradually" in out
    assert "\x1b" not in out  # no colours where nobody looks


def test_reach_as_json(run: Run) -> None:
    code, out, err = run(*REACH, *FAST, "--json", "--seed", "11", "--by", "spin_rpm, speed_mph")
    assert (code, err) == (0, "")
    answer = read_json(out)
    assert (answer["command"], answer["seed"], answer["throws"]) == ("reach", 11, 160)
    assert list(answer["result"]["levers"]) == ["spin_rpm", "speed_mph"]
    assert out.isascii()  # for every terminal and pipe


def test_bad_words_are_told_all_at_once(run: Run) -> None:
    code, out, err = run("reach", "two-grips", "--pitch", "curv", "--measure", "miss", "--goal", "two", "--by", "x")
    assert (code, out) == (2, "")
    assert err.count("\n") == 4  # all faults at once
    assert_clean(err)


def test_a_file_that_is_not_there(run: Run) -> None:
    code, out, err = run("levers", "no-such-scenario", "--pitch", "curve")
    assert (code, out) == (3, "")
    assert "no-such-scenario" in err
    assert_clean(err)


def test_the_young_are_cautioned(run: Run) -> None:
    """The ready scenario of that age has a changeup, no breaking ball; it is cautioned all the same."""
    name = next(one for one in load("youth-46ft").scenario.pitch if one != "fastball")
    for words in (["levers"], ["reach", "--measure", "late_break_in", "--goal", "+0.1"]):
        code, out, _ = run(words[0], "youth-46ft", "--pitch", name, *words[1:], *FAST)
        assert code == 0
        assert "advises against breaking balls" in " ".join(out.split())
        assert "Build up gradually" in " ".join(out.split())


# --- every ready scenario -------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ready_names())
def test_every_ready_scenario_answers(run: Run, name: str) -> None:
    """Both tables; nothing on stderr, not even a warning of the arithmetic."""
    scenario = load(name).scenario
    pitch = next(one for one in scenario.pitch if one != reference_fastball(scenario))
    for words in (["levers"], ["reach", "--measure", "miss_chance_percent", "--goal", "+1"]):
        code, out, err = run(words[0], name, "--pitch", pitch, *words[1:], *FAST)
        assert (code, err) == (0, "")
        assert "seed" in out
        assert not BARE_SIGN.search(out), BARE_SIGN.search(out)


def test_no_interval_leaves_out_the_interval(run: Run) -> None:
    reached = [*REACH, "--by", "spin_rpm"]
    assert '"low"' in run(*reached, *FEW, "--json")[1]
    assert "90 % interval" in run(*reached, *FEW)[1]
    for words in (LEVERS, reached):
        assert '"low"' not in run(*words, *FAST, "--json")[1]
        assert "error from the number of throws alone" in " ".join(run(*words, *FAST)[1].split())


# --- what people read -----------------------------------------------------------------------------------------------
#: What is asked of `reach`; nothing for `levers`.
TABLES: dict[str, dict[str, Any]] = {
    "levers": {},
    "reach a change": {"measure": "miss_chance_percent", "goal": "+1.5"},
    "reach a side": {
        "measure": "arrival_surprise_side_in",
        "goal": "=-2",
        "by": ["speed_mph", "break_clock_deg", "release_side_ft", "target_side_ft", "spread_scale"],
    },
    "reach a height": {"measure": "arrival_surprise_vertical_in", "goal": "=-9"},
}


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("words", TABLES.values(), ids=list(TABLES))
def test_tables(
    file: Callable[[str], str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: dict[str, Any],
    hand: str,
) -> None:
    """At every width: no bare sign, no line wider than the page, no word broken, the same words in all."""
    scenario = load(file(starter_text("base") if hand == "right" else toml(in_the_mirror(starter())))).scenario
    said, reader = {}, Reader(hand=scenario.pitcher.hand)
    show: Callable[[], None]
    if words:
        show = partial(table_of_reach, reach(scenario, pitch="curve", throws=160, **words), scenario, reader)
    else:
        show = partial(table_of_levers, levers(scenario, pitch="curve", throws=160), scenario, reader)
    for width in (80, 100, 300):
        monkeypatch.setenv("COLUMNS", str(width))
        show()
        out, err = capsys.readouterr()
        assert err == ""
        assert not BARE_SIGN.search(out), BARE_SIGN.search(out)
        assert max(map(len, out.splitlines())) <= width
        assert "nan" not in out
        assert "inf" not in out.split()
        said[width] = sorted(re.findall(r"[^\s\u2500-\u257f]+", out))
    assert said[80] == said[100] == said[300]


@pytest.mark.parametrize(("hand", "side"), [("right", "glove side"), ("left", "arm side")])
def test_the_catchers_right_is_named_for_the_hand(
    run: Run, file: Callable[[str], str], monkeypatch: pytest.MonkeyPatch, hand: str, side: str
) -> None:
    """A step toward the catcher's right: a right-hander's glove side, a left-hander's arm side."""
    path = file(starter_text("base") if hand == "right" else toml(in_the_mirror(starter())))
    monkeypatch.setenv("COLUMNS", "300")
    out = run("levers", path, "--pitch", "curve", "--all", *FAST)[1]
    assert f"release side 3.0 in {side}" in out
    assert f"target side 3.0 in {side}" in out


@pytest.mark.parametrize("measure", MEASURES[::4])
def test_measures_are_said_with_its_unit(run: Run, measure: str) -> None:
    out = run("reach", "two-grips", "--pitch", "curve_spike", "--measure", measure, "--goal", "+0", "--by", "spin_rpm",
              "--throws", "80", "--no-interval")[1]  # fmt: skip
    words = " ".join(out.split())
    unit = {"percent": "%"}.get(measure.rsplit("_", 1)[1], measure.rsplit("_", 1)[1])
    assert re.search(rf"[\d.]+ {unit}\b.* now, [\d.]+ {unit}\b.* wanted|[\d.]+ %.* now, [\d.]+ % wanted", words), words


def test_a_clock_is_said_as_a_clock(run: Run) -> None:
    out = run("reach", "two-grips", "--pitch", "curve_spike", "--measure", "arrival_surprise_side_in", "--goal", "+0.2",
              "--by", "break_clock_deg", *FAST)[1]  # fmt: skip
    assert re.search(r"break clock\s.*\d+ min (counter-)?clockwise", out)
    assert re.search(r"\d:\d\d", out)


def test_a_like_goal_names_the_other(run: Run) -> None:
    out = run("reach", "two-grips", "--pitch", "curve_standard", "--measure", "miss_chance_percent", "--goal",
              "like:curve_spike", *FAST)[1]  # fmt: skip
    assert "as curve_spike has it" in " ".join(out.split())


def test_a_pitch_without_a_measure_is_said_so(run: Run, file: Callable[[str], str]) -> None:
    """No spin and no scatter: no break, so no share of it; neither a crash nor a warning on stderr."""
    still = "".join(f"{key} = 0\n" for key in (*SPREAD_KEYS, *BALL_KEYS))
    path = file(starter_text("base").replace("spin_rpm = 2320", "spin_rpm = 0") + "[pitch.curve.spread]\n" + still)
    share = ["reach", path, "--pitch", "curve", "--measure", "late_break_share_percent"]
    code, out, err = run(*share, "--goal", "=1", "--by", "spin_rpm", *FAST)
    assert (code, err) == (0, "")
    assert "none now" in out
    code, out, err = run(*share, "--goal", "+1", *FAST)
    assert (code, out) == (2, "")
    assert "curve has no late_break_share_percent" in err
    code, out, err = run("levers", path, "--pitch", "curve", *FEW)
    assert (code, err) == (0, "")


# --- bad words ------------------------------------------------------------------------------------------------------
BAD_WORDS = [
    (["levers"], ["SCENARIO"]),
    (["levers", "two-grips"], ["no pitch is named", "curve_spike, curve_standard"]),
    (["aim", "two-grips"], ["no pitch is named", "curve_spike, curve_standard"]),
    (["aim", "two-grips", "--pitch", "spike"], ["there is no pitch 'spike'", "did you mean curve_spike?"]),
    (["levers", "two-grips", "--pitch"], ["--pitch"]),
    (["levers", "two-grips", "--pitch", "slider"], ["'slider'", "curve_spike, curve_standard"]),
    (["levers", "two-grips", "--pitch", "fastball"], ["'fastball'", "judged behind"]),
    (["levers", "two-grips", "--pitch", "\x1b[2J"], ["\\x1b"]),
    (["levers", "two-grips", "--pitch", ""], ["no pitch is named"]),
    ([*LEVERS, "--throws", "0"], ["throws", "1 to 100,000,000"]),
    ([*LEVERS, "--seed", "-1"], ["seed"]),
    ([*LEVERS, "--measure", "late_brake"], ["late_brake", "late_break_in"]),
    (["reach", "two-grips"], ["no pitch is named"]),
    (
        [*LEVERS, "--measure", "miss"],
        ["there is no measure 'miss'; did you mean miss_chance_percent? allowed: one of "],
    ),
    ([*REACH[:-1], "two"], ["goal", "'two'", "14.5"]),
    ([*REACH[:-1], ""], ["goal", "14.5"]),
    ([*REACH[:-1], "like:curve_spke"], ["'curve_spke'", "curve_standard"]),
    ([*REACH[:-1], "like:fastball"], ["there is no other pitch", "curve_standard"]),
    ([*REACH[:-1], "1e999"], ["goal"]),
    ([*REACH[:-1], "\x1b[2J"], ["\\x1b"]),
    ([*REACH, "--by", "speed"], ["by", "'speed'", "did you mean speed_mph"]),
    ([*REACH, "--by", ","], ["no lever is named"]),
    ([*REACH, "--by", "\x1b]0;x\x07"], ["\\x1b"]),
    ([*REACH[:5], "late_break", *REACH[6:]], ["'late_break'", "late_break_in"]),
    ([*REACH[:5], "\x1b[2J", *REACH[6:]], ["\\x1b"]),
]


@pytest.mark.parametrize(("words", "said"), BAD_WORDS, ids=[str(number) for number in range(len(BAD_WORDS))])
def test_bad_words(run: Run, words: list[str], said: list[str]) -> None:
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert all(word in err for word in said), err
    assert_clean(err)


@pytest.mark.parametrize("words", [["levers", "--help"], ["reach", "-h"]])
def test_help(run: Run, words: list[str]) -> None:
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    for word in ("--pitch", "--no-interval", "--seed", "--throws", "--json", "SCENARIO"):
        assert word in out
