"""What the catcher sees: the plate on the ground, the strike zone over it, and on which side the hitter stands."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Rectangle
from numpy.typing import NDArray

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Zone
from latebreak.service.report.figures.canvas import TICKS, set_ticks, write, write_below, write_beside
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.palette import Palette
from latebreak.service.scenario.section import Hand

Array = NDArray[np.float64]

#: ft: radius of a ball of 9.125 in around, the middle of what the rules allow; half the width of the plate, 17 in
#: (both Official Baseball Rules, as quoted by others).
BALL_FT, _PLATE_HALF_FT = 9.125 / (2.0 * np.pi) / 12.0, 17.0 / 24.0
#: What is always shown, ft: the ground, with room for words below the plate; and the most that is shown (both chosen).
ALWAYS_FT = np.array([[-1.4, -0.9], [1.4, 4.0]])
_MOST_FT = np.array([[-5.0, -1.5], [5.0, 8.0]])


def frame(ax: Axes, shown: Array, factor: float) -> None:
    """Show all that is given, ft, as far as it is shown at most, at one scale."""
    low = np.maximum(np.nanmin(shown, axis=0) - 0.1, _MOST_FT[0])
    high = np.minimum(np.nanmax(shown, axis=0) + 0.1, _MOST_FT[1])
    middle, size = 0.5 * (low + high), high - low
    box = np.array([ax.bbox.width, ax.bbox.height])
    size = np.maximum(size, box * (size / box).max())
    low[1], high[1] = low[1], low[1] + size[1]  # the ground stays below
    low[0], high[0] = middle[0] - 0.5 * size[0], middle[0] + 0.5 * size[0]
    ax.set_xlim(factor * low[0], factor * high[0])
    ax.set_ylim(factor * low[1], factor * high[1])
    ax.set_aspect("equal", adjustable="datalim")


def draw_place(ax: Axes, labels: Labels, zone: Zone, factor: float, palette: Palette) -> None:
    """Draw the strike zone, and the plate on the ground as it looks from behind."""
    corner = (factor * zone.left_ft, factor * zone.low_ft)
    wide, high = factor * (zone.right_ft - zone.left_ft), factor * (zone.high_ft - zone.low_ft)
    ax.add_patch(
        Rectangle(corner, wide, high, facecolor="none", edgecolor=palette.text, linewidth=1.3, zorder=3, gid="zone")
    )
    edge = labels.keep_off(
        [corner[0], corner[0] + wide, corner[0] + wide, corner[0], corner[0]],
        [corner[1] + high, corner[1] + high, corner[1], corner[1], corner[1] + high],
    )
    labels.put("strike zone", edge, palette.text, size=TICKS, towards=0.0)
    half = factor * _PLATE_HALF_FT
    x = np.array([-half, half, half, 0.0, -half, -half])
    y = -factor * np.array([0.0, 0.0, 0.12, 0.3, 0.12, 0.0])
    ax.fill(x, y, facecolor=palette.background, edgecolor=palette.text, linewidth=1.2, gid="plate")
    labels.keep_off(x, y)


def say_side(ax: Axes, labels: Labels, bats: Hand, palette: Palette) -> None:
    """Say on which side the hitter stands: a right-handed one at the catcher's left."""
    place, ha = (0.01, "left") if bats == "right" else (0.99, "right")
    text = write(ax, place, 0.012, "hitter's side", palette.muted, size=TICKS, ha=ha, va="bottom", of_axes=True)
    labels.keep_off_words(text)


def name_axes(ax: Axes, hand: Hand, units: Units, palette: Palette) -> None:
    """Put ticks along both axes, and say what they are and whose sides."""
    unit = FEET.shown_in(units)
    set_ticks(ax, "x", *ax.get_xlim(), 6)
    set_ticks(ax, "y", 0.0, ax.get_ylim()[1], 6)
    left, right = ("arm side", "glove side") if hand == "right" else ("glove side", "arm side")
    write_below(ax, palette, (left, f"catcher's view, {unit.symbol}", right))
    write_beside(ax, palette, f"height, {unit.symbol}")
