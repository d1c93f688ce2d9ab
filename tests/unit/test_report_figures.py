"""Figures: what is drawn is what the answers say, in the units that were asked for, and no words cover others."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Circle, Rectangle
from matplotlib.text import Text
from numpy.typing import NDArray

import latebreak.service.questions as ask
from latebreak.service.questions import Estimate
from latebreak.service.questions.frontier import Frontier
from latebreak.service.questions.goal import Goal
from latebreak.service.questions.levers import LeversResult, Move
from latebreak.service.questions.portrait import Belief, Portrait, PortraitResult, Spread
from latebreak.service.questions.reach import ReachResult
from latebreak.service.questions.road import Road
from latebreak.service.report.figures import (
    DARK,
    LIGHT,
    arrival_plot,
    belief_plot,
    frontier_plot,
    hitters_view,
    lever_bars,
    side_view,
    top_view,
)
from latebreak.service.scenario import Scenario, load, parse, ready_names, reference_fastball
from latebreak.service.units import Units

Array = NDArray[np.float64]
Estimates = Mapping[str, Estimate]

#: Metres in a foot, kilometres in a mile: by definition.
FOOT_M, MILE_KM = 0.3048, 1.609344
THROWS = 256
READY = [name for name in ready_names() if (fastball := reference_fastball(load(name).scenario)) is not None]

#: A fastball, and a pitch so slow that the fastball is at the plate before the hitter must commit.
LOB = """
title = "Lob"
[pitcher]
hand = "right"
level = "college"
age_years = 20
[pitch.fastball]
role = "fastball"
speed_mph = 95
spin_rpm = 2300
break_clock = "12:50"
efficiency_percent = 95
release_side_ft = -1.9
release_height_ft = 5.9
extension_ft = 6.2
target_height_ft = 2.6
target_side_ft = 0.0
[pitch.lob]
speed_mph = 52
spin_rpm = 1500
break_clock = "6:30"
efficiency_percent = 80
release_side_ft = -1.9
release_height_ft = 6.0
extension_ft = 5.5
target_height_ft = 1.8
target_side_ft = 0.2
"""


@cache
def answers(source: str) -> tuple[PortraitResult, dict[str, dict[str, Estimate]]]:
    """Portraits and estimates of a scenario: a ready one, or the text of one."""
    scenario: Any = parse(source, "test") if "\n" in source else source
    compared = ask.compare(scenario, throws=THROWS, intervals=False).result.pitches
    return ask.portray(scenario, throws=THROWS).result, {
        name: {key: with_interval(one) for key, one in estimates.items()} for name, estimates in compared.items()
    }


def with_interval(estimate: Estimate) -> Estimate:
    """An estimate with some interval, so that all the words are there."""
    return replace(estimate, low=0.8 * estimate.value, high=1.1 * estimate.value)


def first(source: str = "two-grips") -> tuple[Portrait, dict[str, Estimate]]:
    portrayed, estimates = answers(source)
    name = next(iter(portrayed.pitches))
    return portrayed.pitches[name], estimates[name]


def every_figure(portrayed: PortraitResult, portrait: Portrait, estimates: Estimates) -> dict[str, Callable[..., Axes]]:
    """The figures of a pitch, that take palette, units, role and axes."""
    hand: Any = {"hand": portrayed.hand}
    return {
        "side": lambda **style: side_view(portrait, estimates, zone=portrayed.zone, **style),
        "top": lambda **style: top_view(portrait, estimates, **hand, **style),
        "arrival": lambda **style: arrival_plot(
            portrait, portrayed.zone, **hand, bats=portrayed.bats, **style  # type: ignore[arg-type]
        ),
        "belief": lambda **style: belief_plot(portrait, estimates, **style),
        "view": lambda **style: hitters_view(portrait, estimates, **style),
    }  # fmt: skip


FIGURES = ("side", "top", "arrival", "belief", "view")


def named(ax: Axes, name: str) -> Any:
    """The one part of axes that has a name, None where there is none."""
    found = [one for one in ax.findobj(Artist) if one.get_gid() == name]
    assert len(found) <= 1, name
    return found[0] if found else None


def data_of(ax: Axes, name: str) -> Array:
    """Points (n, 2) of a named line."""
    line = named(ax, name)
    assert isinstance(line, Line2D), name
    return np.column_stack([np.asarray(one, dtype=float) for one in line.get_data()])


def words_of(ax: Axes) -> dict[str, Text]:
    """Everything written in a figure, by itself or by number where it stands there twice."""
    assert ax.figure is not None
    found = [one for one in ax.figure.findobj(Text) if isinstance(one, Text) and one.get_visible() and one.get_text()]
    return {f"{one.get_text()}#{number}": one for number, one in enumerate(found)}


def assert_tidy(ax: Axes) -> None:
    """All words are within the figure, and none covers another; 1 px for the soft edges of letters."""
    figure = ax.get_figure(root=True)
    assert figure is not None
    figure.draw_without_rendering()
    boxes = {words: text.get_window_extent() for words, text in words_of(ax).items()}
    for words, box in boxes.items():
        inside = figure.bbox.padded(1.0)
        assert inside.contains(box.x0, box.y0), words
        assert inside.contains(box.x1, box.y1), words
    for one, other in combinations(boxes, 2):
        assert not boxes[one].padded(-0.5).overlaps(boxes[other].padded(-0.5)), (one, other)


# ---- what is drawn


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
@pytest.mark.parametrize("direction", ["height", "side"])
def test_the_paths_are_those_of_the_portrait(units: Units, factor: float, direction: str) -> None:
    portrait, estimates = first()
    draw: Any = side_view if direction == "height" else top_view
    ax = draw(portrait, estimates, units=units, **({} if direction == "height" else {"hand": "right"}))
    for name, track in (("thrown", portrait.thrown), ("fastball", portrait.beside), ("same-line", portrait.same_line)):
        drawn = data_of(ax, name)
        assert drawn[:, 0] == pytest.approx(factor * track.from_plate_ft, rel=1e-12)
        assert drawn[:, 1] == pytest.approx(factor * getattr(track, f"{direction}_ft"), rel=1e-12)
    for name, spread in (("thrown", portrait.thrown_spread), ("fastball", portrait.beside_spread)):
        corners = named(ax, f"spread-{name}").get_xy()
        q = len(spread.from_plate_ft)
        assert corners[:q, 1] == pytest.approx(factor * getattr(spread, f"{direction}_low_ft"), rel=1e-12)
        assert corners[q : 2 * q, 1] == pytest.approx(factor * getattr(spread, f"{direction}_high_ft")[::-1], rel=1e-12)
    left, right = ax.get_xlim()
    assert left > factor * portrait.thrown.from_plate_ft[0] > 0.0 > right  # the pitcher to the left, the plate right


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
def test_marks_stand_where_the_estimates_say(units: Units, factor: float) -> None:
    portrait, estimates = first()
    ax = side_view(portrait, estimates, units=units)
    track = portrait.thrown
    for mark, away_ft in (
        ("mark-same-line-separation", estimates["same_line_separation_ft"].value),
        ("mark-break-onset", estimates["break_onset_ft"].value),
        ("mark-commit", np.interp(portrait.commit_ms, track.time_ms, track.from_plate_ft)),
    ):
        ((x, y),) = data_of(ax, mark)
        assert x == pytest.approx(factor * away_ft)
        assert y == pytest.approx(factor * np.interp(-away_ft, -track.from_plate_ft, track.height_ft))
    away = estimates["same_line_separation_ft"]
    assert away.low is not None
    assert away.high is not None
    said = "separation {:.1f} {} ({:.1f} to {:.1f})".format(
        factor * away.value, "ft" if units == "us" else "m", factor * away.low, factor * away.high
    )
    assert said in {text.get_text() for text in words_of(ax).values()}


def test_what_the_median_throw_never_does_has_no_mark() -> None:
    portrait, estimates = first()
    never = {**estimates, "same_line_separation_reached_percent": Estimate(49.0, 0.0)}
    for ax in (side_view(portrait, never), top_view(portrait, never, hand="right")):
        assert named(ax, "mark-same-line-separation") is None
        assert named(ax, "mark-break-onset") is not None
        assert "separation: never" in {text.get_text() for text in words_of(ax).values()}
        assert_tidy(ax)
    assert named(hitters_view(portrait, never), "ball-thrown-separation") is None


@pytest.mark.parametrize("hand", ["right", "left"])
def test_arm_side_is_where_the_arm_is(hand: Any) -> None:
    """A right-hander releases on the catcher's left: negative, below in the view from above and left at the plate."""
    portrait, estimates = first("two-grips" if hand == "right" else "left-eleven-to-five")
    assert (portrait.thrown.side_ft[0] < 0.0) == (hand == "right")
    portrayed, _ = answers("two-grips")
    top = {text.get_text() for text in words_of(top_view(portrait, estimates, hand=hand)).values()}
    ends = ("arm side", "glove side") if hand == "right" else ("glove side", "arm side")
    assert f"{ends[0]}  -  ft  -  {ends[1]}" in top
    ax = arrival_plot(portrait, portrayed.zone, hand=hand, bats="left")
    texts = {text.get_text(): text for text in words_of(ax).values()}
    left, right = (texts[words].get_window_extent().x0 for words in ends)
    assert left < right
    # a left-handed hitter stands at the catcher's right
    assert texts["hitter's side"].get_window_extent().x0 > 0.5 * (left + right)


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
def test_arrivals_and_what_is_expected(units: Units, factor: float) -> None:
    portrait, _ = first()
    zone = answers("two-grips")[0].zone
    ax = arrival_plot(portrait, zone, hand="right", bats="right", units=units)
    for name, arrivals in (("thrown", portrait.arrivals_ft), ("fastball", portrait.fastball_arrivals_ft)):
        drawn = data_of(ax, f"arrivals-{name}")
        assert 100 <= len(drawn) <= 300
        assert drawn == pytest.approx(factor * arrivals[: len(drawn)], rel=1e-12)
    seen = portrait.expectation
    expected, arrival, box = (named(ax, name) for name in ("expected", "arrival", "zone"))
    assert isinstance(expected, Circle)
    assert isinstance(arrival, Circle)
    assert isinstance(box, Rectangle)
    assert expected.center == pytest.approx(
        [factor * np.interp(portrait.commit_ms, seen.time_ms, one) for one in (seen.side_ft, seen.height_ft)]
    )
    assert arrival.center == pytest.approx(
        [factor * portrait.thrown.side_ft[-1], factor * portrait.thrown.height_ft[-1]]
    )
    # a ball of 9 to 9.25 in around (Official Baseball Rules; value from memory)
    assert 9.0 <= 2.0 * np.pi * 12.0 * arrival.radius / factor <= 9.25
    assert box.get_bbox().extents == pytest.approx(
        factor * np.array([zone.left_ft, zone.low_ft, zone.right_ft, zone.high_ft])
    )
    cross = data_of(ax, "expected-height")
    assert cross[:, 1] == pytest.approx(
        [factor * np.interp(portrait.commit_ms, seen.time_ms, one) for one in (seen.height_low_ft, seen.height_high_ft)]
    )
    ax.apply_aspect()
    (x0, y0), (x1, y1) = ax.transData.transform([(0.0, 0.0), (1.0, 1.0)])
    assert x1 - x0 == pytest.approx(y1 - y0)  # one scale: a ball is round


