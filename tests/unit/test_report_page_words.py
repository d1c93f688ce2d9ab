"""What the page says of steps, roads and changes: units, directions, ranges, and where there is no number."""

import math
import tomllib
from dataclasses import replace

import pytest

from latebreak.service.quantities import Reader, Said
from latebreak.service.questions import Estimate, FitResult, PitchFit
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.reach_words import wanted
from latebreak.service.questions.road import Road, Trouble
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.rows import road_rows
from latebreak.service.scenario import Scenario, from_mapping
from latebreak.service.scenario.starter import starter_text
from latebreak.service.tables.levers import named_step


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return from_mapping(tomllib.loads(starter_text("base"))).scenario


US = Reader()


def test_a_step_has_its_lever_and_its_units() -> None:
    assert named_step("target_height_ft", -0.25, US) == "target height 3.0 in lower"
    assert named_step("target_height_ft", -0.25, Reader("metric")) == "target height 7.6 cm lower"
    assert named_step("spread_scale", -0.2, Reader("metric")) == "spread 20 % smaller"


def reached(**roads: Road) -> ReachResult:
    now = Estimate(22.7, 0.1, 9.0, 34.9)
    return ReachResult(
        "curve", "fastball", "miss_chance_percent", Goal("change", 3.0), 25.7, now, roads, frontier=(), judged_among=""
    )  # fmt: skip


def test_roads(scenario: Scenario) -> None:
    nearest = Road(Estimate(2.0, 0.1), 86.0, False, "said in US units", 24.0, 62.0, 86.0, "nearest")
    there = Road(Estimate(400.0, 9.0, 300.0, 600.0), 2780.0, True, "mind this", 25.7, 1000.0, 3000.0)
    result = reached(speed_mph=nearest, spin_rpm=there)
    assert str(wanted(scenario, result, US)) == (
        "curve, miss chance, per swing: 22.7 % (9.0 to 34.9 %) now, 25.7 % wanted."
    )
    speed, spin = road_rows(scenario, result, Reader("metric"))
    assert speed.cells[:2] == [Said("out of reach"), Said("")]
    # 62 and 86 mph
    assert speed.cells[2].value == (
        "between 99.78 km/h and 138.4 km/h it comes nearest at 138.4 km/h, with 24 %; the goal is 25.7 %"
    )
    assert spin.cells == [Said("400 rpm more", "300 to 600 rpm"), Said("2780 rpm"), Said("mind this")]


def test_the_fastball_is_named_where_its_speed_is_the_bound(scenario: Scenario) -> None:
    most = scenario.pitch["fastball"].speed_mph
    for bound, said in ((most, True), (most - 1.0, False)):
        road = Road(Estimate(2.0, 0.1), bound, False, "", 24.0, 62.0, bound, "nearest")
        (row,) = road_rows(scenario, reached(speed_mph=road), US)
        assert ("(the speed of the fastball)" in row.cells[2].value) == said


@pytest.mark.parametrize(
    ("trouble", "remark"),
    [("none", "the pitch can't be thrown, or has no such measure, between 62 mph and 86 mph"),
     ("jump", "the measure jumps past the goal at 80 mph")],
)  # fmt: skip
def test_other_troubles(scenario: Scenario, trouble: Trouble, remark: str) -> None:
    road = Road(Estimate(2.0, 0.1), 80.0, False, "", math.nan, 62.0, 86.0, trouble)
    (row,) = road_rows(scenario, reached(speed_mph=road), US)
    assert row.cells[2].value == remark


def test_a_goal_where_there_is_no_measure_is_said_in_words(scenario: Scenario) -> None:
    result = replace(reached(), now=Estimate(math.nan, math.nan))
    assert "none now" in str(wanted(scenario, result, US))


def fitted(changes: dict[str, Change]) -> FitResult:
    pitch = PitchFit("breaking", 20, 10, {"may": 10, "june": 10}, ())
    return FitResult({"curve": pitch}, {}, (), "", {"curve": changes}, {})


def change(value: float, half: float, chance: float) -> Change:
    return Change(Estimate(value, 0.0, value - half, value + half), chance)


def test_what_changed_and_what_did_not(scenario: Scenario) -> None:
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
        scenario,
        US,
    )["curve"]
    assert (table.earlier, table.later) == ("may", "june")
    assert [(row.label, row.change.value, row.chance, row.verdict) for row in table.moved] == [
        ("speed", "1.8 mph faster", "over 99 %", "changed"),
        ("release side", "1.2 in glove side", "85 %", "perhaps"),
        ("miss chance, per swing", "2.0 points more", "88 %", "perhaps"),
        ("looks like the fastball until", "1.2 ft nearer", "96 %", "changed"),
        ("late break, after the commit point", "0.30 in more", "99 %", "changed"),
        ("spread of launch azimuth", "0.2 deg larger", "94 %", "perhaps"),
    ]
    assert [row.label for row in table.still] == ["spin rate", "drag coefficient"]
    assert table.still[0].change == Said("20 rpm less", "80 rpm less to 40 rpm more")


def test_paper_has_room_for_the_surest_changes(scenario: Scenario) -> None:
    changes = {f"spread.{key}": change(1.0, 0.5, 90.0) for key in ("speed_mph", "spin_rpm", "extension_in")}
    one = pitch_changes(fitted(changes), scenario, US)["curve"]
    assert all(row.on_paper for row in one.moved)
    result = fitted(changes)
    many = FitResult(
        {str(number): result.pitches["curve"] for number in range(9)}, {}, (), "",
        {str(number): {**changes, "speed_mph": change(2.0, 0.5, 99.0)} for number in range(9)}, {},
    )  # fmt: skip
    tables = pitch_changes(many, scenario, US)
    assert [sum(row.on_paper for row in table.moved) for table in tables.values()] == [2] * 9
    assert all(table.moved[0].on_paper for table in tables.values())  # the speed, of which it is surest


def test_one_session_has_no_table(scenario: Scenario) -> None:
    assert pitch_changes(FitResult({}, {}, (), ""), scenario, US) == {}
