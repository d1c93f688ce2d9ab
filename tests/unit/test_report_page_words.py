"""Numbers of the page in words: units, directions, ranges, and where there is no number."""

import math

import pytest

from latebreak.service.questions import Estimate, FitResult, PitchFit
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.road import Road
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.moves import named_step, said_move
from latebreak.service.report.roads import road_rows, wanted
from latebreak.service.report.spoken import Said, say
from latebreak.service.report.words import GROUPS, NEVER
from latebreak.service.tables.compare import PHRASES
from latebreak.service.tables.phrases import Phrase

INCHES = Phrase("late break", "in", 1)
NAN = float("nan")


def test_every_number_of_compare_is_on_the_page_and_said_in_other_words() -> None:
    keys = [key for meanings in GROUPS.values() for key in meanings]
    assert sorted(keys) == sorted(PHRASES)
    for meanings in GROUPS.values():
        for key, meaning in meanings.items():
            assert PHRASES[key].label.strip().lower() not in meaning.lower()
            assert meaning.endswith(".")
    for event in NEVER:
        assert any(key.startswith(event) for key in keys)


@pytest.mark.parametrize(
    ("phrase", "estimate", "units", "expected"),
    [
        (INCHES, Estimate(2.24, 0.01, 1.9, 2.66), "us", Said("2.2 in", "1.9 to 2.7 in")),
        (INCHES, Estimate(2.24, 0.01, 1.9, 2.66), "metric", Said("5.7 cm", "4.8 to 6.8 cm")),  # 2.54 cm an inch
        (
            Phrase("", "ft from the plate", 1),
            Estimate(40.7, 0.1, 36.0, 44.0),
            "metric",
            Said("12.41 m", "10.97 to 13.41 m", "from the plate"),
        ),
        (
            Phrase("", "in", 1, "side"),
            Estimate(-1.2, 0.1, -2.0, 0.4),
            "us",
            Said("1.2 in arm side", "2.0 in arm side to 0.4 in glove side"),
        ),
        (Phrase("", "in", 1, "height"), Estimate(-1.2, 0.1, -2.0, -0.4), "us", Said("1.2 in down", "0.4 to 2.0 in")),
        (Phrase("", "%", 1), Estimate(30.0, 0.42), "us", Said("30.0 %", "Monte Carlo error 0.4 %")),
        (Phrase("", "%", 1), Estimate(30.0, 0.0), "us", Said("30.0 %")),
        (Phrase("", "%", 1), Estimate(30.0, 0.1, NAN, NAN), "us", Said("30.0 %", "no interval: too few draws arrive")),
        (Phrase("", "%", 1), Estimate(NAN, NAN, NAN, NAN), "us", Said("no throw arrived")),
        (Phrase("drag coefficient", "", 3, "change"), Estimate(-0.01, 0.0, -0.02, 0.01), "us",
         Said("0.010 less", "0.020 less to 0.010 more")),
    ],
)  # fmt: skip
def test_an_estimate(phrase: Phrase, estimate: Estimate, units: str, expected: Said) -> None:
    assert say(phrase, estimate, "right", units) == expected  # type: ignore[arg-type]


def test_sides_turn_with_the_hand() -> None:
    phrase, estimate = Phrase("", "in", 1, "side"), Estimate(-1.2, 0.1, -2.0, -0.4)
    assert say(phrase, estimate, "right", "us").value == "1.2 in arm side"
    assert say(phrase, estimate, "left", "us").value == "1.2 in glove side"


@pytest.mark.parametrize(
    ("key", "change", "units", "expected"),
    [
        ("speed_mph", Estimate(4.2, 0.1, 2.1, 6.0), "us", Said("4.2 mph faster", "2.1 to 6.0 mph faster")),
        ("speed_mph", Estimate(4.2, 0.1, 2.1, 6.0), "metric", Said("6.8 km/h faster", "3.4 to 9.7 km/h faster")),
        ("speed_mph", Estimate(-4.2, 0.1, -6.0, -2.1), "us", Said("4.2 mph slower", "2.1 to 6.0 mph slower")),
        ("speed_mph", Estimate(1.0, 0.1, -0.5, 2.0), "us", Said("1.0 mph faster", "0.5 mph slower to 2.0 mph faster")),
        ("speed_mph", Estimate(1.0, 0.1, 0.01, 2.0), "us", Said("1.0 mph faster", "0.0 to 2.0 mph faster")),
        ("spin_rpm", Estimate(396.0, 9.0), "us", Said("396 rpm more")),
        ("target_height_ft", Estimate(-0.5, 0.1, -0.8, -0.25), "us", Said("6.0 in lower", "3.0 to 9.6 in lower")),
        ("release_side_ft", Estimate(-0.1, 0.1, -0.2, 0.1), "us",
         Said("1.2 in arm side", "2.4 in arm side to 1.2 in glove side")),
        ("break_clock_deg", Estimate(-7.5, 1.0, -10.0, -5.0), "us",
         Said("15 min counter-clockwise", "10 to 20 min counter-clockwise")),
    ],
)  # fmt: skip
def test_a_move(key: str, change: Estimate, units: str, expected: Said) -> None:
    assert said_move(key, change, "right", units) == expected  # type: ignore[arg-type]


