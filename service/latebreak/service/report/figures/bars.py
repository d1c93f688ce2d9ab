"""What a step on each lever does to the miss chance."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from latebreak.service.quantities import QUANTITIES, Reader, change_of
from latebreak.service.quantities.units import Units
from latebreak.service.questions import Estimate, LeversResult
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.report.figures.canvas import (
    TICKS,
    WORDS,
    Room,
    name_ticks,
    open_axes,
    set_ticks,
    write,
    write_below,
)
from latebreak.service.report.figures.palette import LIGHT, Palette, PathRole
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.levers import named_step

#: Points: height of a lever's words and bar.
_ROW = 34.0
#: Share of a row where words stand, bar and whisker below (axis up: rows, the first at the top).
_WORDS, _BAR, _THICK = 0.38, 0.72, 0.34


def lever_bars(
    result: LeversResult,
    *,
    hand: Hand,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw the change in miss chance for a step on each lever, the largest first, with 90 % intervals.

    Bars are filled where the step makes the pitch missed more often, hollow where less.

    Parameters
    ----------
    result : LeversResult
        What moves the pitch; changes in percentage points of swings.
    hand : {"right", "left"}
        The pitcher's hand.
    role : {"thrown", "rival"}
        Whose colour the pitch has.
    units : {"us", "metric"}
        Of the steps.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = change in miss chance, points, positive = missed more often, and y = rank of the lever from the top.
    """
    moves = [(key, move.step, move.measures.get(MEASURE)) for key, move in result.levers.items()]
    moves.sort(key=lambda one: -_size(one[2]))
    ax = open_axes(ax, palette, Room(height=44.0 + 6.0 + _ROW * max(1, len(moves)), left=10.0, top=6.0, bottom=44.0))
    low, high = _range([change for _, _, change in moves])
    ax.set_xlim(low, high)
    ax.set_ylim(max(1, len(moves)), 0.0)
    ax.spines["left"].set_visible(False)
    name_ticks(ax, "y", [], [])
    for row in range(len(moves)):
        ax.plot([0.0, 0.0], [row + 0.5, row + 0.94], color=palette.muted, linewidth=1.0, zorder=1)
    reader = Reader(units, hand)
    wording = replace(change_of(QUANTITIES[MEASURE], reader), symbol="")
    for row, (key, step, change) in enumerate(moves):
        write(ax, low, row + _WORDS, named_step(key, step, reader), palette.text, size=TICKS)
        known = change is not None and isfinite(change.value)
        if change is None or not known:
            said = "can't be thrown" if change is None else "no throw arrived"
            write(ax, high, row + _WORDS, said, palette.muted, size=TICKS, ha="right")
            continue
        said = wording.say(change.value)
        write(ax, high, row + _WORDS, said, palette.text, size=TICKS, ha="right", weight="bold")
        colour = palette.colour(role)
        ax.add_patch(Rectangle(
            (0.0, row + _BAR - 0.5 * _THICK), change.value, _THICK, edgecolor=colour, linewidth=1.2, zorder=2,
            facecolor=colour if change.value >= 0.0 else palette.background, gid=f"bar-{key}",
        ))  # fmt: skip
        _whisker(ax, row + _BAR, change, key, palette)
    if not moves:
        write(ax, 0.5, 0.5, "no lever was moved", palette.muted, size=WORDS, ha="center", of_axes=True)
    set_ticks(ax, "x", low, high, 5, words=(" less", " more"))
    write_below(ax, palette, ("", "change in misses of 100 swings", ""))
    return ax


def _size(change: Estimate | None) -> float:
    return abs(change.value) if change is not None and isfinite(change.value) else -1.0


def _range(changes: list[Estimate | None]) -> tuple[float, float]:
    """Return what the axis across shows, points."""
    ends = [0.0]
    for change in changes:
        if change is not None:
            ends += [end for end in (change.value, change.low, change.high) if end is not None and isfinite(end)]
    margin = 0.05 * max(max(ends) - min(ends), 0.2)
    return min(ends) - margin, max(ends) + margin


def _whisker(ax: Axes, y: float, change: Estimate, key: str, palette: Palette) -> None:
    if change.low is None or change.high is None or not np.isfinite([change.low, change.high]).all():
        return
    ax.plot(
        [change.low, change.high], [y, y], color=palette.text, linewidth=1.4, marker="|", markersize=7.0,
        markeredgewidth=1.4, zorder=3, gid=f"interval-{key}",
    )  # fmt: skip
