"""Figures of a pitch: what is drawn is what the answers say, in the units that were asked for."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from drawn import FOOT_M, answers, assert_tidy, data_of, first, named, words_of
from matplotlib.patches import Circle, Rectangle

from latebreak.service.quantities import Units
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Belief
from latebreak.service.report.figures import (
    TimedPitch,
    arrival_plot,
    belief_plot,
    side_view,
    timeline_plot,
    top_view,
)


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
@pytest.mark.parametrize("direction", ["height", "side"])
def test_the_paths_are_those_of_the_portrait(units: Units, factor: float, direction: str) -> None:
    portrait, estimates = first()
    draw: Any = side_view if direction == "height" else top_view
    ax = draw(portrait, estimates, units=units, **({} if direction == "height" else {"hand": "right"}))
    for name, track in (("thrown", portrait.thrown), ("fastball", portrait.beside)):
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
        ("mark-tunnel-exit", estimates["tunnel_exit_ft"].value),
        ("mark-break-onset", estimates["break_onset_ft"].value),
        ("mark-decides", np.interp(portrait.decided_ms, track.time_ms, track.from_plate_ft)),
    ):
        ((x, y),) = data_of(ax, mark)
        assert x == pytest.approx(factor * away_ft)
        assert y == pytest.approx(factor * np.interp(-away_ft, -track.from_plate_ft, track.height_ft))
    away = factor * estimates["tunnel_exit_ft"].value
    said = f"leaves the tunnel {away:.1f} {'ft' if units == 'us' else 'm'}"
    assert said in {text.get_text() for text in words_of(ax).values()}


def test_what_the_median_throw_never_does_has_no_mark() -> None:
    portrait, estimates = first()
    never = {**estimates, "tunnel_exit_reached_percent": Estimate(49.0, 0.0)}
    for ax in (
        side_view(portrait, never),
        top_view(portrait, never, hand="right"),
        timeline_plot([TimedPitch(portrait, never, "thrown")]),
    ):
        assert named(ax, "mark-tunnel-exit") is None
        assert named(ax, "mark-break-onset") is not None
        assert "stays in the tunnel" in {text.get_text() for text in words_of(ax).values()}
        assert_tidy(ax)


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
def test_the_time_line_has_five_moments_of_each_pitch(units: Units, factor: float) -> None:
    portrayed, estimates = answers("two-grips")
    rows = [TimedPitch(one, estimates[key], "thrown") for key, one in portrayed.pitches.items()]
    both = timeline_plot(rows, units=units)
    assert_tidy(both)
    assert both.get_xlim() == (0.0, max(one.portrait.thrown.time_ms[-1] for one in rows))
    words = {text.get_text() for text in words_of(both).values()}
    for pitch in rows:
        ax, portrait = timeline_plot([pitch], units=units), pitch.portrait
        track = portrait.thrown
        at = {
            key: pitch.estimates[f"{key}_after_release_ms"].value
            for key in ("tunnel_exit", "recognition", "break_onset")
        }
        at |= {"decides": portrait.decided_ms, "arrives": track.time_ms[-1]}
        for key, ms in at.items():
            assert data_of(ax, f"mark-{key.replace('_', '-')}")[0, 0] == pytest.approx(ms)
        assert data_of(ax, "deciding")[:, 0] == pytest.approx([portrait.decides_ms, portrait.decided_ms])
        away = factor * pitch.estimates["recognition_ft"].value
        unit = "ft" if units == "us" else "m"
        assert f"he knows it {at['recognition']:.0f} ms, {away:.1f} {unit}" in words
        assert portrait.name in words


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
    assert expected.center == pytest.approx([factor * seen.side_ft, factor * seen.height_ft])
    assert arrival.center == pytest.approx(
        [factor * portrait.thrown.side_ft[-1], factor * portrait.thrown.height_ft[-1]]
    )
    # a ball of 9 to 9.25 in around (Official Baseball Rules, as quoted by others)
    assert 9.0 <= 2.0 * np.pi * 12.0 * arrival.radius / factor <= 9.25
    assert box.get_bbox().extents == pytest.approx(
        factor * np.array([zone.left_ft, zone.low_ft, zone.right_ft, zone.high_ft])
    )
    cross = data_of(ax, "expected-height")
    assert cross[:, 1] == pytest.approx([factor * seen.height_low_ft, factor * seen.height_high_ft])
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
    assert data_of(ax, "mark-decides")[:, 0] == pytest.approx(portrait.decided_ms)
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
