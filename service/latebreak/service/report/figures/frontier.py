"""Speed and spin rate that together reach a goal."""

from __future__ import annotations

from math import isfinite

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES, Reader, change_of, value_of
from latebreak.service.quantities.units import MILES_PER_HOUR, Units
from latebreak.service.questions import ReachResult
from latebreak.service.report.figures.canvas import (
    TICKS,
    WORDS,
    Room,
    open_axes,
    set_ticks,
    write,
    write_below,
    write_beside,
)
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole
from latebreak.service.scenario.section import Hand

Array = NDArray[np.float64]

#: What is shown beyond the pairs: share of the range, and the least range, mph and rpm (chosen).
_MARGIN, _LEAST_MPH, _LEAST_RPM = 0.12, 4.0, 300.0


def frontier_plot(
    result: ReachResult,
    now: tuple[float, float],
    *,
    hand: Hand = "right",
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw pairs of speed and spin rate that reach the goal, and the pitch as it is.

    Arrows show the roads on which one of the two does it alone.

    Parameters
    ----------
    result : ReachResult
        The goal and the pairs, mph and rpm.
    now : tuple of float
        Speed, mph, and spin rate, rpm, of the pitch as it is.
    hand : {"right", "left"}
        The pitcher's hand; needed where the measure has a side.
    role : {"thrown", "rival"}
        Whose colour the pitch has.
    units : {"us", "metric"}
        Miles or kilometres an hour.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = speed, mph or km/h, and y = spin rate, rpm.
    """
    ax = open_axes(ax, palette, Room(height=290.0, left=54.0))
    unit, colour = MILES_PER_HOUR.shown_in(units), palette.colour(role)
    factor = np.array([unit.factor, 1.0])
    pairs = np.array([(pair.speed_mph, pair.spin_rpm) for pair in result.frontier]).reshape(-1, 2)
    here = np.array(now)
    _frame(ax, np.vstack([pairs, here]), factor)
    labels = Labels(ax)
    if len(pairs):
        look = LOOKS["same_line"]
        ax.plot(
            *(factor * pairs).T, color=palette.same_line, linewidth=look.width, linestyle="-", marker="s",
            markersize=4.5, zorder=3, gid="frontier",
        )  # fmt: skip
        line = labels.keep_off(*(factor * pairs).T, named=True)
    else:
        words = "no pair within the bounds reaches the goal"
        labels.keep_off_words(write(ax, 0.5, 0.9, words, palette.muted, size=WORDS, ha="center", of_axes=True))
    ax.plot(
        *(factor * here)[:, None], linestyle="", marker=LOOKS[role].marker, markersize=10.0, color=colour,
        markeredgecolor=palette.background, zorder=5, gid="now",
    )  # fmt: skip
    spot = labels.keep_off_dots(*(factor * here)[:, None], radius=5.0, named=True)
    roads = _draw_roads(ax, result, here, labels, palette, units)
    labels.put(f"now {factor[0] * here[0]:.1f} {unit.symbol}, {here[1]:.0f} rpm", spot, colour, weight="bold")
    for words, road in roads:
        labels.put(words, road, palette.marks, size=TICKS, towards=0.6)
    if len(pairs):
        measure = QUANTITIES[result.measure]
        goal = value_of(measure, Reader(units, hand)).say(result.goal_value)
        labels.put(f"{measure.name}:\n{goal}", line, palette.same_line, towards=0.3)
    set_ticks(ax, "x", *ax.get_xlim(), 6)
    set_ticks(ax, "y", *ax.get_ylim(), 6)
    write_below(ax, palette, ("", f"speed, {unit.symbol}", ""))
    write_beside(ax, palette, "spin rate, rpm", away=41.0)
    return ax


def _draw_roads(
    ax: Axes, result: ReachResult, here: Array, labels: Labels, palette: Palette, units: Units
) -> list[tuple[str, Array]]:
    """Draw an arrow for each of the two levers that reaches the goal alone; return how far, and where it runs."""
    factor = np.array([MILES_PER_HOUR.shown_in(units).factor, 1.0])
    drawn = []
    for axis, key in enumerate(("speed_mph", "spin_rpm")):
        road = result.levers.get(key)
        if road is None or not road.reachable or not isfinite(road.new_value):
            continue
        there = here.copy()
        there[axis] = road.new_value
        start, end = factor * here, factor * there
        ax.annotate(
            "", tuple(end), tuple(start), zorder=4, gid=f"road-{key.replace('_', '-')}",
            arrowprops={"arrowstyle": "->", "color": palette.marks, "linewidth": 1.2, "shrinkA": 4.0, "shrinkB": 2.0},
        )  # fmt: skip
        line = labels.keep_off(*np.stack([start, end], axis=1), named=True)
        drawn.append((change_of(QUANTITIES[key], Reader(units)).say(road.change.value), line))
    return drawn


def _frame(ax: Axes, shown: Array, factor: Array) -> None:
    """Show pairs (n, 2), mph and rpm."""
    low, high = shown.min(axis=0), shown.max(axis=0)
    size = np.maximum(high - low, [_LEAST_MPH, _LEAST_RPM])
    middle = 0.5 * (low + high)
    low, high = (middle + way * (0.5 + _MARGIN) * size for way in (-1.0, 1.0))
    ax.set_xlim(factor[0] * low[0], factor[0] * high[0])
    ax.set_ylim(low[1], high[1])