def test_belief_over_time() -> None:
    portrait, estimates = first("staff")
    ax = belief_plot(portrait, estimates)
    for role, name in (("thrown", portrait.name), ("fastball", portrait.fastball)):
        row = portrait.belief.types.index(name)
        assert data_of(ax, role) == pytest.approx(
            np.column_stack([portrait.belief.time_ms, portrait.belief.mean[row]]), rel=1e-12
        )
    assert data_of(ax, "mark-commit")[:, 0] == pytest.approx(portrait.commit_ms)
    assert data_of(ax, "mark-recognition") == pytest.approx(
        np.array([[estimates["recognition_after_release_ms"].value, 75.0]])
    )
    assert set(data_of(ax, "recognised-from")[:, 1]) == {75.0}
    assert "sinker" in {text.get_text() for text in words_of(ax).values()}  # the third pitch has its line and its name


def test_many_types_share_a_line() -> None:
    """Five others: the two that are believed in most, and the sum of the rest."""
    portrait, estimates = first("staff")
    belief = portrait.belief
    share = belief.mean[belief.types.index("sinker")] / np.array([[15.0, 5.0, 4.0, 3.0, 2.0]]).T
    types = (portrait.fastball, "a", "b", "c", "d", "e", portrait.name)
    kept = [belief.types.index(name) for name in (portrait.fastball, portrait.name)]
    mean, low, high = (
        np.vstack([rows[kept[0]], share, rows[kept[1]]]) for rows in (belief.mean, belief.low, belief.high)
    )
    ax = belief_plot(replace(portrait, belief=Belief(belief.time_ms, types, mean, low, high)), estimates)
    said = {text.get_text() for text in words_of(ax).values()}
    assert {"e", "d", "the 3 others"} <= said
    assert not {"a", "b", "c"} & said
    assert data_of(ax, "other-2")[:, 1] == pytest.approx(share[:3].sum(axis=0))
    assert_tidy(ax)


