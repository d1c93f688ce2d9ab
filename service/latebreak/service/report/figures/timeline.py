"""Pitches on one time line from the hand to the plate, a row each, with the five moments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.text import Text

from latebreak.service.quantities.units import Units
from latebreak.service.questions.portrait import Portrait
from latebreak.service.report.figures.canvas import (
    TICKS,
    WORDS,
    Room,
    dashes_of,
    open_axes,
    pixels_per_point,
    set_ticks,
    write,
    write_below,
)
from latebreak.service.report.figures.moments import Estimates, Moment, moments_of
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole

#: Points: from the top of a row to its line, between lines of words, and below the last of them.
_LINE, _WORD, _BELOW = 26.0, 15.5, 10.0
#: Lines of words below a row: all moments but the arrival.
_WORDS_BELOW = 4


@dataclass(frozen=True)
class TimedPitch:
    """A row: a pitch, its estimates of `compare`, and whose colour it has."""

    portrait: Portrait
    estimates: Estimates
    role: PathRole


def timeline_plot(
    pitches: Sequence[TimedPitch], *, units: Units = "us", ax: Axes | None = None, palette: Palette = LIGHT
) -> Axes:
    """Draw pitches on one time line from the hand to the plate.

    Parameters
    ----------
    pitches : sequence of TimedPitch
        A row each. The bar before "he must decide" begins with the last look that counts.
    units : {"us", "metric"}
        Feet, or metres.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = ms after release, and y = points from the top.
    """
    row = _LINE + _WORDS_BELOW * _WORD + _BELOW
    height = row * len(pitches)
    ax = open_axes(ax, palette, Room(height=height + 42.0, left=12.0, right=14.0, top=2.0, bottom=40.0))
    ax.set_ylim(height, 0.0)
    ax.set_xlim(0.0, max(float(one.portrait.thrown.time_ms[-1]) for one in pitches))
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    for number, pitch in enumerate(pitches):
        _draw_row(ax, pitch, number * row, units, palette)
    set_ticks(ax, "x", *ax.get_xlim(), 6)
    write_below(ax, palette, ("hand", "ms after release", "plate"))
    return ax


def _draw_row(ax: Axes, pitch: TimedPitch, top: float, units: Units, palette: Palette) -> None:
    portrait, colour, line = pitch.portrait, palette.colour(pitch.role), top + _LINE
    end = float(portrait.thrown.time_ms[-1])
    ax.plot([0.0, end], [line, line], color=colour, linewidth=LOOKS[pitch.role].width,
            linestyle=dashes_of(pitch.role), zorder=2)  # fmt: skip
    ax.plot([portrait.decides_ms, portrait.decided_ms], [line, line], color=palette.marks, linewidth=6.0,
            solid_capstyle="butt", alpha=0.45, zorder=3, gid="deciding")  # fmt: skip
    write(ax, 0.0, line - 10.0, short(portrait.name), colour, size=WORDS, weight="bold")
    moments = moments_of(portrait, pitch.estimates)
    for moment in moments:
        if moment.after_release_ms is not None:
            _mark(ax, moment, line, palette)
    write(ax, end, line - 10.0, f"arrives {end:.0f} ms", palette.text, size=TICKS, ha="right")
    below = [moment for moment in moments if moment.name != "arrives"]
    # the latest stands highest, so that no thin line of an earlier one runs through its words
    for place, moment in enumerate(reversed(below)):
        _write_below(ax, moment, line, line + _WORD * (place + 1) + 2.0, units, palette)


def _mark(ax: Axes, moment: Moment, line: float, palette: Palette) -> None:
    ax.plot([moment.after_release_ms], [line], linestyle="", marker=moment.symbol, markersize=7.5,
            markerfacecolor=palette.background, markeredgecolor=palette.marks, markeredgewidth=1.5, zorder=5,
            clip_on=False, gid=f"mark-{moment.name.replace('_', '-')}")  # fmt: skip


def _write_below(ax: Axes, moment: Moment, line: float, foot: float, units: Units, palette: Palette) -> None:
    """Write a moment below the line, right of a thin line from it, or left of that where there is no room."""
    at = moment.after_release_ms
    if at is None:
        write(ax, ax.get_xlim()[1], foot, moment.label, palette.text, size=TICKS, ha="right")
        return
    words = f"{moment.label} {at:.0f} ms, {moment.where(units)}"
    text = write(ax, at, foot, words, palette.text, size=TICKS)
    text.set_bbox({"facecolor": palette.background, "edgecolor": "none", "pad": 0.5})
    gap = 4.0 / ax.bbox.width * pixels_per_point(ax) * ax.get_xlim()[1]
    if at + gap + _width(ax, text) > ax.get_xlim()[1]:
        text.set_ha("right")
        gap = -gap
    text.set_x(at + gap)
    ax.plot([at, at], [line + 4.0, foot - 1.0], color=palette.muted, linewidth=0.7, zorder=1)


def _width(ax: Axes, text: Text) -> float:
    """Width of words, ms."""
    return float(text.get_window_extent().width / ax.bbox.width * ax.get_xlim()[1])
