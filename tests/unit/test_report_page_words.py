"""What the page says of steps, roads and changes: units, directions, ranges, and where there is no number."""

import math
import tomllib
from dataclasses import replace

import pytest

from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import Reader, Said
from latebreak.service.questions import CompareResult, Estimate, FitResult, PitchFit
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.reach_words import wanted, why_not
from latebreak.service.questions.road import Road, Trouble
from latebreak.service.questions.verdict import Better
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.roads import work_on
from latebreak.service.report.rows import road_rows
from latebreak.service.report.words import verdict
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


def remark(scenario: Scenario, road: Road, reader: Reader) -> str:
    return why_not(scenario, "fastball", "miss_chance_percent", 25.7, "speed_mph", road, reader)


def test_roads(scenario: Scenario) -> None:
    nearest = Road(Estimate(2.0, 0.1), 86.0, False, "said in US units", 24.0, 62.0, 86.0, "nearest")
    there = Road(Estimate(400.0, 9.0, 300.0, 600.0), 2780.0, True, "mind this", 25.7, 1000.0, 3000.0)
    result = reached(speed_mph=nearest, spin_rpm=there)
    assert str(wanted(scenario, result, US)) == (
        "curve, miss chance, per swing: 22.7 % (9.0 to 34.9 %) now, 25.7 % wanted, 3.0 points more."
    )
    speed, spin = road_rows(result, Reader("metric"))
    assert speed.cells == [Said("out of reach"), Said("")]
    # 62 and 86 mph
    assert remark(scenario, nearest, Reader("metric")) == (
        "between 99.78 km/h and 138.4 km/h it comes nearest at 138.4 km/h, with 24 %; the goal is 25.7 %"
    )
    assert spin.cells == [Said("400 rpm more", "300 to 600 rpm"), Said("2780 rpm")]
    assert remark(scenario, there, US) == "mind this"


def test_the_fastball_is_named_where_its_speed_is_the_bound(scenario: Scenario) -> None:
    most = scenario.pitch["fastball"].speed_mph
    for bound, said in ((most, True), (most - 1.0, False)):
        road = Road(Estimate(2.0, 0.1), bound, False, "", 24.0, 62.0, bound, "nearest")
        assert ("(the speed of the fastball)" in remark(scenario, road, US)) == said


@pytest.mark.parametrize(
    ("trouble", "said"),
    [("none", "the pitch can't be thrown, or has no such measure, between 62 mph and 86 mph"),
     ("jump", "the measure jumps past the goal at 80 mph")],
)  # fmt: skip
def test_other_troubles(scenario: Scenario, trouble: Trouble, said: str) -> None:
    road = Road(Estimate(2.0, 0.1), 80.0, False, "", math.nan, 62.0, 86.0, trouble)
    assert remark(scenario, road, US) == said


def test_a_goal_where_there_is_no_measure_is_said_in_words(scenario: Scenario) -> None:
    result = replace(reached(), now=Estimate(math.nan, math.nan))
    assert "none now" in str(wanted(scenario, result, US))


def fitted(changes: dict[str, Change]) -> FitResult:
    pitch = PitchFit("breaking", 20, 10, {"may": 10, "june": 10}, ())
    return FitResult({"curve": pitch}, {}, (), "", {"curve": changes}, {})


def change(value: float, half: float, chance: float) -> Change:
    return Change(Estimate(value, 0.0, value - half, value + half), chance)


CHANGES = {
    "gyro_deg": change(3.0, 1.0, 99.0),  # the efficiency says it
    "speed_mph": change(1.8, 0.8, 99.8),
    "spin_rpm": change(-20.0, 60.0, 71.0),
    "release_side_ft": change(0.1, 0.2, 85.0),
    "drag_coefficient": change(0.01, 0.02, 79.9),
    "late_break_in": change(0.3, 0.1, 99.0),
    "tunnel_exit_ft": change(-1.2, 0.5, 96.0),
    "miss_chance_percent": change(2.0, 3.0, 88.0),
    "spread.launch_azimuth_deg": change(0.2, 0.1, 94.4),
}


