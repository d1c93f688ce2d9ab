"""Figures of where to aim and how often to throw: marks stand where the answers say, words are in order."""

from dataclasses import replace
from functools import cache
from typing import Any
from xml.etree.ElementTree import fromstring

import numpy as np
import pytest
from drawn import FOOT_M, LOB, READY, answers, assert_tidy, data_of, named, words_of
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from numpy.typing import NDArray

import latebreak.service.questions as ask
from latebreak.service.quantities import Units
from latebreak.service.questions import AimResult, MixResult
from latebreak.service.questions.target_search import BALL
from latebreak.service.report.figures import DARK, LIGHT, aim_plot, mix_plot, svg_of
from latebreak.service.scenario import parse

OFTEN = {"two-grips", "left-eleven-to-five"}
SCENARIOS = pytest.mark.parametrize(
    "source",
    [
        pytest.param(LOB, id="lob"),
        *(pytest.param(name, marks=() if name in OFTEN else pytest.mark.slow) for name in READY),
    ],
)


@cache
def aimed(source: str, pitch: str) -> AimResult:
    scenario: Any = parse(source, "test") if "\n" in source else source
    return ask.aim(scenario, pitch=pitch, throws=128, intervals=False).result


@cache
def mixed(source: str) -> MixResult:
    scenario: Any = parse(source, "test") if "\n" in source else source
    return ask.mix(scenario, throws=128, intervals=False).result


def draw_aim(result: AimResult, source: str = "two-grips", **style: Any) -> Axes:
    portrayed, _ = answers(source)
    return aim_plot(result, portrayed.zone, hand=portrayed.hand, bats=portrayed.bats, **style)  # type: ignore[arg-type]


def squares(ax: Axes) -> NDArray[np.float64]:
    """Corners (n, 5, 2) of the squares."""
    return np.asarray(named(ax, "squares").get_path().vertices).reshape(-1, 5, 2)


@pytest.mark.parametrize(("units", "factor"), [("us", 1.0), ("metric", FOOT_M)])
def test_squares_and_marks_stand_where_the_answer_says(units: Units, factor: float) -> None:
    result = aimed("two-grips", "curve_spike")
    assert result.best != result.now
    ax = draw_aim(result, units=units)
    for name, target in (("now", result.now), ("best", result.best)):
        place = factor * np.array([[target.target_side_ft, target.target_height_ft]])
        assert data_of(ax, name) == pytest.approx(place)
    assert named(ax, "now").get_marker() != named(ax, "best").get_marker()  # told apart without colour
    corners = squares(ax)
    places = factor * np.array([[one.target_side_ft, one.target_height_ft] for one in result.grid])
    assert 0.5 * (corners[:, 0] + corners[:, 2]) == pytest.approx(places)
    sides = corners[:, 1, 0] - corners[:, 0, 0]
    assert sides == pytest.approx(corners[:, 2, 1] - corners[:, 1, 1])
    values = np.array([one.value for one in result.grid], dtype=float)
    assert np.all(np.diff(sides[np.argsort(values)]) >= -1e-12)  # the more, the larger
    assert sides.argmax() == values.argmax()
    assert np.all((sides > 0.0) & (sides < factor * BALL))  # all are seen, and none touch
    box = named(ax, "zone").get_bbox().extents
    zone = answers("two-grips")[0].zone
    assert box == pytest.approx(factor * np.array([zone.left_ft, zone.low_ft, zone.right_ft, zone.high_ft]))


def test_values_and_places_are_said_in_words() -> None:
    result = aimed("two-grips", "curve_spike")
    for units, symbol in (("us", "ft"), ("metric", "m")):
        said = [text.get_text() for text in words_of(draw_aim(result, units=units)).values()]
        for name, target in (("now", result.now), ("best", result.best)):
            (words,) = [one for one in said if one.startswith(f"{name}: {target.estimate.value:.1f} %\n")]
            assert f" {symbol} high\n" in words
        values = [one.value for one in result.grid if one.value is not None]
        assert f"strikes without contact, {min(values):.1f} % to {max(values):.1f} %" in said


def test_where_now_is_best_there_is_one_mark() -> None:
    result = aimed("two-grips", "curve_spike")
    ax = draw_aim(replace(result, best=result.now))
    assert named(ax, "now") is None
    assert data_of(ax, "best")[0] == pytest.approx([result.now.target_side_ft, result.now.target_height_ft])
    assert any(text.get_text().startswith("now and best: ") for text in words_of(ax).values())
    assert_tidy(ax)


