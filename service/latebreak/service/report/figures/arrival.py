"""The plate as the catcher sees it: where throws arrive, and where the hitter expects them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle
from numpy.typing import NDArray

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Portrait, Zone
from latebreak.service.report.figures.canvas import Room, open_axes
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole
from latebreak.service.report.figures.plate import ALWAYS_FT, BALL_FT, draw_place, frame, name_axes, say_side
from latebreak.service.scenario.section import Hand

Array = NDArray[np.float64]

#: Share of the throws that the frame is cut to, percent (chosen).
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
    factor, colour = FEET.shown_in(units).factor, palette.colour(role)
    expected = _expected(portrait)
    arrives = np.array([portrait.thrown.side_ft[-1], portrait.thrown.height_ft[-1]])
    scatters: dict[PathRole, Array] = {
        "fastball": portrait.fastball_arrivals_ft[:_THROWS], role: portrait.arrivals_ft[:_THROWS],
    }  # fmt: skip
    shown = [ALWAYS_FT, arrives[None]]
    shown += [] if expected is None else [np.stack([expected.low, expected.high])]
    shown += [np.percentile(scatter, _SHARE, axis=0) for scatter in scatters.values() if len(scatter)]
    frame(ax, np.concatenate(shown), factor)
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
    draw_place(ax, labels, zone, factor, palette)
    say_side(ax, labels, bats, palette)
    if expected is not None:
        _draw_expected(ax, labels, expected, factor, palette)
        spot = labels.keep_off_dots(*(factor * expected.place[:, None]), radius=6.0, named=True)
    ax.add_patch(Circle(
        tuple(factor * arrives), factor * BALL_FT, facecolor=colour, edgecolor=palette.background, linewidth=1.2,
        zorder=5, gid="arrival",
    ))  # fmt: skip
    own = labels.keep_off_dots(*(factor * arrives[:, None]), radius=6.0, named=True)
    labels.put(f"{short(portrait.name)} arrives", own, colour, weight="bold")
    if expected is not None:
        labels.put("expected as he decides", spot, palette.marks)
    if len(clouds["fastball"]):
        labels.put(short(portrait.fastball), clouds["fastball"], palette.fastball)
    name_axes(ax, hand, units, palette)
    return ax


def _expected(portrait: Portrait) -> _Expected | None:
    """Where he expects it as he decides; None where no throw tells."""
    one = portrait.expectation
    place, low, high = (
        np.array([getattr(one, f"{axis}_{end}ft") for axis in ("side", "height")]) for end in ("", "low_", "high_")
    )
    return _Expected(place, low, high) if np.isfinite([place, low, high]).all() else None


def _draw_expected(ax: Axes, labels: Labels, expected: _Expected, factor: float, palette: Palette) -> None:
    """Draw a hollow ball, and a cross over most of the throws."""
    (x, y), (left, low), (right, high) = (tuple(factor * one) for one in (expected.place, expected.low, expected.high))
    for xs, ys, way in (([left, right], [y, y], "side"), ([x, x], [low, high], "height")):
        ax.plot(xs, ys, color=palette.marks, linewidth=1.0, zorder=4, gid=f"expected-{way}")
        labels.keep_off(xs, ys)
    ax.add_patch(
        Circle(
            (x, y), factor * BALL_FT, facecolor=palette.background, edgecolor=palette.marks, linewidth=1.8, zorder=4.5,
            gid="expected",
        )
    )  # fmt: skip
