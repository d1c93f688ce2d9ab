"""Numbers as people say them: a unit always, a bare sign never, in the units of the reader."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latebreak.service.quantities import MEASURES, QUANTITIES, Reader, Said, change_of, clock_face, told_of, value_of
from latebreak.service.questions import Estimate
from latebreak.service.questions.lever import LEVERS
from latebreak.service.scenario.section import Hand

NAN = float("nan")
SIGN = re.compile(r"(?<![A-Za-z\d])[-+\u2212](?=\s?[\d.])")
RIGHT, LEFT = Reader(), Reader(hand="left")
same_every_time = settings(derandomize=True, deadline=None)
quantities = st.sampled_from(list(QUANTITIES.values()))
readers = st.builds(Reader, st.sampled_from(["us", "metric"]), st.sampled_from(["right", "left"]))
numbers = st.floats(-1e4, 1e4)


@pytest.mark.parametrize(
    ("key", "value", "hand", "words"),
    [
        ("late_break_in", 2.25, "right", "2.2 in"),
        ("induced_vertical_break_in", 17.34, "right", "17.3 in up"),
        ("induced_vertical_break_in", -22.4, "left", "22.4 in down"),
        # positive = the catcher's right: the glove side of a right-hander, who releases on the catcher's left
        ("induced_side_break_in", 7.6, "right", "7.6 in glove side"),
        ("induced_side_break_in", -7.6, "right", "7.6 in arm side"),
        ("induced_side_break_in", 7.6, "left", "7.6 in arm side"),
        ("induced_side_break_in", -7.6, "left", "7.6 in glove side"),
        ("timing_surprise_ms", 4.93, "right", "4.9 ms late"),
        ("timing_surprise_ms", -4.93, "left", "4.9 ms early"),
        ("arrival_height_ft", -0.5, "right", "0.50 ft below the ground"),
        # what rounds to nothing points nowhere
        ("timing_surprise_ms", -0.04, "right", "0.0 ms"),
        ("induced_side_break_in", 0.04, "left", "0.0 in"),
        ("flight_time_s", 0.40249, "right", "0.402 s"),
        ("path_gap_at_commit_arcmin", 52.4, "right", "52 arcmin"),
        ("tunnel_exit_ft", 40.7, "right", "40.7 ft from the plate"),
        ("break_clock_deg", 172.5, "right", "5:45"),
        ("drag_coefficient", 0.345, "right", "0.345"),
    ],
)
def test_one_value(key: str, value: float, hand: Hand, words: str) -> None:
    assert value_of(QUANTITIES[key], Reader(hand=hand)).say(value) == words


@pytest.mark.parametrize(
    ("key", "low", "high", "hand", "words"),
    [
        ("late_break_in", 1.9, 2.7, "right", "1.9 to 2.7"),
        ("induced_vertical_break_in", 15.0, 18.4, "right", "15.0 to 18.4"),
        ("induced_vertical_break_in", -17.2, -11.8, "right", "11.8 to 17.2"),  # "down" stands beside the mean
        ("induced_vertical_break_in", -0.5, 2.2, "right", "0.5 down to 2.2 up"),
        ("induced_side_break_in", -1.14, 1.25, "right", "1.1 arm to 1.2 glove"),
        ("induced_side_break_in", -1.14, 1.25, "left", "1.1 glove to 1.2 arm"),
        ("timing_surprise_ms", -3.1, 0.4, "right", "3.1 early to 0.4 late"),
        ("timing_surprise_ms", 0.0, 2.0, "right", "0.0 to 2.0 late"),
        ("break_clock_deg", 172.5, 180.0, "right", "5:45 to 6:00"),
    ],
)
def test_a_range(key: str, low: float, high: float, hand: Hand, words: str) -> None:
    wording = value_of(QUANTITIES[key], Reader(hand=hand))
    assert wording.span(low, high) == words
    assert wording.span(None, None) == ""


@pytest.mark.parametrize(
    ("key", "change", "reader", "words"),
    [
        ("speed_mph", 4.23, RIGHT, "4.2 mph faster"),
        ("speed_mph", -4.23, RIGHT, "4.2 mph slower"),
        ("speed_mph", -4.23, Reader("metric"), "6.8 km/h slower"),  # 1.609 km a mile
        ("spin_rpm", 100.0, LEFT, "100 rpm more"),
        ("efficiency_percent", -5.0, RIGHT, "5.0 points less"),
        ("break_clock_deg", 7.5, RIGHT, "15 min clockwise"),  # an hour of the clock is 30 deg
        ("break_clock_deg", -15.0, LEFT, "30 min counter-clockwise"),
        ("release_height_ft", 0.25, RIGHT, "3.0 in higher"),
        ("target_height_ft", -0.25, Reader("metric"), "7.6 cm lower"),
        ("extension_ft", 0.5, RIGHT, "6.0 in longer"),
        ("release_side_ft", 0.25, RIGHT, "3.0 in glove side"),
        ("release_side_ft", 0.25, LEFT, "3.0 in arm side"),
        ("launch_elevation_deg", -0.5, LEFT, "0.5 deg down"),
        ("spread_scale", -0.2, RIGHT, "20 % smaller"),
        ("spread.break_clock_deg", 1.0, RIGHT, "1.0 deg larger"),
        ("tunnel_exit_ft", -1.2, RIGHT, "1.2 ft nearer"),
        ("miss_chance_percent", 2.0, RIGHT, "2.0 points more"),
        ("drag_coefficient", -0.01, RIGHT, "0.010 less"),
        # what rounds to nothing goes nowhere
        ("speed_mph", -0.04, RIGHT, "0.0 mph"),
        ("release_side_ft", 0.001, RIGHT, "0.0 in"),
    ],
)
def test_a_change(key: str, change: float, reader: Reader, words: str) -> None:
    assert change_of(QUANTITIES[key], reader).say(change) == words


@pytest.mark.parametrize(
    ("key", "low", "high", "words"),
    [
        ("speed_mph", -4.5, -1.0, "1.0 to 4.5"),  # "slower" stands beside the value
        ("speed_mph", -1.0, 4.5, "1.0 slower to 4.5 faster"),
        ("target_height_ft", -0.5, 0.0, "0.0 to 6.0 lower"),
        ("release_side_ft", -0.1, 0.2, "1.2 arm to 2.4 glove"),
    ],
)
def test_a_range_of_changes(key: str, low: float, high: float, words: str) -> None:
    assert change_of(QUANTITIES[key], RIGHT).span(low, high) == words


@pytest.mark.parametrize(
    ("key", "estimate", "reader", "expected"),
    [
        ("late_break_in", Estimate(2.24, 0.01, 1.9, 2.66), RIGHT, Said("2.2 in", "1.9 to 2.7 in")),
        ("late_break_in", Estimate(2.24, 0.01, 1.9, 2.66), Reader("metric"), Said("5.7 cm", "4.8 to 6.8 cm")),
        ("recognition_ft", Estimate(40.7, 0.1, 36.0, 44.0), Reader("metric"),
         Said("12.41 m", "10.97 to 13.41 m", "from the plate")),
        ("arrival_surprise_side_in", Estimate(-1.2, 0.1, -2.0, 0.4), RIGHT,
         Said("1.2 in arm side", "2.0 in arm side to 0.4 in glove side")),
        ("arrival_surprise_side_in", Estimate(-1.2, 0.1, -2.0, -0.4), LEFT, Said("1.2 in glove side", "0.4 to 2.0 in")),
        ("miss_chance_percent", Estimate(30.0, 0.42), RIGHT, Said("30.0 %", "Monte Carlo error 0.42 %")),
        ("miss_chance_percent", Estimate(30.0, 0.0), RIGHT, Said("30.0 %")),
        ("miss_chance_percent", Estimate(30.0, 0.1, NAN, NAN), RIGHT,
         Said("30.0 %", "no interval: too few cases arrive")),
        ("miss_chance_percent", Estimate(NAN, NAN, NAN, NAN), RIGHT, Said("none")),
    ],
)  # fmt: skip
def test_an_estimate(key: str, estimate: Estimate, reader: Reader, expected: Said) -> None:
    assert value_of(QUANTITIES[key], reader).estimate(estimate) == expected


def test_an_estimate_of_a_change() -> None:
    wording = change_of(QUANTITIES["speed_mph"], RIGHT)
    assert wording.estimate(Estimate(4.2, 0.1, 2.1, 6.0)) == Said("4.2 mph faster", "2.1 to 6.0 mph")
    assert wording.estimate(Estimate(4.2, 0.12), brief=True) == Said("4.2 mph faster", "+-0.12 mph")
    opposite = wording.estimate(Estimate(1.0, 0.1, -0.5, 2.0))
    assert opposite == Said("1.0 mph faster", "0.5 mph slower to 2.0 mph faster")


@pytest.mark.parametrize(
    ("key", "value", "reader", "words"),
    [
        ("speed_mph", 76.1, RIGHT, "76.1 mph"),
        ("speed_mph", 76.1, Reader("metric"), "122.5 km/h"),
        ("break_clock_deg", -25.0, RIGHT, "11:10"),
        ("break_clock_deg", 365.0, RIGHT, "12:10"),
        ("release_side_ft", -1.9, RIGHT, "1.9 ft arm side"),
        ("launch_elevation_deg", -2.25, LEFT, "2.25 deg down"),
        ("target_height_ft", -0.5, RIGHT, "0.5 ft below the ground"),
        ("extension_ft", -0.5, RIGHT, "0.5 ft behind the rubber"),
        ("target_side_ft", 0.0, RIGHT, "0 ft"),
        ("spread_scale", 0.25, RIGHT, "0.25 times the spread"),
        ("arrival_surprise_side_in", -1.931, LEFT, "1.931 in glove side"),
        ("timing_surprise_ms", -3.0, RIGHT, "3 ms early"),
    ],
)
def test_a_value_to_four_digits(key: str, value: float, reader: Reader, words: str) -> None:
    assert value_of(QUANTITIES[key], reader).exactly(value) == words


@same_every_time
@given(quantities, numbers, numbers, readers)
def test_no_bare_sign(quantity: object, one: float, two: float, reader: Reader) -> None:
    low, high = sorted((one, two))
    for wording in (value_of(quantity, reader), change_of(quantity, reader)):  # type: ignore[arg-type]
        if wording.sign == ("", "") and not wording.is_clock:
            low, high = sorted((abs(one), abs(two)))  # a size has no sign
        said = [wording.say(low), wording.span(low, high), wording.span(low, high, unit=True), wording.exactly(low)]
        assert not any(SIGN.search(one) for one in said), said


@same_every_time
@given(quantities, numbers, readers)
def test_no_digit_is_lost(quantity: object, value: float, reader: Reader) -> None:
    """The words give the number back: its size to half a digit, in the reader's unit, its sign from its words."""
    wording = change_of(quantity, reader)  # type: ignore[arg-type]
    number, _, rest = wording.say(value).partition(" ")
    half = 0.5 * 10.0**-wording.digits
    assert float(number) == pytest.approx(abs(wording.factor * value), abs=half * (1 + 1e-9), rel=1e-9)
    if float(number):
        assert rest.endswith(wording.sign[value < 0.0])


