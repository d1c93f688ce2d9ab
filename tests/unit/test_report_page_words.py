"""What the page says of steps, roads and changes: units, directions, ranges, and where there is no number."""

import math
from dataclasses import replace

import pytest
from starters import starter

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
from latebreak.service.tables.levers import named_step


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return from_mapping(starter()).scenario


US = Reader()


def test_a_step_has_its_lever_and_its_units() -> None:
    assert named_step("target_height_ft", -0.25, US) == "target height 3.0 in lower"
    assert named_step("target_height_ft", -0.25, Reader("metric")) == "target height 7.6 cm lower"
    assert named_step("spread_scale", -0.2, Reader("metric")) == "spread 20 % smaller"


def reached(measure: str = "miss_chance_percent", /, **roads: Road) -> ReachResult:
    now = Estimate(22.7, 0.1, 9.0, 34.9)
    return ReachResult(
        "curve", "fastball", measure, Goal("change", 3.0), 25.7, now, roads, frontier=(), judged_among=""
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
    MIX: change(1.2, 3.0, 88.0),
    "miss_chance_percent": change(2.0, 3.0, 88.0),
    "spread.launch_azimuth_deg": change(0.2, 0.1, 94.4),
}


def test_what_changed_and_what_did_not(scenario: Scenario) -> None:
    table = pitch_changes(fitted(CHANGES), scenario, US, "curve")["curve"]
    assert (table.earlier, table.later) == ("may", "june")
    assert str(table.headline) == (
        "curve: 1.2 more strikes that nobody touches, of 100 pitches, than in may (we are 88 % sure)."
    )
    assert table.surest == (
        "faster by 1.8 mph; more late break by 0.3 in; leaves the fastball's tunnel later by 1.2 ft"
    )
    assert [(row.label, row.change.value, row.chance, row.verdict) for row in table.moved] == [
        ("speed", "1.8 mph faster", "over 99 %", "changed"),
        ("release side", "1.2 in glove side", "85 %", "perhaps"),
        ("miss chance, per swing", "2.0 points more", "88 %", "perhaps"),
        ("strikes without contact, whole mix", "1.2 points more", "88 %", "perhaps"),
        ("leaves the fastball's tunnel", "1.2 ft nearer", "96 %", "changed"),
        ("late break, after the commit point", "0.30 in more", "99 %", "changed"),
        ("spread of launch azimuth", "0.2 deg larger", "94 %", "perhaps"),
    ]
    assert [row.label for row in table.still] == ["spin rate", "drag coefficient"]
    assert table.still[0].change == Said("20 rpm less", "80 rpm less to 40 rpm more")


@pytest.mark.parametrize(
    ("strikes", "said"),
    [
        (change(2.0, 3.0, 79.0), "Hard to say whether curve makes more strikes that nobody touches than in may."),
        (change(0.4, 0.1, 99.9), "Hard to say whether curve makes more strikes that nobody touches than in may."),
        (change(-3.0, 1.0, 99.9),
         "curve: 3.0 fewer strikes that nobody touches, of 100 pitches, than in may (we are over 99 % sure)."),
        (None, "curve since may: faster by 1.8 mph."),
    ],
    ids=["by chance", "too little to matter", "fewer", "not judged"],
)  # fmt: skip
def test_the_headline_of_two_sessions(scenario: Scenario, strikes: Change | None, said: str) -> None:
    changes = {"speed_mph": CHANGES["speed_mph"], **({MIX: strikes} if strikes else {})}
    assert str(pitch_changes(fitted(changes), scenario, US, "curve")["curve"].headline) == said


def test_one_session_has_no_table(scenario: Scenario) -> None:
    assert pitch_changes(FitResult({}, {}, (), ""), scenario, US, "curve") == {}


# ---- the verdict


def judged(chance: float | None, **strikes: float) -> CompareResult:
    """An answer of which the first pitch leads in the mix; each is missed the more the less it is worth there."""
    found = {
        key: {MIX: Estimate(value, 0.1, value - 2.0, value + 6.0), "miss_chance_percent": Estimate(-value, 0.1)}
        for key, value in strikes.items()
    }
    values = list(strikes.values())
    difference = Estimate(values[0] - values[1], 0.1) if len(values) > 1 else None
    sure = len(values) == 1 or (abs(values[0] - values[1]) >= 0.5 and (chance is None or chance >= 80.0))
    return CompareResult(
        "fastball", found, Better(next(iter(strikes)) if sure else None, MIX, difference, chance), (), ""
    )


