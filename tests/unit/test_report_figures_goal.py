"""The figure of a goal: marks stand where the answer says, and its words are in order."""

from dataclasses import replace
from xml.etree.ElementTree import fromstring

import numpy as np
import pytest
from drawn import assert_tidy, data_of, named, words_of
from following import KEPT, followed
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from latebreak.service.judging.estimates import Estimate
from latebreak.service.questions.following.kept_goal import goal_of
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress
from latebreak.service.report.figures import DARK, goal_plot, svg_of


def test_marks_stand_where_the_answer_says() -> None:
    ax = goal_plot(followed(0.0, 50.0, None, -40.0))
    assert np.unique(data_of(ax, "written")[:, 0]) == [32.0]
    assert np.unique(data_of(ax, "wanted")[:, 0]) == [36.0]
    assert [data_of(ax, f"session-{at}")[0, 0] for at in (0, 1, 3)] == pytest.approx([32.0, 34.0, 30.4])
    assert data_of(ax, "interval-1")[:, 0] == pytest.approx([32.8, 35.2])  # of the way
    assert named(ax, "session-2") is None
    heights = [data_of(ax, f"session-{at}")[0, 1] for at in (0, 1, 3)]
    assert heights == sorted(heights)  # from the top
    assert any(one.startswith("not thrown") for one in words_of(ax))


@pytest.mark.parametrize("shares", [(0.0,), (250.0, -250.0), (None,), (100.0, 99.0, 98.0, 97.0, 96.0, 95.0)])
def test_words_are_in_order(shares: tuple[float | None, ...]) -> None:
    assert_tidy(goal_plot(followed(*shares)))


def test_long_names_and_odd_ones_are_written_as_they_are() -> None:
    result = followed(10.0, 20.0)
    named_so = [replace(one, session=name) for one, name in zip(result.sessions, ("W" * 60, "$x^2$"), strict=True)]
    ax = goal_plot(replace(result, sessions=tuple(named_so)))
    assert_tidy(ax)
    assert any(one.startswith("$x^2$") for one in words_of(ax))


def test_a_measure_with_sides_is_drawn_in_the_unit_of_the_reader() -> None:
    tables = {**KEPT.parts(), "measure": "arrival_surprise_side_in", "now": {"value": -1.0}}
    kept = goal_of({**tables, "goal": {"kind": "value", "number": -3.0, "value": -3.0}})
    session = SessionProgress("May", 3, Progress(Estimate(-2.0, 0.1), None, None))
    ax = goal_plot(GoalProgress(kept, "last", (session,)), units="metric", hand="left")
    assert data_of(ax, "session-0")[0, 0] == pytest.approx(-5.08)  # cm
    assert_tidy(ax)


def test_own_axes_other_colours_and_svg() -> None:
    whole = Figure(figsize=(8.0, 6.0), dpi=100)
    FigureCanvasAgg(whole)
    own = whole.add_subplot()
    assert goal_plot(followed(10.0), ax=own, palette=DARK) is own
    one, other = (svg_of(goal_plot, followed(10.0, 20.0), name="goal", title="How far") for _ in range(2))
    assert one == other
    assert fromstring(one).tag.endswith("svg")