def test_what_changed_and_what_did_not(scenario: Scenario) -> None:
    table = pitch_changes(fitted(CHANGES), scenario, US, "curve")["curve"]
    assert (table.earlier, table.later) == ("may", "june")
    assert str(table.headline) == "curve is missed on 2 more of 100 swings than in may (we are 88 % sure)."
    assert table.surest == (
        "faster by 1.8 mph; more late break by 0.3 in; leaves the fastball's tunnel later by 1.2 ft"
    )
    assert [(row.label, row.change.value, row.chance, row.verdict) for row in table.moved] == [
        ("speed", "1.8 mph faster", "over 99 %", "changed"),
        ("release side", "1.2 in glove side", "85 %", "perhaps"),
        ("miss chance, per swing", "2.0 points more", "88 %", "perhaps"),
        ("leaves the fastball's tunnel", "1.2 ft nearer", "96 %", "changed"),
        ("late break, after the commit point", "0.30 in more", "99 %", "changed"),
        ("spread of launch azimuth", "0.2 deg larger", "94 %", "perhaps"),
    ]
    assert [row.label for row in table.still] == ["spin rate", "drag coefficient"]
    assert table.still[0].change == Said("20 rpm less", "80 rpm less to 40 rpm more")


@pytest.mark.parametrize(
    ("misses", "said"),
    [
        (change(2.0, 3.0, 79.0), "Hard to say whether curve is missed more than in may."),
        (change(0.4, 0.1, 99.9), "Hard to say whether curve is missed more than in may."),  # too little to matter
        (change(-3.0, 1.0, 99.9), "curve is missed on 3 fewer of 100 swings than in may (we are over 99 % sure)."),
        (None, "curve since may: faster by 1.8 mph."),
    ],
)
def test_the_headline_of_two_sessions(scenario: Scenario, misses: Change | None, said: str) -> None:
    changes = {"speed_mph": CHANGES["speed_mph"], **({"miss_chance_percent": misses} if misses else {})}
    assert str(pitch_changes(fitted(changes), scenario, US, "curve")["curve"].headline) == said


def test_one_session_has_no_table(scenario: Scenario) -> None:
    assert pitch_changes(FitResult({}, {}, (), ""), scenario, US, "curve") == {}


# ---- the verdict


def judged(chance: float | None, **misses: float) -> CompareResult:
    """An answer of which the first pitch leads."""
    found = {
        key: {"miss_chance_percent": Estimate(value, 0.1, value - 8.0, value + 9.0)} for key, value in misses.items()
    }
    values = list(misses.values())
    difference = Estimate(values[0] - values[1], 0.1) if len(values) > 1 else None
    sure = len(values) == 1 or (abs(values[0] - values[1]) >= 1.0 and (chance is None or chance >= 80.0))
    better = Better(next(iter(misses)) if sure else None, "miss_chance_percent", difference, chance)
    return CompareResult("fastball", found, better, (), "")


@pytest.mark.parametrize(
    ("chance", "misses", "said"),
    [
        (93.4, {"a": 30.4, "b": 22.6},
         "a fools more hitters: about 30 of 100 swings miss it, 23 the other (we are 93 % sure)."),
        (99.9, {"a": 30.4, "b": 22.6, "c": 20.0},
         "a fools more hitters: about 30 of 100 swings miss it, 23 the next, b (we are over 99 % sure)."),
        (62.0, {"a": 24.4, "b": 22.6},
         "Hard to say which fools more hitters: about 24 of 100 swings miss a, 23 b (we are only 62 % sure)."),
        (99.0, {"a": 23.1, "b": 22.6}, "No difference worth a choice: about 23 of 100 swings miss a, 23 b."),
        (None, {"a": 30.4, "b": 22.6}, "a fools more hitters: about 30 of 100 swings miss it, 23 the other."),
        (None, {"a": 30.4}, "a: about 30 of 100 swings miss it (probably 22 to 39)."),
    ],
)  # fmt: skip
def test_the_verdict(scenario: Scenario, chance: float | None, misses: dict[str, float], said: str) -> None:
    assert str(verdict(scenario, judged(chance, **misses))) == said


