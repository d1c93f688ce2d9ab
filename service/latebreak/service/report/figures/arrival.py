"""The plate as the catcher sees it: where throws arrive, and where the hitter expects them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Rectangle
from numpy.typing import NDArray

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Portrait, Zone
from latebreak.service.report.figures.canvas import TICKS, Room, open_axes, set_ticks, write, write_below, write_beside
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole
from latebreak.service.scenario.section import Hand

Array = NDArray[np.float64]

#: ft: radius of a ball of 9.125 in around, the middle of what the rules allow; half the width of the plate, 17 in
#: (both Official Baseball Rules; values from memory).
_BALL_FT, _PLATE_HALF_FT = 9.125 / (2.0 * np.pi) / 12.0, 17.0 / 24.0
#: What is always shown, ft: the ground, with room for words below the plate; the most that is shown; and the share of
#: the throws that the frame is cut to, percent (all chosen).
_ALWAYS_FT = np.array([[-1.4, -0.9], [1.4, 4.0]])
_MOST_FT = np.array([[-5.0, -1.5], [5.0, 8.0]])
_SHARE = (1.0, 99.0)
#: Throws that are drawn of each pitch: more would hide each other (chosen).
_THROWS = 150


@dataclass(frozen=True)
class _Expected:
    """Where the hitter expects the pitch as he decides, ft: side and height; 5 to 95 % of the throws."""

    place: Array
    low: Array
    high: Array


def arrival_plot(
    portrait: Portrait,
    zone: Zone,
    *,
    hand: Hand,
    bats: Hand,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw where throws of a pitch and of the fastball arrive, and where the hitter expects the pitch as he decides.

    Seen as catcher and hitter see it: to the right is the catcher's right. Balls are drawn to scale; the cross holds
    5 to 95 % of the throws.

    Parameters
    ----------
    portrait : Portrait
        The pitch; lengths in ft.
    zone : Zone
        The strike zone, ft.
    hand, bats : {"right", "left"}
        The pitcher's hand, and the side from which the hitter bats.
    role : {"thrown", "rival"}
        Whose colour the pitch has.
    units : {"us", "metric"}
        Feet, or metres.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = side, positive to the catcher's right, and y = height, in ft or m, at the same scale.
    """
    ax = open_axes(ax, palette, Room(height=370.0))
    unit = FEET.shown_in(units)
    factor, colour = unit.factor, palette.colour(role)
    expected = _expected(portrait)
    arrives = np.array([portrait.thrown.side_ft[-1], portrait.thrown.height_ft[-1]])
    scatters: dict[PathRole, Array] = {
        "fastball": portrait.fastball_arrivals_ft[:_THROWS], role: portrait.arrivals_ft[:_THROWS],
    }  # fmt: skip
    shown = [_ALWAYS_FT, arrives[None]]
    shown += [] if expected is None else [np.stack([expected.low, expected.high])]
    shown += [np.percentile(scatter, _SHARE, axis=0) for scatter in scatters.values() if len(scatter)]
    _frame(ax, np.concatenate(shown), factor)
    labels = Labels(ax)
    clouds = {}
    for which, scatter in scatters.items():
        dots = factor * scatter
        ax.plot(
            *dots.T, linestyle="", marker=LOOKS[which].marker, markersize=3.4 if which == role else 4.6,
            markeredgewidth=0.0 if which == role else 0.8, color=palette.colour(which), alpha=0.65, zorder=2,
            gid=f"arrivals-{which}",
        )  # fmt: skip
        clouds[which] = labels.keep_off_dots(*dots.T, named=True)
    _draw_place(ax, labels, zone, factor, palette)
    _stand(ax, labels, bats, palette)
    if expected is not None:
        _draw_expected(ax, labels, expected, factor, palette)
        spot = labels.keep_off_dots(*(factor * expected.place[:, None]), radius=6.0, named=True)
    ax.add_patch(Circle(
        tuple(factor * arrives), factor * _BALL_FT, facecolor=colour, edgecolor=palette.background, linewidth=1.2,
        zorder=5, gid="arrival",
    ))  # fmt: skip
    own = labels.keep_off_dots(*(factor * arrives[:, None]), radius=6.0, named=True)
    labels.put(f"{short(portrait.name)} arrives", own, colour, weight="bold")
    if expected is not None:
        labels.put("expected as he decides", spot, palette.marks)
    if len(clouds["fastball"]):
        labels.put(short(portrait.fastball), clouds["fastball"], palette.fastball)
    set_ticks(ax, "x", *ax.get_xlim(), 6)
    set_ticks(ax, "y", 0.0, ax.get_ylim()[1], 6)
    left, right = ("arm side", "glove side") if hand == "right" else ("glove side", "arm side")
    write_below(ax, palette, (left, f"catcher's view, {unit.symbol}", right))
    write_beside(ax, palette, f"height, {unit.symbol}")
    return ax


def _expected(portrait: Portrait) -> _Expected | None:
    """Where he expects it as he decides; None where no throw tells."""
    one = portrait.expectation
    place, low, high = (
        np.array([getattr(one, f"{axis}_{end}ft") for axis in ("side", "height")]) for end in ("", "low_", "high_")
    )
    return _Expected(place, low, high) if np.isfinite([place, low, high]).all() else None


def _frame(ax: Axes, shown: Array, factor: float) -> None:
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


def _draw_place(ax: Axes, labels: Labels, zone: Zone, factor: float, palette: Palette) -> None:
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


def _stand(ax: Axes, labels: Labels, bats: Hand, palette: Palette) -> None:
    """Say on which side the hitter stands: a right-handed one at the catcher's left."""
    place, ha = (0.01, "left") if bats == "right" else (0.99, "right")
    text = write(ax, place, 0.012, "hitter's side", palette.muted, size=TICKS, ha=ha, va="bottom", of_axes=True)
    labels.keep_off_words(text)


def _draw_expected(ax: Axes, labels: Labels, expected: _Expected, factor: float, palette: Palette) -> None:
    """Draw a hollow ball, and a cross over most of the throws."""
    (x, y), (left, low), (right, high) = (tuple(factor * one) for one in (expected.place, expected.low, expected.high))
    for xs, ys, way in (([left, right], [y, y], "side"), ([x, x], [low, high], "height")):
        ax.plot(xs, ys, color=palette.marks, linewidth=1.0, zorder=4, gid=f"expected-{way}")
        labels.keep_off(xs, ys)
    ax.add_patch(
        Circle(
            (x, y), factor * _BALL_FT, facecolor=palette.background, edgecolor=palette.marks, linewidth=1.8, zorder=4.5,
            gid="expected",
        )
    )  # fmt: skip
