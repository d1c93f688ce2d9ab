"""Moves of levers as people say them: a unit always, a bare sign never; and values in sentences."""

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latebreak.service.judging.measures import MEASURES
from latebreak.service.questions.lever import BY_KEY, CLOCK_SPREAD, LEVERS, SPREAD_SCALE
from latebreak.service.questions.spoken import say_measure, say_setting, say_settings
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import PHRASES
from latebreak.service.tables.levers import COLUMNS
from latebreak.service.tables.moves import lever_label, say_error, say_move, say_moves
from latebreak.service.tables.reach import phrase_of

UNITS = r"(mph|rpm|points|min|in|deg|%|ft|ms|arcmin|times the spread)"
WAYS = (
    r"(faster|slower|more|less|clockwise|counter-clockwise|higher|lower|longer|shorter|larger|smaller|up|down|"
    r"arm side|glove side|early|late|below the ground)"
)
SIGN = re.compile(r"(?<![A-Za-z\d])[-+\u2212](?=\s?[\d.])")
levers = st.sampled_from(LEVERS)
hands: st.SearchStrategy[Hand] = st.sampled_from(["right", "left"])


@pytest.mark.parametrize(
    ("key", "change", "hand", "words"),
    [
        ("speed_mph", 4.23, "right", "4.2 mph faster"),
        ("speed_mph", -4.23, "right", "4.2 mph slower"),
        ("spin_rpm", 100.0, "left", "100 rpm more"),
        ("efficiency_percent", -5.0, "right", "5.0 points less"),
        ("break_clock_deg", 7.5, "right", "15 min clockwise"),
        ("break_clock_deg", -15.0, "left", "30 min counter-clockwise"),
        ("release_height_ft", 0.25, "right", "3.0 in higher"),
        ("target_height_ft", -0.25, "right", "3.0 in lower"),
        ("extension_ft", 0.5, "right", "6.0 in longer"),
        # positive = the catcher's right: the glove side of a right-hander
        ("release_side_ft", 0.25, "right", "3.0 in glove side"),
        ("release_side_ft", 0.25, "left", "3.0 in arm side"),
        ("target_side_ft", -0.25, "right", "3.0 in arm side"),
        ("launch_azimuth_deg", -0.5, "left", "0.5 deg glove side"),
        ("launch_elevation_deg", -0.5, "left", "0.5 deg down"),
        (SPREAD_SCALE, -0.2, "right", "20 % smaller"),
        (CLOCK_SPREAD, 1.0, "right", "1.0 deg larger"),
        # what rounds to nothing goes nowhere
        ("speed_mph", -0.04, "right", "0.0 mph"),
        ("efficiency_percent", 0.0, "right", "0.0 points"),
        ("release_side_ft", 0.001, "right", "0.0 in"),
    ],
)
def test_a_move(key: str, change: float, hand: Hand, words: str) -> None:
    assert say_move(key, change, hand) == words


@pytest.mark.parametrize(
    ("key", "low", "high", "hand", "words"),
    [
        ("speed_mph", 1.0, 4.5, "right", "1.0 to 4.5"),
        ("speed_mph", -4.5, -1.0, "right", "1.0 to 4.5"),  # "slower" stands beside the value
        ("speed_mph", -1.0, 4.5, "right", "1.0 slower to 4.5 faster"),
        ("break_clock_deg", -7.5, 15.0, "right", "15 counter-clockwise to 30 clockwise"),
        (SPREAD_SCALE, -0.5, -0.1, "right", "10 to 50"),
        ("target_height_ft", -0.5, 0.0, "right", "0.0 to 6.0"),
        ("release_side_ft", -0.1, 0.2, "right", "1.2 arm to 2.4 glove"),
        ("release_side_ft", -0.1, 0.2, "left", "1.2 glove to 2.4 arm"),
    ],
)
def test_a_range_of_moves(key: str, low: float, high: float, hand: Hand, words: str) -> None:
    assert say_moves(key, low, high, hand) == words