@pytest.mark.parametrize(
    ("chance", "strikes", "said"),
    [
        (93.4, {"a": 32.6, "b": 30.7},
         "a makes the better mix: with it about 32.6 of 100 pitches are strikes that nobody touches, 30.7 with the "
         "other (we are 93 % sure)."),
        (99.9, {"a": 32.6, "b": 30.7, "c": 20.0},
         "a makes the better mix: with it about 32.6 of 100 pitches are strikes that nobody touches, 30.7 with the "
         "next, b (we are over 99 % sure)."),
        (62.0, {"a": 32.6, "b": 30.7},
         "Hard to say which makes the better mix: about 32.6 of 100 pitches are strikes that nobody touches with a, "
         "30.7 with b (we are only 62 % sure)."),
        (99.0, {"a": 31.1, "b": 30.7},
         "No difference worth a choice: about 31.1 of 100 pitches are strikes that nobody touches with a, 30.7 with "
         "b."),
        (None, {"a": 32.6, "b": 30.7},
         "a makes the better mix: with it about 32.6 of 100 pitches are strikes that nobody touches, 30.7 with the "
         "other."),
        (None, {"a": 32.6},
         "With a about 32.6 of 100 pitches are strikes that nobody touches (probably 30.6 to 38.6)."),
    ],
)  # fmt: skip
def test_the_verdict(scenario: Scenario, chance: float | None, strikes: dict[str, float], said: str) -> None:
    assert str(verdict(scenario, judged(chance, **strikes))) == said


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
    assert told.wanted == "Wanted: of 100 swings 26 misses, in place of 23."
    assert (told.lead, told.arrives) == ("Any one of these gets there:", True)
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


def nearest(change: float, now: float, there: float, trouble: Trouble = "nearest") -> Road:
    percent = 31.0 if trouble == "unsure" else None
    low, high = now - 20.0, now + 20.0
    return Road(Estimate(change, 0.1), now + change, False, "", there, low, high, trouble, arrives_percent=percent)


def test_where_none_gets_there_the_one_that_gives_most_is_told(scenario: Scenario) -> None:
    speed, spin = scenario.pitch["curve"].speed_mph, float(scenario.pitch["curve"].spin_rpm)
    roads = {"speed_mph": nearest(6.0, speed, 24.9), "spin_rpm": nearest(9.0, spin, 23.8)}
    told = work_on(scenario, reached(MIX, **roads), US)
    assert told.wanted == "Wanted: of 100 pitches 25.7 strikes that nobody touches, in place of 22.7."
    assert (told.lead, told.arrives) == ("No change of one thing alone gets there. This comes nearest:", False)
    (one,) = told.roads
    assert (one.what, one.sure, one.low) == ("Speed 6.0 mph faster", "With it about 24.9 %.", None)
    assert told.not_alone == "speed, spin rate"
    told = work_on(scenario, reached(MIX, speed_mph=nearest(6.0, speed, 25.7, "unsure")), US)
    assert told.roads[0].sure == "Gets there in 31 of 100 cases that the measurements and the model leave open."


def test_a_road_that_gives_next_to_nothing_is_no_advice(scenario: Scenario) -> None:
    told = work_on(scenario, reached(MIX, speed_mph=nearest(4.0, 80.0, 23.1), spin_rpm=nearest(1.0, 2e3, math.nan)), US)
    assert (told.roads, told.arrives, told.not_alone) == ([], False, "speed, spin rate")
    assert told.lead == "No change of one thing alone gets there. None of what was tried gives enough to matter."


def test_a_smaller_spread_is_told_without_a_factor(scenario: Scenario) -> None:
    (one,) = work_on(scenario, reached(MIX, spread_scale=road(-0.11, 1.0, 0.25, 1.75)), US).roads
    assert one.what == "Spread of the throws 11 % smaller"
    assert (one.sure, one.ends) == ("Probably 6 to 16 %.", ("75 % smaller", "75 % larger"))
    assert "times" not in one.where
