"""Words beside lines: each as near to its line as it can be without covering anything."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.text import Text
from numpy.typing import ArrayLike, NDArray

from latebreak.service.report.figures.canvas import WORDS, pixels_per_point, write

Array = NDArray[np.float64]
Box = tuple[float, float, float, float]

#: Points: size of a cell of the map of what is taken, space around words, and between words and their line from which
#: on a thin line leads to it (all chosen).
_CELL, _SPACE, _FAR = 2.0, 2.0, 12.0
#: Cost of a cell that is covered, and of words nearer to another line than to their own, per point.
_COVERED, _DOUBT = 40.0, 3.0
#: Places that are weighed against all lines.
_LOOKED_AT = 300


class Labels:
    """Places words in axes whose limits are final.

    Parameters
    ----------
    ax : Axes
        Where.
    """

    def __init__(self, ax: Axes) -> None:
        self._ax = ax
        ax.apply_aspect()
        self._scale = pixels_per_point(ax)
        inside = ax.bbox
        self._origin = np.array([inside.x0, inside.y0])
        self._size = np.array([inside.width, inside.height]) / self._scale
        self._taken = np.zeros(np.ceil(self._size / _CELL).astype(int) + 1, dtype=bool)
        self._lines: list[Array] = []

    def keep_off(self, x: ArrayLike, y: ArrayLike, *, named: bool = False) -> Array:
        """Keep words off a line through points of the data; `named` where words will tell what it is.

        Returns
        -------
        float64 array, shape (n, 2)
            Places along it, points from the axes' lower left corner.
        """
        places = self._points(np.column_stack([np.atleast_1d(x), np.atleast_1d(y)]))
        self._take(places)
        if named:
            self._lines.append(places)
        return places

    def keep_off_dots(self, x: ArrayLike, y: ArrayLike, *, radius: float = 1.0, named: bool = False) -> Array:
        """Keep words off dots at points of the data, `radius` points large; returns their places as `keep_off` does."""
        places = self._pixels_to_points(self._ax.transData.transform(np.column_stack([x, y])))
        around = np.arange(-radius, radius + 1e-6, _CELL)
        for across in around:
            for up in around:
                self._take(places + np.array([across, up]))
        if named and len(places):
            self._lines.append(places)
        return places

    def keep_off_box(self, box: Box) -> None:
        """Keep words off a box: left, bottom, right, top, points from the axes' lower left corner."""
        left, bottom, right, top = (int(max(0.0, side) // _CELL) for side in box)
        self._taken[left : right + 1, bottom : top + 1] = True

    def keep_off_words(self, text: Text) -> None:
        """Keep words off words."""
        self.keep_off_box(self.box_of(text))

    def box_of(self, text: Text) -> Box:
        """Return the box of words, points from the axes' lower left corner."""
        box = text.get_window_extent()
        (left, bottom), (right, top) = (
            (np.array(corner) - self._origin) / self._scale for corner in ((box.x0, box.y0), (box.x1, box.y1))
        )
        return float(left), float(bottom), float(right), float(top)

    def put(
        self, words: str, line: Array, colour: str, *, size: float = WORDS, weight: str = "normal", towards: float = 0.5
    ) -> None:
        """Put words beside a line.

        Parameters
        ----------
        words : str
            One row, or several.
        line : float64 array, shape (n, 2)
            As `keep_off` returned it; nothing is put beside a line without a place.
        colour : str
            Of the words.
        size : float
            Of the letters, points.
        weight : str
            Of the letters.
        towards : float
            Where along the line they would best stand, 0 to 1.
        """
        if not len(line):
            return
        text = write(self._ax, 0.0, 0.0, words, colour, size=size, weight=weight, va="bottom")
        left, bottom, right, top = self.box_of(text)
        size_of = np.array([right - left, top - bottom])
        corner, far = self._best(size_of, line, line[round(towards * (len(line) - 1))])
        self._stand(text, corner, size_of)
        if far > _FAR:
            self._lead(corner, size_of, line, colour)

    def _best(self, size: Array, line: Array, middle: Array) -> tuple[Array, float]:
        """Return the best lower left corner for words of a size, and how far they then are from their line."""
        corners = self._corners(size)
        to_own = _distance(corners, size, line)
        cost = to_own + _COVERED * self._covered(corners, size) + 0.05 * np.hypot(*(corners + 0.5 * size - middle).T)
        few = np.argsort(cost, kind="stable")[:_LOOKED_AT]
        others = [_distance(corners[few], size, other) for other in self._lines if other is not line]
        if others:
            cost[few] += _DOUBT * np.maximum(0.0, to_own[few] - np.min(others, axis=0) + 4.0)
        best = int(few[np.argmin(cost[few])])
        return corners[best], float(to_own[best])

    def _take(self, places: Array) -> None:
        cells = np.floor(places / _CELL).astype(int)
        inside = ((cells >= 0) & (cells < self._taken.shape)).all(axis=1)
        self._taken[tuple(cells[inside].T)] = True

    def _stand(self, text: Text, corner: Array, size: Array) -> None:
        text.set_position(tuple(self._ax.transData.inverted().transform(self._pixels(corner))))
        self.keep_off_box((corner[0], corner[1], *(corner + size)))

    def _lead(self, corner: Array, size: Array, line: Array, colour: str) -> None:
        """Draw a thin line from words to the nearest place of their line."""
        nearest = line[np.argmin(np.hypot(*(line - np.clip(line, corner, corner + size)).T))]
        ends = np.stack([np.clip(nearest, corner, corner + size), nearest])
        x, y = self._ax.transData.inverted().transform(self._pixels(ends)).T
        self._ax.plot(x, y, color=colour, linewidth=0.6, solid_capstyle="butt", zorder=1.5)

    def _corners(self, size: Array) -> Array:
        """Lower left corners that words may have within the axes."""
        room = np.maximum(self._size - size - 2.0 * _SPACE, 0.0)
        across, up = (np.arange(_SPACE, _SPACE + one + 1e-6, 2.0 * _CELL) for one in room)
        return np.stack(np.meshgrid(across, up, indexing="ij"), axis=-1).reshape(-1, 2)

    def _covered(self, corners: Array, size: Array) -> Array:
        """Cells that are taken where words would stand, with a space around them."""
        sums = np.zeros(np.array(self._taken.shape) + 1)
        sums[1:, 1:] = self._taken.cumsum(axis=0).cumsum(axis=1)
        low = np.clip(np.floor((corners - _SPACE) / _CELL).astype(int), 0, self._taken.shape)
        high = np.clip(np.floor((corners + size + _SPACE) / _CELL).astype(int) + 1, 0, self._taken.shape)
        (x0, y0), (x1, y1) = low.T, high.T
        return np.asarray(sums[x1, y1] - sums[x0, y1] - sums[x1, y0] + sums[x0, y0])

    def _points(self, data: Array) -> Array:
        """Places along a line, points: near enough for no cell to be missed."""
        ends = self._pixels_to_points(self._ax.transData.transform(data))
        ends = ends[np.isfinite(ends).all(axis=1)]
        if len(ends) < 2:
            return ends
        inside = np.clip(ends, -50.0, self._size + 50.0)
        way = np.concatenate([[0.0], np.hypot(*np.diff(inside, axis=0).T).cumsum()])
        at = np.linspace(0.0, way[-1], max(2, int(way[-1] / (0.8 * _CELL))))
        return np.stack([np.interp(at, way, inside[:, 0]), np.interp(at, way, inside[:, 1])], axis=1)

    def _pixels_to_points(self, pixels: Array) -> Array:
        return np.asarray((pixels - self._origin) / self._scale)

    def _pixels(self, points: Array) -> Array:
        return np.asarray(points * self._scale + self._origin)


def _distance(corners: Array, size: Array, line: Array) -> Array:
    """Distance of boxes from a line, points."""
    if not len(line):
        return np.zeros(len(corners))
    some = line[:: max(1, len(line) // 30)]
    across, up = (
        np.abs(corners[:, None, axis] + 0.5 * size[axis] - some[:, axis]) - 0.5 * size[axis] for axis in (0, 1)
    )
    np.maximum(across, 0.0, out=across)
    np.maximum(up, 0.0, out=up)
    return np.asarray(np.sqrt((across**2 + up**2).min(axis=1)))