@pytest.mark.parametrize(
    ("key", "error", "words"),
    [("speed_mph", 0.123, "0.12 mph"), ("break_clock_deg", 1.0, "2 min"), ("target_height_ft", 0.05, "0.6 in"),
     (SPREAD_SCALE, 0.013, "1.3 %"), ("release_side_ft", 0.01, "0.12 in")],
)  # fmt: skip
def test_an_error_is_in_the_unit_of_its_move(key: str, error: float, words: str) -> None:
    assert say_error(key, error) == words


@given(levers.map(lambda lever: lever.key), st.floats(-50.0, 50.0), st.floats(-50.0, 50.0), hands)
def test_moves_have_a_unit_and_no_bare_sign(key: str, one: float, two: float, hand: Hand) -> None:
    assert re.fullmatch(rf"[\d.]+ {UNITS}( {WAYS})?", say_move(key, one, hand))
    low, high = sorted((one, two))
    assert not SIGN.search(say_moves(key, low, high, hand))
    assert re.search(UNITS, say_error(key, abs(one)))
    assert lever_label(key)


# --- values in sentences --------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("key", "value", "hand", "words"),
    [
        ("speed_mph", 76.1, "right", "76.1 mph"),
        ("break_clock_deg", 172.5, "right", "5:45"),
        ("break_clock_deg", -25.0, "right", "11:10"),
        ("break_clock_deg", 365.0, "right", "12:10"),
        ("release_side_ft", -1.9, "right", "1.9 ft arm side"),
        ("release_side_ft", -1.9, "left", "1.9 ft glove side"),
        ("launch_elevation_deg", -2.25, "left", "2.25 deg down"),
        ("launch_azimuth_deg", 1.5, "right", "1.5 deg glove side"),
        ("target_height_ft", -0.5, "right", "0.5 ft below the ground"),
        ("target_side_ft", 0.0, "right", "0 ft"),
        (SPREAD_SCALE, 0.25, "right", "0.25 times the spread"),
    ],
)
def test_where_a_lever_stands(key: str, value: float, hand: Hand, words: str) -> None:
    assert say_setting(BY_KEY[key], value, hand) == words


@pytest.mark.parametrize(
    ("measure", "value", "hand", "words"),
    [
        ("miss_chance_percent", 26.13, "right", "26.13 %"),
        ("arrival_surprise_vertical_in", -1.9, "right", "1.9 in down"),
        ("arrival_surprise_side_in", -1.931, "left", "1.931 in glove side"),
        ("timing_surprise_ms", -3.0, "right", "3 ms early"),
        ("timing_surprise_ms", 3.0, "right", "3 ms late"),
        ("same_line_separation_ft", 40.0, "right", "40 ft"),
    ],
)
def test_a_measure_in_a_sentence(measure: str, value: float, hand: Hand, words: str) -> None:
    assert say_measure(measure, value, hand) == words


@given(levers, st.floats(-90.0, 90.0), st.floats(-90.0, 90.0), hands)
def test_settings_have_a_unit_and_no_bare_sign(lever: Any, low: float, high: float, hand: Hand) -> None:
    assert lever in LEVERS
    said = say_settings(lever, low, high, hand)
    assert not SIGN.search(said)
    value = rf"([\d.e-]+ {UNITS}( {WAYS})?|\d+:\d\d)"
    assert re.fullmatch(f"{value} and {value}", said), said


# --- the tables -----------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("measure", MEASURES)
def test_every_measure_can_stand_alone(measure: str) -> None:
    """A label that goes on from the one above it in the long table names its beginning here."""
    phrase = phrase_of(measure)
    assert phrase.label == phrase.label.strip()
    assert not phrase.label.startswith("and ")
    assert phrase.unit
    if measure in PHRASES:
        assert (phrase.unit, phrase.digits) == (PHRASES[measure].unit, PHRASES[measure].digits)
    assert len({phrase_of(one).label for one in MEASURES}) == len(MEASURES)


def test_labels_that_go_on_from_another() -> None:
    assert phrase_of("arrival_surprise_side_in").label == "arrives off the forecast, to the side"
    assert phrase_of("recognition_before_arrival_ms").label == "recognised, before arrival"
    assert phrase_of("break_onset_reached_percent").label == "break onset reached"


def test_what_is_shown_of_a_step_is_a_change() -> None:
    assert set(COLUMNS) < set(MEASURES)
    assert {phrase.direction for phrase in COLUMNS.values()} == {"change", "place"}
