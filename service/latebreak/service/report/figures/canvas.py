"""What all figures share: size, letters, axes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Polygon
from matplotlib.text import Text
from matplotlib.ticker import FixedFormatter, FixedLocator, MaxNLocator
from matplotlib.transforms import ScaledTranslation
from numpy.typing import NDArray

from latebreak.service.report.figures.palette import LOOKS, Palette, PathRole

Array = NDArray[np.float64]

#: Width of a figure, points, which are pixels where it fills a column of a phone.
WIDTH = 420.0
_INCH = 72.0  # points
#: Letters, points: words, and axes (chosen: they are 10 px on a phone that is 360 px wide, and still readable).
WORDS, TICKS = 12.5, 12.0
#: The font that comes with matplotlib: widths are measured in it.
FONT = "DejaVu Sans"
#: Width of a letter, of its size: a digit of that font.
_LETTER = 0.64
#: How much a spread covers of what is below it (chosen).
BAND_ALPHA = 0.16


@dataclass(frozen=True)
class Room:
    """Height of a figure and the room around its axes, points."""

    height: float
    left: float = 40.0
    right: float = 10.0
    top: float = 8.0
    bottom: float = 38.0


def open_axes(ax: Axes | None, palette: Palette, room: Room) -> Axes:
    """Return axes in the colours of a palette: those that are given, or those of a new figure.

    The figure belongs to no window, so nothing must be closed, and threads don't meet.
    """
    if ax is None:
        figure = Figure(figsize=(WIDTH / _INCH, room.height / _INCH), dpi=_INCH, facecolor=palette.background)
        FigureCanvasAgg(figure)
        across, up = WIDTH - room.left - room.right, room.height - room.top - room.bottom
        ax = figure.add_axes(
            (room.left / WIDTH, room.bottom / room.height, across / WIDTH, up / room.height), facecolor="none"
        )
    ax.set_facecolor("none")
    ax.set_axisbelow(True)
    for side, spine in ax.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set_color(palette.muted)
        spine.set_linewidth(0.8)
    ax.tick_params(
        color=palette.muted, labelcolor=palette.muted, labelsize=TICKS, labelfontfamily=FONT, length=3, width=0.8, pad=2
    )
    return ax


def pixels_per_point(ax: Axes) -> float:
    """Pixels of the figure as it is now, per point."""
    return float(ax.figure.dpi) / _INCH


def write(
    ax: Axes,
    x: float,
    y: float,
    words: str,
    colour: str,
    *,
    size: float = WORDS,
    ha: str = "left",
    va: str = "baseline",
    weight: str = "normal",
    rotation: float = 0.0,
    of_axes: bool = False,
) -> Text:
    """Write words as they are, never as mathematics; at a place of the data, or at shares of the axes."""
    return ax.text(
        x,
        y,
        words,
        color=colour,
        fontsize=size,
        fontfamily=FONT,
        fontweight=weight,
        ha=ha,
        va=va,
        rotation=rotation,
        rotation_mode="anchor",
        transform=ax.transAxes if of_axes else ax.transData,
        parse_math=False,
    )


def write_below(ax: Axes, palette: Palette, words: tuple[str, str, str]) -> None:
    """Name the axis across: words at its left end, in its middle, at its right end."""
    for place, ha, one in zip((0.0, 0.5, 1.0), ("left", "center", "right"), words, strict=True):
        if one:
            _name_axis(ax, palette, one, (place, 0.0), (0.0, -33.0), ha=ha)


def write_beside(ax: Axes, palette: Palette, words: str, away: float = 28.0) -> None:
    """Name the axis up; `away` from it, points."""
    _name_axis(ax, palette, words, (0.0, 0.5), (-away, 0.0), rotation=90.0)


def _name_axis(
    ax: Axes,
    palette: Palette,
    words: str,
    place: tuple[float, float],
    away: tuple[float, float],
    *,
    ha: str = "center",
    rotation: float = 0.0,
) -> None:
    """Write words at shares of the axes, `away` from there in points."""
    text = ax.annotate(
        words, place, away, xycoords="axes fraction", textcoords="offset points", color=palette.muted, fontsize=TICKS,
        fontfamily=FONT, ha=ha, va="baseline", rotation=rotation, rotation_mode="anchor",
    )  # fmt: skip
    text.set_parse_math(False)


def set_ticks(ax: Axes, axis: str, low: float, high: float, most: int, *, words: tuple[str, str] | None = None) -> None:
    """Put round ticks between two values, less than zero and more than zero told by words in place of a sign."""
    ticks = round_ticks(low, high, most)
    digits = max((len(f"{tick:.4f}".rstrip("0").partition(".")[2]) for tick in ticks), default=0)
    below, above = words or ("", "")
    named = [(tick, f"{abs(tick):.{digits}f}{below * (tick < 0.0)}{above * (tick > 0.0)}") for tick in ticks]
    if axis == "x":
        named = [(tick, name) for tick, name in named if _has_room(ax, tick, name)]
    name_ticks(ax, axis, [tick for tick, _ in named], [name for _, name in named])


def _has_room(ax: Axes, tick: float, name: str) -> bool:
    """Whether the name of a tick is within the figure, for letters as wide as the widest digits."""
    middle, half = ax.transData.transform((tick, 0.0))[0], 0.5 * _LETTER * TICKS * len(name) * pixels_per_point(ax)
    return bool(ax.figure.bbox.x0 <= middle - half and middle + half <= ax.figure.bbox.x1)


def round_ticks(low: float, high: float, most: int) -> list[float]:
    """Return round numbers from low to high, both in any order; about `most` of them."""
    low, high = sorted((low, high))
    found = MaxNLocator(most, steps=[1, 2, 5, 10]).tick_values(low, high)
    return [0.0 if abs(tick) < 1e-9 else float(tick) for tick in found if low - 1e-9 <= tick <= high + 1e-9]


def name_ticks(ax: Axes, axis: str, ticks: Sequence[float], names: Sequence[str]) -> None:
    """Put ticks at values, named so."""
    one = ax.xaxis if axis == "x" else ax.yaxis
    one.set_major_locator(FixedLocator(list(ticks)))
    one.set_major_formatter(FixedFormatter(list(names)))


def with_plain_ticks(ax: Axes) -> None:
    """Replace the ticks of axes that will not change any more by a line and words that look the same.

    matplotlib keeps eight objects for a tick; without them a figure is written in three quarters of the time.
    """
    page = ax.figure.dpi_scale_trans
    for across in (True, False):
        axis = ax.xaxis if across else ax.yaxis
        locator, formatter = axis.get_major_locator(), axis.get_major_formatter()
        if not (isinstance(locator, FixedLocator) and isinstance(formatter, FixedFormatter)):
            continue
        axis.set_visible(False)
        low, high = sorted(axis.get_view_interval())
        ticks = zip(locator.tick_values(low, high), formatter.seq, strict=True)
        named = [(float(at), name) for at, name in ticks if low <= at <= high]
        if not named:
            continue
        params = axis.get_tick_params()
        colour, away = ax.spines["bottom"].get_edgecolor(), (params["length"] + params["pad"]) / _INCH
        to_page = ax.get_xaxis_transform() if across else ax.get_yaxis_transform()
        to_words = to_page + ScaledTranslation(0.0 if across else -away, -away if across else 0.0, page)
        places = [(at, 0.0) if across else (0.0, at) for at, _ in named]
        # markers 3 and 0: a stroke down, a stroke to the left
        marks = Line2D(
            *zip(*places, strict=True), linestyle="", marker=3 if across else 0, color=colour,
            markersize=params["length"], markeredgewidth=params["width"], transform=to_page, clip_on=False,
        )  # fmt: skip
        ax.add_artist(marks)
        for (x, y), (_, name) in zip(places, named, strict=True):
            ax.add_artist(Text(
                x, y, name, color=params["labelcolor"], fontsize=params["labelsize"], fontfamily=FONT,
                ha="center" if across else "right", va="top" if across else "center_baseline",
                transform=to_words, parse_math=False, clip_on=False,
            ))  # fmt: skip


def draw_band(ax: Axes, x: Array, low: Array, high: Array, colour: str, role: PathRole, name: str) -> None:
    """Fill between two lines; the edge is dashed as the role's line is, but thin."""
    corners = np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([low, high[::-1]])])
    ax.add_patch(Polygon(
        corners, facecolor=(colour, BAND_ALPHA), edgecolor=colour, linewidth=0.6, linestyle=dashes_of(role), gid=name,
        closed=True,
    ))  # fmt: skip


def dashes_of(role: PathRole) -> str | tuple[float, tuple[float, ...]]:
    """Return the line style of a role as matplotlib takes it."""
    dashes = LOOKS[role].dashes
    return "-" if dashes is None else (0.0, dashes)