def test_a_place_that_can_not_be_thrown_to_has_no_square() -> None:
    result = aimed("two-grips", "curve_spike")
    first, *others = result.grid
    assert len(squares(draw_aim(replace(result, grid=(replace(first, value=None), *others))))) == len(others)
    none = tuple(replace(one, value=None) for one in result.grid)
    ax = draw_aim(replace(result, grid=none))
    assert named(ax, "squares") is None
    assert_tidy(ax)


def test_the_same_everywhere_is_no_fault() -> None:
    result = aimed("two-grips", "curve_spike")
    corners = squares(draw_aim(replace(result, grid=tuple(replace(one, value=0.0) for one in result.grid))))
    assert np.ptp(corners[:, 1, 0] - corners[:, 0, 0]) == pytest.approx(0.0, abs=1e-12)


def test_curves_and_marks_are_those_of_the_answer() -> None:
    result = mixed("two-grips")
    ax = mix_plot(result)
    for number, (name, curve) in enumerate(result.curves.items()):
        drawn = data_of(ax, f"curve-{number}")
        assert np.all(np.diff(drawn[:, 0]) > 0.0)
        assert set(drawn[:, 0]) == set(curve.share_percent)
        assert set(map(tuple, drawn)) <= set(zip(curve.share_percent, curve.value, strict=True))
        ((best, value),) = data_of(ax, f"best-{number}")
        assert best == result.best.shares_percent[name]
        assert value == pytest.approx(result.best.estimate.value)  # all lines meet the best mix
        ((today, value),) = data_of(ax, f"now-{number}")
        assert today == result.today.shares_percent[name]
        assert value == pytest.approx(np.interp(today, *drawn.T))
    assert named(ax, "best-0").get_marker() != named(ax, "now-0").get_marker()
    said = {text.get_text() for text in words_of(ax).values()}
    assert {*result.curves, "best share", "today's share"} <= said


def test_lines_of_a_mix_differ() -> None:
    """Eight pitches, the most that a mix may have."""
    result = mixed("two-grips")
    curve = result.curves["curve_spike"]
    many = {result.fastball: result.curves[result.fastball]} | {f"p{number}": curve for number in range(7)}
    shares = dict.fromkeys(many, 12.5)
    best, today = (replace(one, shares_percent=shares) for one in (result.best, result.today))
    ax = mix_plot(replace(result, curves=many, best=best, today=today), first=["p3"])
    lines = [named(ax, f"curve-{number}") for number in range(8)]
    assert len({(str(one._unscaled_dash_pattern), one.get_color()) for one in lines}) == 8
    assert (lines[4].get_linestyle(), lines[4].get_color()) == ("-", LIGHT.thrown)  # the first of the page: first look
    assert_tidy(ax)


@SCENARIOS
def test_no_words_cover_others_or_are_cut_off(source: str) -> None:
    assert_tidy(mix_plot(mixed(source)))
    portrayed, _ = answers(source)
    result = aimed(source, next(iter(portrayed.pitches)))
    for units in ("us", "metric"):
        assert_tidy(draw_aim(result, source, units=units))


@pytest.mark.parametrize("name", ["W" * 40, "$x^2$ & <b>", "曲" * 20])
@pytest.mark.filterwarnings("ignore:Glyph .* missing from font")
def test_any_name_is_written_as_it_is(name: str) -> None:
    ax = mix_plot(mixed("two-grips"), called=lambda _: name)
    assert_tidy(ax)
    texts = [one for one in words_of(ax).values() if one.get_text().startswith(name[:10])]
    assert len(texts) == 3
    assert not any(one.get_parse_math() for one in texts)


@pytest.mark.parametrize("kind", ["aim", "mix"])
def test_own_axes(kind: str) -> None:
    whole = Figure(figsize=(8.0, 6.0), dpi=100)
    FigureCanvasAgg(whole)
    ax = whole.add_subplot()
    draw = draw_aim if kind == "aim" else mix_plot
    result: Any = aimed("two-grips", "curve_spike") if kind == "aim" else mixed("two-grips")
    assert draw(result, ax=ax, palette=DARK) is ax
    assert_tidy(ax)


@pytest.mark.parametrize("kind", ["aim", "mix"])
def test_in_a_page_they_are_small_and_coloured_by_its_variables(kind: str) -> None:
    draw = draw_aim if kind == "aim" else mix_plot
    result: Any = aimed("two-grips", "curve_spike") if kind == "aim" else mixed("two-grips")
    text = svg_of(draw, result, name=kind, title="picture")
    root = fromstring(text)
    colours = {element.attrib[key] for element in root.iter() for key in ("fill", "stroke") if key in element.attrib}
    assert colours <= {"none"} | {f"var({name})" for name in LIGHT.variables()}
    assert len(colours) > 3
    assert not [element for element in root.iter() if "style" in element.attrib]
    assert len(text.encode()) < 40_000
    assert f'id="{kind}-best' in text
