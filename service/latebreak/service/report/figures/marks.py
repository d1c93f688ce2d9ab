"""Moments of a pitch that figures mark: break onset, separation from the fastball's line, commit point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations, product
from math import isfinite

import numpy as np
from matplotlib.axes import Axes

from latebreak.service.quantities import HIDES
from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Portrait, Track
from latebreak.service.report.figures.canvas import TICKS, pixels_per_point, write
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.palette import Palette

Estimates = Mapping[str, Estimate]

#: Height of a row of words, points.
ROW = 15.0
#: An event that fewer throws reach is one that the median throw does not reach, percent.
_MEDIAN = 50.0
_EVENTS = {
    "break_onset": ("break onset", "^"),
    HIDES: ("separation", "D"),
}


@dataclass(frozen=True)
class Mark:
    """A moment.

    Attributes
    ----------
    name : str
        "break_onset", `HIDES` or "commit".
    label : str
        As people say it.
    symbol : str
        Marker that stands for it.
    away_ft : float or None
        Distance from the plate's front edge; None where it never comes.
    after_release_ms : float or None
        Time after release.
    low_ft, high_ft : float or None
        90 % interval of the distance.
    """

    name: str
    label: str
    symbol: str
    away_ft: float | None
    after_release_ms: float | None
    low_ft: float | None = None
    high_ft: float | None = None

    def words(self, units: Units) -> str:
        """Say what it is and how far from the plate."""
        if self.away_ft is None:
            return f"{self.label}: never"
        scale = FEET.shown_in(units)
        said = f"{self.label} {scale.factor * self.away_ft:.1f} {scale.symbol}"
        if self.low_ft is None or self.high_ft is None or not (isfinite(self.low_ft) and isfinite(self.high_ft)):
            return said
        return f"{said} ({scale.factor * self.low_ft:.1f} to {scale.factor * self.high_ft:.1f})"


def marks_of(portrait: Portrait, estimates: Estimates) -> list[Mark]:
    """Return the moments of a pitch; one that no throw can tell (no throw arrived, no estimate) is left out."""
    found = []
    for name, (label, symbol) in _EVENTS.items():
        away, after = (estimates.get(f"{name}_{end}") for end in ("ft", "after_release_ms"))
        reached = estimates.get(f"{name}_reached_percent")
        if reached is not None and reached.value < _MEDIAN:
            found.append(Mark(name, label, symbol, None, None))
        elif away is not None and after is not None and isfinite(away.value) and isfinite(after.value):
            found.append(Mark(name, label, symbol, away.value, after.value, away.low, away.high))
    track = portrait.thrown
    if isfinite(portrait.commit_ms):
        away_ft = float(np.interp(portrait.commit_ms, track.time_ms, track.from_plate_ft))
        found.append(Mark("commit", "commit point", "s", away_ft, portrait.commit_ms))
    return found


def at_distance(track: Track, values: np.ndarray[tuple[int, ...], np.dtype[np.float64]], away_ft: float) -> float:
    """Return what a track has at a distance from the plate."""
    return float(np.interp(away_ft, track.from_plate_ft[::-1], values[::-1]))


def write_marks(
    ax: Axes, labels: Labels, marks: Sequence[Mark], at: Sequence[tuple[float, float]], units: Units, palette: Palette
) -> None:
    """Draw marks at places of the data and write each above it, in a row of its own at the top of the axes.

    A thin line joins a mark to its words. Rows and sides are chosen so that no such line runs through words.
    """
    height, width = (size / pixels_per_point(ax) for size in (ax.bbox.height, ax.bbox.width))
    left = [(ax.transData.transform(place)[0] - ax.bbox.x0) / pixels_per_point(ax) for place in at]
    texts = [write(ax, 0.0, 0.0, mark.words(units), palette.marks, size=TICKS, of_axes=True) for mark in marks]
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
