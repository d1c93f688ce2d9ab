"""How goals are written, and what is said of those that can't be read."""

import pytest

from latebreak.engine.errors import Fault
from latebreak.service.questions.goal import Goal, read_goal

OTHERS = ["curve_spike", "slider"]


@pytest.mark.parametrize(
    ("written", "goal"),
    [
        ("14.5", Goal("value", 14.5)),
        ("=14.5", Goal("value", 14.5)),
        ("=-3", Goal("value", -3.0)),
        ("=+3", Goal("value", 3.0)),
        ("0", Goal("value", 0.0)),
        ("14.", Goal("value", 14.0)),
        (".5", Goal("value", 0.5)),
        ("1.5e2", Goal("value", 150.0)),
        ("+2", Goal("change", 2.0)),
        ("-2", Goal("change", -2.0)),
        ("+.25", Goal("change", 0.25)),
        ("-1e-1", Goal("change", -0.1)),
        (" + 2 ", Goal("change", 2.0)),
        ("= -3", Goal("value", -3.0)),
        ("like:slider", Goal("like", pitch="slider")),
        ("like: slider ", Goal("like", pitch="slider")),
        (14.5, Goal("value", 14.5)),
        (3, Goal("value", 3.0)),
        (-3.0, Goal("value", -3.0)),  # a number is a value: only text tells a change
    ],
)
def test_every_spelling(written: object, goal: Goal) -> None:
    assert read_goal(written, OTHERS) == goal


@pytest.mark.parametrize(
    "written",
    ["", " ", "+", "-", "=", "=+", "--2", "+-2", "2+", "two", "14,5", "14.5 mph", "1e", "1e999", "-1e999", "nan", "inf",
     "0x10", "like", "liken:slider", "−2", True, None, [2], float("nan"), float("inf"), "+2;", "1_000"],
)  # fmt: skip
def test_what_is_no_goal(written: object) -> None:
    fault = read_goal(written, OTHERS)
    assert isinstance(fault, Fault)
    for word in ("goal", "14.5", "=-3", "+2 or -2", "like:PITCH"):
        assert word in str(fault)


def test_steering_characters_are_escaped() -> None:
    assert "\\x1b" in str(read_goal("\x1b[2J", OTHERS))
    assert "\\x1b" in str(read_goal("like:\x1b[2J", OTHERS))


def test_an_unknown_pitch() -> None:
    fault = read_goal("like:slidr", OTHERS)
    assert isinstance(fault, Fault)
    for word in ("'slidr'", "curve_spike", "did you mean slider?"):
        assert word in str(fault)


def test_no_other_pitch() -> None:
    fault = read_goal("like:slider", [])
    assert isinstance(fault, Fault)
    assert "there is no other pitch" in str(fault)
