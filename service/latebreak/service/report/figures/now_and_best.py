"""The marks of what is so now and of what is best: a ring and a star, which differ in shape and not in colour."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from latebreak.service.report.figures.palette import Palette

Array = NDArray[np.float64]


def draw_now(ax: Axes, place: Array, palette: Palette, *, name: str | None = None, of_axes: bool = False) -> None:
    """Draw a ring, at a place of the data or at shares of the axes."""
    _draw(ax, place, "o", 11.0, palette.background, palette.text, 2.0, name, of_axes)


def draw_best(ax: Axes, place: Array, palette: Palette, *, name: str | None = None, of_axes: bool = False) -> None:
    """Draw a filled star, at a place of the data or at shares of the axes."""
    _draw(ax, place, "*", 17.0, palette.text, palette.background, 1.2, name, of_axes)


def _draw(
    ax: Axes, place: Array, marker: str, size: float, fill: str, edge: str, width: float, name: str | None,
    of_axes: bool,
) -> None:  # fmt: skip
    ax.plot(
        *place[:, None], linestyle="", marker=marker, markersize=size, markerfacecolor=fill, markeredgecolor=edge,
        markeredgewidth=width, zorder=5 + (marker == "*"), gid=name, clip_on=False, scalex=False, scaley=False,
        transform=ax.transAxes if of_axes else ax.transData,
    )  # fmt: skip