def test_the_hitters_view_is_to_scale() -> None:
    portrait, estimates = first()
    ax = hitters_view(portrait, estimates)
    separation = estimates["same_line_separation_after_release_ms"].value
    for role, track in (("thrown", portrait.thrown), ("fastball", portrait.beside), ("same-line", portrait.same_line)):
        moments = (("release", 0.0), ("separation", separation), ("commit", portrait.commit_ms))
        for moment, ms in moments:
            ball = named(ax, f"ball-{role}-{moment}")
            right, up, radius = (
                np.interp(ms, track.time_ms, one) for one in (track.right_deg, track.up_deg, track.radius_deg)
            )
            assert ball.center == pytest.approx((right, up))
            assert ball.radius == pytest.approx(radius)
        drawn = data_of(ax, role)
        assert drawn[-1] == pytest.approx(ball.center)  # followed to the commit point
        n = len(drawn) - 1
        assert drawn[:-1] == pytest.approx(np.column_stack([track.right_deg[:n], track.up_deg[:n]]))
    ax.apply_aspect()
    (x0, y0), (x1, y1) = ax.transData.transform([(0.0, 0.0), (1.0, 1.0)])
    assert x1 - x0 == pytest.approx(y1 - y0)


def test_a_fastball_that_is_there_before_the_commit_point() -> None:
    """It is followed while it is far enough to be seen in one picture with the slow pitch."""
    portrait, estimates = first(LOB)
    assert portrait.beside.time_ms[-1] < portrait.commit_ms
    ax = hitters_view(portrait, estimates)
    assert named(ax, "ball-fastball-commit") is None
    assert named(ax, "ball-thrown-commit") is not None
    assert portrait.beside.right_deg[-1] > 60.0  # at the plate, which a frame of 60 degrees around them would not hold
    assert np.ptp(ax.get_xlim()) < 60.0
    assert_tidy(ax)


