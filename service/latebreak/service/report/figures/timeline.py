"""Pitches on one time line from the hand to the plate, a row each, with the five moments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations, product

from matplotlib.axes import Axes

from latebreak.service.quantities.units import Units
from latebreak.service.questions.portrait import Portrait
from latebreak.service.report.figures.canvas import (
    TICKS,
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
#: Points: from a thin line to the words beside it, and how far words may stand out of the axes.
_AWAY, _OVER = 4.0, 12.0


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
        A row each. The bar before "must decide" begins with the last look that counts.
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
    write(ax, 0.0, line - 10.0, short(portrait.name), colour, size=TICKS, weight="bold")
    moments = moments_of(portrait, pitch.estimates)
    for moment in moments:
        if moment.after_release_ms is not None:
            _mark(ax, moment.name, moment.symbol, moment.after_release_ms, line, palette)
    write(ax, end, line - 10.0, f"arrives {end:.0f} ms", palette.text, size=TICKS, ha="right")
    _write_below(ax, [moment for moment in moments if moment.name != "arrives"], line, units, palette)


def _mark(ax: Axes, name: str, symbol: str, at: float, line: float, palette: Palette) -> None:
    ax.plot([at], [line], linestyle="", marker=symbol, markersize=7.5, markerfacecolor=palette.background,
            markeredgecolor=palette.marks, markeredgewidth=1.5, zorder=5, clip_on=False,
            gid=f"mark-{name.replace('_', '-')}")  # fmt: skip


def _write_below(ax: Axes, moments: Sequence[Moment], line: float, units: Units, palette: Palette) -> None:
    """Write moments below the line, each in a row of its own below a thin line from it."""
    far, width = ax.get_xlim()[1], ax.bbox.width / pixels_per_point(ax)
    places = [None if one.after_release_ms is None else width * one.after_release_ms / far for one in moments]
    texts = [write(ax, 0.0, 0.0, _words(moment, units), palette.text, size=TICKS) for moment in moments]
    wide = [text.get_window_extent().width / pixels_per_point(ax) for text in texts]
    rows, starts = _arranged(places, wide, width)
    for place, text, row, start, size in zip(places, texts, rows, starts, wide, strict=True):
        foot = line + _WORD * (row + 1) + 2.0
        text.set(x=far * start / width, y=foot)
        text.set_bbox({"facecolor": palette.background, "edgecolor": "none", "pad": 0.0})
        if place is None:
            continue
        beside = not start - 1.0 < place < start + size + 1.0
        at, end = far * place / width, foot - (0.0 if beside else TICKS - 1.0)
        ax.plot([at, at], [line + 4.0, end], color=palette.muted, linewidth=0.7, zorder=1)


def _arranged(places: list[float | None], wide: list[float], width: float) -> tuple[list[int], list[float]]:
    """Choose a row (0 the nearest to the line) and a start for words below marks, points.

    Words stand right of the thin line that comes down to them, left of it, or, where there is no room, under it; the
    choice keeps other thin lines out of them. What never happens has no mark, and stands at the right end.
    """
    last = [width + _OVER - size for size in wide]
    options = [
        [end] if place is None else [min(place + _AWAY, end), max(place - _AWAY - size, -_OVER)]
        for place, size, end in zip(places, wide, last, strict=True)
    ]
    best: tuple[float, list[int], list[float]] | None = None
    for rows in permutations(range(len(places))):
        for starts in product(*options):
            cost = 0.0
            for place, row, start, size, choices in zip(places, rows, starts, wide, options, strict=True):
                crossed = sum(
                    other is not None and below > row and start - 3.0 < other < start + size + 3.0
                    for other, below in zip(places, rows, strict=True)
                )
                shifted = 0.0 if place is None else min(abs(start - place - _AWAY), abs(start + size + _AWAY - place))
                cost += 100.0 * crossed + shifted + 5.0 * (start != choices[0])
            if best is None or cost < best[0]:
                best = (cost, list(rows), list(starts))
    assert best is not None
    return best[1], best[2]


def _words(moment: Moment, units: Units) -> str:
    if moment.after_release_ms is None:
        return moment.label
    return f"{moment.label} {moment.after_release_ms:.0f} ms, {moment.where(units)}"