def test_the_verdict_is_told_by_the_measure_that_decides(scenario: Scenario) -> None:
    """a is missed more, b makes the better mix: the page names the one that the comparison names."""
    found = {
        "a": {"miss_chance_percent": Estimate(30.0, 0.1), MIX: Estimate(33.4, 0.1)},
        "b": {"miss_chance_percent": Estimate(25.0, 0.1), MIX: Estimate(35.1, 0.1)},
    }
    result = CompareResult("fastball", found, Better("b", MIX, Estimate(1.7, 0.1), 95.0), (), "")
    assert str(verdict(scenario, result)) == (
        "b makes the better mix: with it about 35.1 of 100 pitches are strikes that nobody touches, 33.4 with the "
        "other (we are 95 % sure)."
    )
    close = replace(result, better=Better(None, MIX, Estimate(1.7, 0.1), 62.0))
    assert str(verdict(scenario, close)).startswith("Hard to say which makes the better mix: about 35.1 of 100 pitches")


# ---- what to work on


def road(change: float, now: float, low: float, high: float, *, reachable: bool = True) -> Road:
    """A road of a lever that stands at `now`, with an interval of half as much on either side."""
    ends = sorted((0.5 * change, 1.5 * change))
    return Road(Estimate(change, 0.1, *ends), now + change, reachable, "", 25.7, low, high)


def test_at_most_three_roads_of_the_fewest_steps(scenario: Scenario) -> None:
    entry = scenario.pitch["curve"]
    speed, spin, height = entry.speed_mph, float(entry.spin_rpm), float(entry.target_height_ft or 0.0)
    result = reached(
        speed_mph=road(4.0, speed, speed - 12.0, speed + 12.0),
        spin_rpm=road(150.0, spin, spin - 1200.0, spin + 1200.0),
        target_height_ft=road(-0.5, height, 1.0, 3.5),
        efficiency_percent=road(-40.0, 80.0, 40.0, 100.0),  # at the end of what it may be: nobody pitches so
        break_clock_deg=road(7.5, 200.0, 155.0, 245.0, reachable=False),
    )
    told = work_on(scenario, result, US)
    assert told.wanted == "Wanted: 3 more misses of 100 swings, 26 in place of 23."
    assert [one.what for one in told.roads] == [
        "Spin rate 150 rpm more", "Height at the plate 6.0 in lower", "Speed 4.0 mph faster",
    ]  # fmt: skip
    assert told.roads[0].where == f"from {spin:.0f} rpm to {spin + 150.0:.0f} rpm"
    assert told.roads[0].sure == "Probably 75 to 225 rpm."
    assert told.not_alone == "spin efficiency, break clock"
    for one in told.roads:
        assert one.low is not None
        assert one.high is not None
        assert min(one.low, one.high) < one.then < max(one.low, one.high)


def test_what_may_not_do_is_said(scenario: Scenario) -> None:
    speed = scenario.pitch["curve"].speed_mph
    (one,) = work_on(scenario, reached(speed_mph=road(4.0, speed, speed - 12.0, speed + 6.0)), US).roads
    assert one.sure == "Hard to say how far: 2.0 to 6.0 mph, and even that may not do."


def test_what_may_not_do_is_told_only_where_there_is_little_else(scenario: Scenario) -> None:
    entry = scenario.pitch["curve"]
    speed, spin, height = entry.speed_mph, float(entry.spin_rpm), float(entry.target_height_ft or 0.0)
    roads = {
        "speed_mph": road(4.0, speed, speed - 12.0, speed + 6.0),
        "spin_rpm": road(500.0, spin, spin - 1200.0, spin + 1200.0),
    }
    told = work_on(scenario, reached(**roads), US)
    assert [one.what for one in told.roads] == ["Spin rate 500 rpm more", "Speed 4.0 mph faster"]
    told = work_on(scenario, reached(**roads, target_height_ft=road(-0.5, height, 0.5, 3.5)), US)
    assert [one.what for one in told.roads] == ["Height at the plate 6.0 in lower", "Spin rate 500 rpm more"]
    assert told.not_alone == ""


def test_no_road_is_said(scenario: Scenario) -> None:
    told = work_on(scenario, reached(speed_mph=road(4.0, 80.0, 70.0, 90.0, reachable=False)), US)
    assert (told.roads, told.not_alone) == ([], "speed")
