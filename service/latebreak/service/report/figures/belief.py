"""What the hitter believes it is, while it flies."""

from __future__ import annotations

from math import isfinite

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from latebreak.service.quantities.units import Units
from latebreak.service.questions.portrait import Belief, Portrait
from latebreak.service.report.figures.canvas import (
    TICKS,
    Room,
    dashes_of,
    draw_band,
    name_ticks,
    open_axes,
    set_ticks,
    write,
    write_below,
    write_beside,
)
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.moments import Estimates
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole

Array = NDArray[np.float64]

#: Belief from which on a pitch counts as recognised, percent.
RECOGNISED = 75.0
#: Other types that get a line of their own; the rest share one (chosen).
_OTHERS = 2
_OTHER_DASHES = ((5.0, 1.5, 1.0, 1.5), (2.5, 1.5), (1.0, 2.5))


def belief_plot(
    portrait: Portrait,
    estimates: Estimates,
    *,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw a hitter's belief in each type of pitch over time: mean over the throws, and 5 to 95 % of them as a band.

    Parameters
    ----------
    portrait : Portrait
        The pitch; times in ms after release, belief in percent.
    estimates : mapping of str to Estimate
        Its estimates of `compare`: when it is recognised.
    role : {"thrown", "rival"}
        Whose colour the pitch has.
    units : {"us", "metric"}
        Makes no difference: ms and percent.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = time after release, ms, and y = belief, percent.
    """
    ax = open_axes(ax, palette, Room(height=250.0, top=26.0))
    belief = portrait.belief
    arrival = float(portrait.thrown.time_ms[-1])
    ax.set_xlim(0.0, arrival)
    ax.set_ylim(0.0, 102.0)
    labels = Labels(ax)
    ax.plot([0.0, arrival], [RECOGNISED, RECOGNISED], color=palette.muted, linewidth=0.8, gid="recognised-from")
    labels.keep_off([0.0, arrival], [RECOGNISED, RECOGNISED])
    lines: list[tuple[str, Array, str, str]] = []
    for number, (name, mean) in enumerate(_others(belief, portrait)):
        ax.plot(
            belief.time_ms, mean, color=palette.muted, linewidth=1.5, linestyle=(0.0, _OTHER_DASHES[number]),
            gid=f"other-{number}",
        )  # fmt: skip
        lines.append((name, labels.keep_off(belief.time_ms, mean, named=True), palette.muted, "normal"))
    paths: list[tuple[PathRole, str]] = [("fastball", portrait.fastball), (role, portrait.name)]
    for which, name in paths:
        if name not in belief.types:
            continue
        row, own, look = belief.types.index(name), palette.colour(which), LOOKS[which]
        low, high = belief.low[row], belief.high[row]
        draw_band(ax, belief.time_ms, low, high, own, which, f"spread-{which}")
        labels.keep_off(belief.time_ms, low)
        labels.keep_off(belief.time_ms, high)
        ax.plot(
            belief.time_ms, belief.mean[row], color=own, linewidth=look.width, linestyle=dashes_of(which), zorder=3,
            gid=which,
        )  # fmt: skip
        line = labels.keep_off(belief.time_ms, belief.mean[row], named=True)
        lines.append((short(name), line, own, "bold" if which == role else "normal"))
    decided = float(portrait.decided_ms)
    if isfinite(decided):
        ax.plot([decided, decided], [0.0, 102.0], color=palette.marks, linewidth=1.2, gid="mark-decides")
        labels.keep_off([decided, decided], [0.0, 102.0])
        said = f"must decide {decided:.0f} ms"
        write(ax, decided, 108.0, said, palette.marks, size=TICKS, ha="center" if decided < 0.7 * arrival else "right")
    _recognition(ax, labels, portrait, estimates, palette)
    for words, line, own, weight in reversed(lines):
        labels.put(words, line, own, weight=weight, towards=0.3)
    set_ticks(ax, "x", 0.0, arrival, 5)
    name_ticks(ax, "y", [0.0, 25.0, 50.0, 75.0, 100.0], ["0", "25", "50", "75", "100"])
    write_below(ax, palette, ("release", "ms after release", "arrival"))
    write_beside(ax, palette, "belief, %")
    return ax


def _recognition(ax: Axes, labels: Labels, portrait: Portrait, estimates: Estimates, palette: Palette) -> None:
    """Mark when the median throw is recognised."""
    reached, after = (estimates.get(f"recognition_{end}") for end in ("reached_percent", "after_release_ms"))
    if reached is not None and reached.value < 50.0:
        line = labels.keep_off([0.0, portrait.thrown.time_ms[-1]], [RECOGNISED, RECOGNISED])
        labels.put("he never knows it", line, palette.marks, size=TICKS, towards=0.1)
    elif after is not None and isfinite(after.value):
        ax.plot(
            [after.value], [RECOGNISED], linestyle="", marker="o", markersize=7.0, markerfacecolor=palette.background,
            markeredgecolor=palette.marks, markeredgewidth=1.5, zorder=5, gid="mark-recognition",
        )  # fmt: skip
        spot = labels.keep_off([after.value], [RECOGNISED])
        labels.put(f"he knows it {after.value:.0f} ms", spot, palette.marks, size=TICKS)


def _others(belief: Belief, portrait: Portrait) -> list[tuple[str, Array]]:
    """Return name and mean of the other types, those that are believed in most first; the rest together."""
    rows = [row for row, name in enumerate(belief.types) if name not in (portrait.name, portrait.fastball)]
    rows.sort(key=lambda row: -float(np.nanmax(belief.mean[row], initial=0.0)))
    own, rest = (rows, []) if len(rows) <= _OTHERS + 1 else (rows[:_OTHERS], rows[_OTHERS:])
    lines = [(short(belief.types[row]), belief.mean[row]) for row in own]
    return [*lines, (f"the {len(rest)} others", belief.mean[rest].sum(axis=0))] if rest else lines