# ---- levers and roads


def levers_result(moves: dict[str, Move]) -> LeversResult:
    return LeversResult("curve", "fastball", {}, moves, {}, ())


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
    roads = {"speed_mph": Road(change, 75.2 if speed is None else speed, speed is not None, "", 26.0)}
    goal, now = Goal("change", 3.0), Estimate(23.0, 0.7)
    return ReachResult("curve", "fastball", measure, goal, 26.2, now, roads, tuple(Frontier(*pair) for pair in pairs))


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


# ---- layout


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("scenario", [*READY, LOB], ids=[*READY, "lob"])
def test_no_words_cover_others_or_are_cut_off(scenario: str, figure: str) -> None:
    portrayed, estimates = answers(scenario)
    for number, (name, portrait) in enumerate(portrayed.pitches.items()):
        draw = every_figure(portrayed, portrait, estimates[name])[figure]
        assert_tidy(draw(role="rival" if number % 2 else "thrown"))
        if figure not in ("belief", "view") and number == 0:  # those are the same in both units
            assert_tidy(draw(units="metric"))


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("name", ["W" * 40, "$x^2$ & <b>", "曲" * 20, "🙂 שלום _{"])
@pytest.mark.filterwarnings("ignore:Glyph .* missing from font")
def test_any_name_is_written_as_it_is(figure: str, name: str) -> None:
    portrait, estimates = first()
    belief = replace(portrait.belief, types=("F" * 40, name))
    other = replace(portrait, name=name, fastball="F" * 40, belief=belief)
    ax = every_figure(answers("two-grips")[0], other, estimates)[figure]()
    assert_tidy(ax)
    start = name if len(name) < 20 else name[:10]
    assert any(text.get_text().startswith(start) for text in words_of(ax).values())
    assert not any(text.get_parse_math() for text in words_of(ax).values() if text.get_text().startswith(start))


