"""Numbers as people say them: a unit always, a bare sign never."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latebreak.service.scenario.section import Hand
from latebreak.service.tables import compare, fly
from latebreak.service.tables.phrases import Phrase

SIZE = Phrase("late break", "in", 1)
HEIGHT = Phrase("induced vertical break", "in", 1, "height")
SIDE = Phrase("induced side break", "in", 1, "side")
TIME = Phrase("arrives off the forecast in time", "ms", 1, "time")


@pytest.mark.parametrize(
    ("phrase", "value", "hand", "words"),
    [
        (SIZE, 2.25, "right", "2.2 in"),
        (HEIGHT, 17.34, "right", "17.3 in up"),
        (HEIGHT, -22.4, "left", "22.4 in down"),
        # positive = the catcher's right: the glove side of a right-hander, who releases on the catcher's left
        (SIDE, 7.6, "right", "7.6 in glove side"),
        (SIDE, -7.6, "right", "7.6 in arm side"),
        (SIDE, 7.6, "left", "7.6 in arm side"),
        (SIDE, -7.6, "left", "7.6 in glove side"),
        (TIME, 4.93, "right", "4.9 ms late"),
        (TIME, -4.93, "left", "4.9 ms early"),
        # what rounds to nothing points nowhere
        (TIME, -0.04, "right", "0.0 ms"),
        (HEIGHT, -0.04, "right", "0.0 in"),
        (SIDE, 0.04, "left", "0.0 in"),
        (Phrase("flight time", "s", 3), 0.40249, "right", "0.402 s"),
        (Phrase("path gap", "arcmin", 0), 52.4, "right", "52 arcmin"),
    ],
)
def test_one_value(phrase: Phrase, value: float, hand: Hand, words: str) -> None:
    assert phrase.say(value, hand) == words


@pytest.mark.parametrize(
    ("phrase", "low", "high", "hand", "words"),
    [
        (SIZE, 1.9, 2.7, "right", "1.9 to 2.7"),
        (HEIGHT, 15.0, 18.4, "right", "15.0 to 18.4"),
        (HEIGHT, -17.2, -11.8, "right", "11.8 to 17.2"),  # sizes in order; "down" stands beside the mean
        (HEIGHT, -0.5, 2.2, "right", "0.5 down to 2.2 up"),
        (SIDE, -1.14, 1.25, "right", "1.1 arm to 1.2 glove"),
        (SIDE, -1.14, 1.25, "left", "1.1 glove to 1.2 arm"),
        (SIDE, -9.6, -6.3, "right", "6.3 to 9.6"),
        (TIME, -3.1, 0.4, "right", "3.1 early to 0.4 late"),
        (TIME, -6.0, -1.9, "right", "1.9 to 6.0"),  # "early" stands beside the value
        (TIME, 0.0, 2.0, "right", "0.0 to 2.0 late"),
    ],
)
def test_a_range(phrase: Phrase, low: float, high: float, hand: Hand, words: str) -> None:
    assert phrase.say_range(low, high, hand) == words


@pytest.mark.parametrize("phrase", [SIZE, HEIGHT, SIDE, TIME])
def test_nothing_to_say(phrase: Phrase) -> None:
    assert phrase.say(None, "right") == "none arrived"
    assert phrase.say_range(None, None, "right") == ""


numbers = st.floats(-1e4, 1e4)


@given(numbers, numbers, st.sampled_from([SIZE, HEIGHT, SIDE, TIME]), st.sampled_from(["right", "left"]))
def test_no_bare_sign(one: float, two: float, phrase: Phrase, hand: Hand) -> None:
    low, high = sorted((one, two) if phrase.direction != "size" else (abs(one), abs(two)))  # a size has no sign
    assert "-" not in phrase.say(low, hand) + phrase.say_range(low, high, hand)


@given(numbers, st.sampled_from([HEIGHT, SIDE, TIME]), st.sampled_from(["right", "left"]))
def test_no_digit_is_lost(value: float, phrase: Phrase, hand: Hand) -> None:
    """The words give the number back: its size to half a digit, its sign from the direction."""
    found = re.fullmatch(r"([\d.]+) (?:in|ms)( up| down| arm side| glove side| late| early|)", phrase.say(value, hand))
    assert found is not None
    size, direction = float(found[1]), found[2].strip()
    assert bool(direction) == (size > 0.0)
    positive = {"up", "late", "glove side" if hand == "right" else "arm side"}
    assert (size if direction in positive else -size) == pytest.approx(value, abs=0.05 + 1e-9)


@pytest.mark.parametrize("phrases", [fly.PHRASES, compare.PHRASES])
def test_every_phrase_has_a_unit_that_its_key_ends_in(phrases: dict[str, Phrase]) -> None:
    written = {"%": "percent", "ft from the plate": "ft"}
    for key, phrase in phrases.items():
        assert key.endswith(f"_{written.get(phrase.unit, phrase.unit)}"), key
        assert phrase.label.strip()


def test_what_has_a_sign_has_a_direction() -> None:
    """Every signed quantity: heights, sides, angles, surprises; times, speeds and heights above ground have none."""
    directions = {
        key: phrase.direction
        for phrases in (fly.PHRASES, compare.PHRASES)
        for key, phrase in phrases.items()
        if phrase.direction != "size"
    }
    assert directions == {
        "arrival_side_ft": "side",
        "induced_vertical_break_in": "height",
        "induced_side_break_in": "side",
        "vertical_approach_deg": "height",
        "side_approach_deg": "side",
        "launch_elevation_deg": "height",
        "launch_azimuth_deg": "side",
        "arrival_surprise_vertical_in": "height",
        "arrival_surprise_side_in": "side",
        "timing_surprise_ms": "time",
    }