@same_every_time
@given(quantities, st.floats(0.1, 1e4))
def test_metric_and_us_say_the_same(quantity: object, value: float) -> None:
    """By the definitions of the international yard and pound agreement (1959): 12 in = 1 ft = 0.3048 m."""
    metres = {"ft": 0.3048, "in": 0.0254, "m": 1.0, "cm": 0.01, "mph": 1609.344, "km/h": 1000.0}
    us, metric = (value_of(quantity, Reader(units)) for units in ("us", "metric"))  # type: ignore[arg-type]
    ours, theirs = metres.get(us.symbol, 1.0), metres.get(metric.symbol, 1.0)
    if us.symbol in metres and metric.symbol in metres:
        assert theirs * metric.factor * value == pytest.approx(ours * us.factor * value, rel=1e-12)
    assert metric.symbol not in ("ft", "in", "mph", "ft/s", "ft/s2", "oz")


def test_directions_are_clock_times() -> None:
    assert [clock_face(degrees) for degrees in (0.0, 212.5, 359.9, -30.0)] == ["12:00", "7:05", "12:00", "11:00"]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_what_is_told_of_a_change_turns_with_the_hand(hand: Hand) -> None:
    told = told_of(QUANTITIES["release_side_ft"], Reader("metric", hand))
    assert told is not None
    own, other = ("glove", "arm") if hand == "right" else ("arm", "glove")
    assert told.sign == (f"released farther to the {own} side", f"released farther to the {other} side")
    assert told.amount(0.1) == "3.0 cm"


def test_what_is_good_for_the_pitcher() -> None:
    late, contact = QUANTITIES["late_break_in"], QUANTITIES["clean_contact_percent"]
    assert [late.favours(difference) for difference in (0.3, -0.3, 0.04)] == [1, -1, 0]
    assert [contact.favours(difference) for difference in (0.3, -0.3, 0.04)] == [-1, 1, 0]
    assert QUANTITIES["timing_surprise_ms"].favours(9.0) == 0  # neither late nor early is better


def test_levers_and_measures_have_names_of_their_own() -> None:
    for names in ([one.name for one in MEASURES], [QUANTITIES[lever.key].name for lever in LEVERS]):
        assert len(set(names)) == len(names)
        assert all(name == name.strip() for name in names)
    assert math.isfinite(sum(one.matters or 0.0 for one in QUANTITIES.values()))
