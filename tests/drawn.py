"""Figures of the report in tests: their answers, their parts by name, and whether their words are in order."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.text import Text
from numpy.typing import NDArray

import latebreak.service.questions as ask
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Portrait, PortraitResult
from latebreak.service.report.figures import (
    TimedPitch,
    arrival_plot,
    belief_plot,
    side_view,
    timeline_plot,
    top_view,
)
from latebreak.service.scenario import load, parse, ready_names, reference_fastball

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
        "timeline": lambda role="thrown", **style: timeline_plot([TimedPitch(portrait, estimates, role)], **style),
    }  # fmt: skip


FIGURES = ("side", "top", "arrival", "belief", "timeline")


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
