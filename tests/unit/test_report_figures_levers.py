"""Figures of levers and roads: bars, whiskers and pairs stand where the answers say."""

import numpy as np
import pytest
from drawn import MILE_KM, assert_tidy, data_of, named, words_of

from latebreak.service.quantities import Units
from latebreak.service.questions import Estimate
from latebreak.service.questions.frontier import FrontierPoint
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.levers import LeversResult, Move
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.road import Road
from latebreak.service.report.figures import (
    frontier_plot,
    lever_bars,
)


def levers_result(moves: dict[str, Move]) -> LeversResult:
    return LeversResult("curve", "fastball", {}, moves, {}, (), "")


def move(step: float, *change: float) -> Move:
    value, *interval = change
    return Move(step, {"miss_chance_percent": Estimate(value, 0.1, *interval)})


MOVES = {
    "speed_mph": move(1.0, 0.4, 0.1, 1.8),
    "target_height_ft": move(-0.25, -2.5, -3.0, 0.2),
    "release_side_ft": move(0.25, 0.9),
    "efficiency_percent": Move(5.0, {}),
    "spin_rpm": move(100.0, float("nan")),
}


def test_bars_of_the_levers() -> None:
    ax = lever_bars(levers_result(MOVES), hand="left", units="metric")
    bars = {key: named(ax, f"bar-{key}") for key in MOVES}
    assert bars["efficiency_percent"] is None
    assert bars["spin_rpm"] is None
    drawn = {key: bar for key, bar in bars.items() if bar is not None}
    for key, bar in drawn.items():
        assert bar.get_x() == 0.0
        assert bar.get_width() == MOVES[key].measures["miss_chance_percent"].value
    assert sorted(drawn, key=lambda key: drawn[key].get_y()) == ["target_height_ft", "release_side_ft", "speed_mph"]
    # less and more differ without colour: hollow and filled
    faces = {key: bar.get_facecolor() for key, bar in drawn.items()}
    assert faces["target_height_ft"] != faces["speed_mph"] == faces["release_side_ft"]
    assert data_of(ax, "interval-speed_mph")[:, 0] == pytest.approx([0.1, 1.8])
    assert named(ax, "interval-release_side_ft") is None
    said = {text.get_text() for text in words_of(ax).values()}
    assert {
        "speed 1.6 km/h faster", "0.4 more", "target 7.6 cm lower", "2.5 less", "can't be thrown", "no throw arrived",
        "release 7.6 cm arm side",  # the catcher's right, from a left-hander
    } <= said  # fmt: skip
    assert not any("\N{MINUS SIGN}" in words or words.startswith("-") for words in said)
    assert_tidy(ax)


@pytest.mark.parametrize("keys", [[], ["speed_mph"], ["efficiency_percent"]])
def test_few_levers(keys: list[str]) -> None:
    assert_tidy(lever_bars(levers_result({key: MOVES[key] for key in keys}), hand="right"))


def reach_result(
    pairs: list[tuple[float, float]], *, speed: float | None = None, measure: str = "miss_chance_percent"
) -> ReachResult:
    """A goal, its pairs, and a road by speed alone that starts at 75.2 mph."""
    change = Estimate(0.0 if speed is None else speed - 75.2, 0.2, 1.0, 11.0)
    roads = {"speed_mph": Road(change, 75.2 if speed is None else speed, speed is not None, "", 26.0, 62.0, 86.0)}
    goal, now = Goal("change", 3.0), Estimate(23.0, 0.7)
    points = tuple(FrontierPoint(*pair) for pair in pairs)
    return ReachResult("curve", "fastball", measure, goal, 26.2, now, roads, points, "")


PAIRS = [(63.2, 3074.0), (71.2, 2923.3), (79.2, 2527.6), (87.2, 2191.2)]


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", MILE_KM)])
def test_pairs_that_reach_a_goal(units: Units, factor: float) -> None:
    ax = frontier_plot(reach_result(PAIRS, speed=81.3), (75.2, 2380.0), units=units)
    assert data_of(ax, "frontier") == pytest.approx(np.array(PAIRS) * [factor, 1.0])
    assert data_of(ax, "now") == pytest.approx(np.array([[factor * 75.2, 2380.0]]))
    road = named(ax, "road-speed-mph")
    assert road.xy == pytest.approx((factor * 81.3, 2380.0))
    assert named(ax, "road-spin-rpm") is None
    said = {text.get_text() for text in words_of(ax).values()}
    assert ("6.1 mph faster" if units == "us" else "9.8 km/h faster") in said
    assert "miss chance, per swing:\n26.2 %" in said
    assert_tidy(ax)


@pytest.mark.parametrize("pairs", [[], PAIRS[:1], [(75.2, 2380.0)]])
def test_few_pairs(pairs: list[tuple[float, float]]) -> None:
    ax = frontier_plot(reach_result(pairs), (75.2, 2380.0))
    assert (named(ax, "frontier") is None) == (not pairs)
    assert named(ax, "road-speed-mph") is None  # out of reach
    assert ("no pair within the bounds reaches the goal" in {t.get_text() for t in words_of(ax).values()}) == (
        not pairs
    )
    assert_tidy(ax)


def test_a_goal_to_a_side_is_said_by_the_hand() -> None:
    result = reach_result(PAIRS, measure="arrival_surprise_side_in")
    for hand, side in (("right", "glove side"), ("left", "arm side")):
        ax = frontier_plot(result, (75.2, 2380.0), hand=hand)  # type: ignore[arg-type]
        assert any(words.endswith(f"26.2 in {side}") for words in (t.get_text() for t in words_of(ax).values()))
        assert_tidy(ax)
