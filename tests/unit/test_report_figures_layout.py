"""Figures keep their words apart and inside, for every ready scenario, any name and odd answers."""

from dataclasses import replace

import numpy as np
import pytest
from drawn import FIGURES, LOB, READY, Estimates, answers, assert_tidy, data_of, every_figure, first, named, words_of
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Belief, Portrait, Spread
from latebreak.service.report.figures import (
    DARK,
    LIGHT,
    belief_plot,
    side_view,
)
from latebreak.service.scenario import Scenario, load

#: One of each hand and the slowest pitch every time; the other ready ones in the slow suite.
OFTEN = {"two-grips", "left-eleven-to-five"}
SCENARIOS = [
    pytest.param(LOB, id="lob"),
    *(pytest.param(name, marks=() if name in OFTEN else pytest.mark.slow) for name in READY),
]


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("scenario", SCENARIOS)
def test_no_words_cover_others_or_are_cut_off(scenario: str, figure: str) -> None:
    portrayed, estimates = answers(scenario)
    for number, (name, portrait) in enumerate(portrayed.pitches.items()):
        draw = every_figure(portrayed, portrait, estimates[name])[figure]
        assert_tidy(draw(role="rival" if number % 2 else "thrown"))
        if figure != "belief" and number == 0:  # that is the same in both units
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
        expectation=replace(seen, **dict.fromkeys(vars(seen), nan)),
    ), {key: Estimate(nan, nan, nan, nan) for key in estimates}


@pytest.mark.parametrize("figure", FIGURES)
def test_nothing_is_known(figure: str) -> None:
    portrait, estimates = nothing_known(*first())
    ax = every_figure(answers("two-grips")[0], portrait, estimates)[figure]()
    assert_tidy(ax)
    assert named(ax, "expected") is None
    assert named(ax, "mark-tunnel-exit") is None


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
