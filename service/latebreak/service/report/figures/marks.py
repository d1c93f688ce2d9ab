"""Moments of a pitch as figures of its path mark them, with their words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations, product

import numpy as np
from matplotlib.axes import Axes

from latebreak.service.quantities import HIDES
from latebreak.service.quantities.units import Units
from latebreak.service.questions.portrait import Portrait, Track
from latebreak.service.report.figures.canvas import TICKS, pixels_per_point, write
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.moments import Estimates, Moment, moments_of
from latebreak.service.report.figures.palette import Palette

#: Height of a row of words, points.
ROW = 15.0
#: Those that are marked on a path: more would hide it.
_MARKED = (HIDES, "break_onset", "decides")


def marks_of(portrait: Portrait, estimates: Estimates) -> list[Moment]:
    """Return the moments that are marked on a path."""
    return [one for one in moments_of(portrait, estimates) if one.name in _MARKED]


def at_distance(track: Track, values: np.ndarray[tuple[int, ...], np.dtype[np.float64]], away_ft: float) -> float:
    """Return what a track has at a distance from the plate."""
    return float(np.interp(away_ft, track.from_plate_ft[::-1], values[::-1]))


def write_marks(
    ax: Axes, labels: Labels, marks: Sequence[Moment], at: Sequence[tuple[float, float]], units: Units, palette: Palette
) -> None:
    """Draw marks at places of the data and write each above it, in a row of its own at the top of the axes.

    A thin line joins a mark to its words. Rows and sides are chosen so that no such line runs through words.
    """
    height, width = (size / pixels_per_point(ax) for size in (ax.bbox.height, ax.bbox.width))
    left = [(ax.transData.transform(place)[0] - ax.bbox.x0) / pixels_per_point(ax) for place in at]
    said = [f"{mark.label} {mark.where(units)}".rstrip() for mark in marks]
    texts = [write(ax, 0.0, 0.0, words, palette.marks, size=TICKS, of_axes=True) for words in said]
    wide = [box[2] - box[0] for box in map(labels.box_of, texts)]
    rows, sides = _arranged(left, wide, [mark.away_ft is not None for mark in marks], width)
    for mark, text, x, (place_x, place_y), row, side in zip(marks, texts, left, at, rows, sides, strict=True):
        foot = height - ROW * (row + 1) + 4.0
        known = mark.away_ft is not None
        start = x + 4.0 if side == "left" else x - 4.0
        text.set_ha(side if known else "right")
        text.set_position(((start if known else width) / width, foot / height))
        labels.keep_off_words(text)
        if not known:
            continue
        top = ax.transData.inverted().transform((ax.bbox.x0, ax.bbox.y0 + (foot + 9.0) * pixels_per_point(ax)))[1]
        labels.keep_off([place_x, place_x], [place_y, top])
        ax.plot([place_x, place_x], [place_y, top], color=palette.marks, linewidth=0.7, zorder=2.5)
        ax.plot(
            [place_x],
            [place_y],
            linestyle="",
            marker=mark.symbol,
            markersize=7.0,
            markerfacecolor=palette.background,
            markeredgecolor=palette.marks,
            markeredgewidth=1.5,
            zorder=5,
            gid=f"mark-{mark.name.replace('_', '-')}",
        )


def _arranged(
    x: list[float], wide: list[float], known: list[bool], width: float
) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Choose a row (0 the highest) and a side for each of a few words beside upright lines at x."""
    best: tuple[float, tuple[int, ...], tuple[str, ...]] | None = None
    for rows in permutations(range(len(x))):
        for sides in product(("left", "right"), repeat=len(x)):
            cost = 0.0
            for i, side in enumerate(sides):
                low, high = (x[i] + 4.0, x[i] + 4.0 + wide[i]) if side == "left" else (x[i] - 4.0 - wide[i], x[i] - 4.0)
                if not known[i]:
                    low, high = width - wide[i], width
                cost += 10.0 * (max(0.0, -low) + max(0.0, high - width)) + (side == "right")
                crossed = [
                    j for j in range(len(x)) if j != i and known[j] and rows[j] < rows[i] and low - 3 < x[j] < high + 3
                ]
                cost += 100.0 * len(crossed)
            if best is None or cost < best[0]:
                best = (cost, rows, sides)
    assert best is not None
    return best[1], best[2]
