"""A pitch that is moved remains the pitch that it is."""

from math import sin
from typing import Any

import pytest
from starters import starter

from latebreak.engine.units import DEGREE
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.reach import reach
from latebreak.service.questions.same_pitch import SamePitch, bounds_of_kind
from latebreak.service.scenario import Scenario, from_mapping


def scenario(hand: str = "right", **curve: Any) -> Scenario:
    tables = starter()
    tables["pitch"]["curve"] |= curve
    if hand == "left":
        tables["pitcher"]["hand"] = "left"
        for entry in tables["pitch"].values():
            hours, minutes = map(int, entry["break_clock"].split(":"))
            turned = (720 - (hours % 12 * 60 + minutes)) % 720
            entry["break_clock"] = f"{turned // 60 or 12}:{turned % 60:02d}"
            for key in ("release_side_ft", "target_side_ft"):
                entry[key] = -entry[key]
    return from_mapping(tables).scenario


@pytest.mark.parametrize("hand", ["right", "left"])
def test_no_curve_breaks_to_the_arm_side(hand: str) -> None:
    found = scenario(hand)
    low, high = bounds_of_kind(BY_KEY["break_clock_deg"], found, "fastball", "curve")
    side = 1.0 if hand == "right" else -1.0
    for clock in (low, high):  # 3:00 is the pitcher's right: a right-hander's arm side
        assert side * sin(clock * DEGREE) <= 1e-9
    wide = BY_KEY["break_clock_deg"].bounds(found, "fastball", "curve")
    assert low > wide[0] or high < wide[1]


def test_no_curve_becomes_a_lob() -> None:
    """62 mph behind a fastball of 87.5: none throws such a curve to get hitters out."""
    found = scenario(speed_mph=70.0)
    assert BY_KEY["speed_mph"].bounds(found, "fastball", "curve")[0] < 62.0
    assert bounds_of_kind(BY_KEY["speed_mph"], found, "fastball", "curve")[0] > 62.0


def test_a_changeup_stays_five_mph_slower_than_the_fastball() -> None:
    changeup: dict[str, Any] = {
        "role": "offspeed",
        "spin_rpm": 1700,
        "break_clock": "1:40",
        "efficiency_percent": 92,
        "speed_mph": 79.0,
    }
    found = scenario(**changeup)
    fastball = found.pitch["fastball"].speed_mph
    assert bounds_of_kind(BY_KEY["speed_mph"], found, "fastball", "curve")[1] <= fastball - 5.0
    hard = scenario(**(changeup | {"speed_mph": fastball - 3.0}))  # it may stay where it is
    low, high = bounds_of_kind(BY_KEY["speed_mph"], hard, "fastball", "curve")
    assert low < hard.pitch["curve"].speed_mph == high


def test_more_spin_and_a_cleaner_axis_make_no_other_pitch() -> None:
    found = scenario()
    for key in ("spin_rpm", "efficiency_percent"):
        assert bounds_of_kind(BY_KEY[key], found, "fastball", "curve")[1] == pytest.approx(
            BY_KEY[key].bounds(found, "fastball", "curve")[1]
        )


def test_a_pitch_as_it_is_always_remains_itself() -> None:
    for odd in ({"break_clock": "3:00"}, {"speed_mph": 87.0}, {"spin_rpm": 100}, {"break_clock": "12:30"}):
        found = scenario(**odd)
        is_same = SamePitch(found, "fastball", found.pitch["curve"])
        assert is_same(found.pitch["curve"])
        for lever in BY_KEY.values():
            if not lever.is_of_spread and "launch" not in lever.key:
                low, high = bounds_of_kind(lever, found, "fastball", "curve")
                assert low <= lever.stands_at(found.pitch["curve"], "right") <= high


def test_a_road_says_how_often_it_gets_there_and_a_minority_is_none() -> None:
    answer = reach(scenario(), pitch="curve", measure="late_break_in", goal="+0.3", throws=500)
    for road in answer.result.levers.values():
        if road.reachable:
            assert road.arrives_percent is not None
            assert road.arrives_percent >= 50.0
            assert ("of 100 cases" in road.reason) == (road.arrives_percent < 99.5)
        elif road.trouble == "unsure":
            assert road.arrives_percent is not None
            assert road.arrives_percent < 50.0
            assert "of 100 cases" in road.reason
    sure = reach(scenario(), pitch="curve", measure="late_break_in", goal="+0.3", throws=500, intervals=False)
    assert all(road.arrives_percent is None for road in sure.result.levers.values())