@pytest.mark.parametrize("figure", FIGURES)
def test_own_axes(figure: str) -> None:
    """Axes of the caller, at another resolution and size, are drawn into and returned."""
    portrait, estimates = first()
    whole = Figure(figsize=(8.0, 6.0), dpi=100)
    FigureCanvasAgg(whole)
    ax = whole.add_subplot()
    assert every_figure(answers("two-grips")[0], portrait, estimates)[figure](ax=ax, palette=DARK) is ax
    assert_tidy(ax)


def test_a_new_figure_has_the_colour_of_its_palette() -> None:
    portrait, estimates = first()
    for palette in (LIGHT, DARK):
        ax = side_view(portrait, estimates, palette=palette, role="rival")
        figure = ax.get_figure(root=True)
        assert figure is not None
        assert figure.get_facecolor() == pytest.approx(
            [int(palette.background[i : i + 2], 16) / 255 for i in (1, 3, 5)] + [1]
        )
        assert named(ax, "rival").get_color() == palette.rival


# ---- odd data


def nothing_known(portrait: Portrait, estimates: Estimates) -> tuple[Portrait, dict[str, Estimate]]:
    """As where no throw arrived: no spread, no points, no estimate."""
    empty = np.empty(0)
    spread, nan = Spread(empty, empty, empty, empty, empty), float("nan")
    belief, seen = portrait.belief, portrait.expectation
    unknown = np.full(belief.mean.shape, nan)
    return replace(
        portrait,
        thrown_spread=spread,
        beside_spread=spread,
        arrivals_ft=np.empty((0, 2)),
        fastball_arrivals_ft=np.empty((0, 2)),
        belief=replace(belief, mean=unknown, low=unknown, high=unknown),
        expectation=replace(seen, **{key: np.full(len(seen.time_ms), nan) for key in vars(seen) if key != "time_ms"}),
    ), {key: Estimate(nan, nan, nan, nan) for key in estimates}


@pytest.mark.parametrize("figure", FIGURES)
def test_nothing_is_known(figure: str) -> None:
    portrait, estimates = nothing_known(*first())
    ax = every_figure(answers("two-grips")[0], portrait, estimates)[figure]()
    assert_tidy(ax)
    assert named(ax, "expected") is None
    assert named(ax, "mark-same-line-separation") is None


@pytest.mark.parametrize("figure", FIGURES)
def test_without_estimates(figure: str) -> None:
    portrait, _ = first()
    assert_tidy(every_figure(answers("two-grips")[0], portrait, {})[figure]())


def test_a_pitch_that_is_the_only_type_in_mind() -> None:
    portrait, estimates = first()
    belief = portrait.belief
    row = belief.types.index(portrait.name)
    alone = Belief(belief.time_ms, (portrait.name,), *(rows[[row]] for rows in (belief.mean, belief.low, belief.high)))
    ax = belief_plot(replace(portrait, belief=alone), estimates)
    assert named(ax, "fastball") is None
    assert len(data_of(ax, "thrown")) == len(belief.time_ms)
    assert_tidy(ax)


def test_all_scenarios_are_looked_at() -> None:
    """The list is not empty because a name changed."""
    assert {"two-grips", "staff", "left-eleven-to-five", "youth-46ft", "thin-air", "gyro-curve"} <= set(READY)
    assert isinstance(load("two-grips").scenario, Scenario)