def test_a_step_has_its_lever_and_its_units() -> None:
    assert named_step("target_height_ft", -0.25, "right", "us") == "target 3.0 in lower"
    assert named_step("target_height_ft", -0.25, "right", "metric") == "target 7.6 cm lower"
    assert named_step("spread_scale", -0.2, "right", "metric") == "spread 20 % smaller"


def reached(**roads: Road) -> ReachResult:
    now = Estimate(22.7, 0.1, 9.0, 34.9)
    return ReachResult(
        "curve", "fastball", "miss_chance_percent", Goal("change", 3.0), 25.7, now, roads, frontier=(), judged_among=""
    )  # fmt: skip


def test_roads() -> None:
    nearest = Road(Estimate(2.0, 0.1), 80.0, False, "between 62 mph and 86 mph it comes nearest at 86 mph", 24.0)
    there = Road(Estimate(400.0, 9.0, 300.0, 600.0), 2780.0, True, "", 25.7)
    result = reached(speed_mph=nearest, spin_rpm=there)
    assert wanted(result, "right", "us") == (
        "curve, miss chance, per swing: 22.7 % (9.0 to 34.9 %) now, 25.7 % wanted."
    )
    speed, spin = road_rows(result, "right", "metric")
    assert (speed.change, speed.then) == (Said("out of reach"), "")
    assert "138 km/h" in speed.remark  # 86 mph
    assert "mph" not in speed.remark
    assert (spin.change, spin.then) == (Said("400 rpm more", "300 to 600 rpm more"), "2780 rpm")


def test_a_goal_where_nothing_arrives_is_said_in_words() -> None:
    result = reached()
    assert "no throw arrived now" in wanted(
        ReachResult("c", "f", result.measure, result.goal, 25.0, Estimate(math.nan, math.nan), {}, (), ""),
        "right",
        "us",
    )


def fitted(changes: dict[str, Change]) -> FitResult:
    pitch = PitchFit("breaking", 20, 10, {"may": 10, "june": 10}, ())
    return FitResult({"curve": pitch}, {}, (), "", {"curve": changes}, {})


def change(value: float, half: float, chance: float) -> Change:
    return Change(Estimate(value, 0.0, value - half, value + half), chance)


def test_what_changed_and_what_did_not() -> None:
    table = pitch_changes(
        fitted(
            {
                "gyro_deg": change(3.0, 1.0, 99.0),  # the efficiency says it
                "speed_mph": change(1.8, 0.8, 99.8),
                "spin_rpm": change(-20.0, 60.0, 71.0),
                "release_side_ft": change(0.1, 0.2, 85.0),
                "drag_coefficient": change(0.01, 0.02, 79.9),
                "late_break_in": change(0.3, 0.1, 99.0),
                "same_line_separation_ft": change(-1.2, 0.5, 96.0),
                "miss_chance_percent": change(2.0, 3.0, 88.0),
                "spread.launch_azimuth_deg": change(0.2, 0.1, 94.4),
            }
        ),
        "right",
        "us",
    )["curve"]
    assert (table.earlier, table.later) == ("may", "june")
    assert [(row.label, row.change.value, row.chance, row.verdict) for row in table.moved] == [
        ("speed", "1.8 mph faster", "over 99 %", "changed"),
        ("release side", "1.2 in glove side", "85 %", "perhaps"),
        ("miss chance, per swing", "2.0 points more", "88 %", "perhaps"),
        ("looks like the fastball until", "1.2 ft nearer", "96 %", "changed"),
        ("late break, after the commit point", "0.3 in more", "99 %", "changed"),
        ("spread of launch azimuth", "0.20 deg more", "94 %", "perhaps"),
    ]
    assert [row.label for row in table.still] == ["spin rate", "drag coefficient"]
    assert table.still[0].change == Said("20 rpm less", "80 rpm less to 40 rpm more")


def test_paper_has_room_for_the_surest_changes() -> None:
    changes = {f"spread.{key}": change(1.0, 0.5, 90.0) for key in ("speed_mph", "spin_rpm", "extension_in")}
    one = pitch_changes(fitted(changes), "right", "us")["curve"]
    assert all(row.on_paper for row in one.moved)
    result = fitted(changes)
    many = FitResult(
        {str(number): result.pitches["curve"] for number in range(9)}, {}, (), "",
        {str(number): {**changes, "speed_mph": change(2.0, 0.5, 99.0)} for number in range(9)}, {},
    )  # fmt: skip
    tables = pitch_changes(many, "right", "us")
    assert [sum(row.on_paper for row in table.moved) for table in tables.values()] == [2] * 9
    assert all(table.moved[0].on_paper for table in tables.values())  # the speed, of which it is surest


def test_one_session_has_no_table() -> None:
    assert pitch_changes(FitResult({}, {}, (), ""), "right", "us") == {}
