"""Where to aim: what the pitch does at every target, over the zone as the catcher sees it."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES, Reader, Wording, value_of
from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.aim import AimResult, Target
from latebreak.service.questions.aim_words import place_of
from latebreak.service.questions.portrait import Zone
from latebreak.service.questions.target_search import BALL
from latebreak.service.report.figures.canvas import TICKS, Room, open_axes, pixels_per_point, write
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.now_and_best import draw_best, draw_now
from latebreak.service.report.figures.palette import LIGHT, Palette, PathRole
from latebreak.service.report.figures.plate import ALWAYS_FT, draw_place, frame, name_axes, say_side
from latebreak.service.scenario.section import Hand

Array = NDArray[np.float64]

#: Sides of the smallest and of the largest square, of the distance between targets (chosen: all are seen, none touch).
_SMALLEST, _LARGEST = 0.15, 0.92
_CORNERS = 0.5 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]])


def aim_plot(
    result: AimResult,
    zone: Zone,
    *,
    hand: Hand,
    bats: Hand,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw the measure at every target as a square, the larger the more, as the catcher sees the plate.

    A star stands at the best target, a ring where the pitch is aimed now; where that is best, the star alone.

    Parameters
    ----------
    result : AimResult
        What was found out; lengths in ft. A place without a value has no square.
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
    ax = open_axes(ax, palette, Room(height=420.0, top=40.0))
    factor = FEET.shown_in(units).factor
    known = [(one.target_side_ft, one.target_height_ft, one.value) for one in result.grid if one.value is not None]
    places, values = np.array([one[:2] for one in known]).reshape(-1, 2), np.array([one[2] for one in known])
    targets = np.array([[one.target_side_ft, one.target_height_ft] for one in (result.now, result.best)])
    frame(ax, np.concatenate([ALWAYS_FT, places - 0.5 * BALL, places + 0.5 * BALL, targets]), factor)
    labels = Labels(ax)
    reader = Reader(units, hand)
    wording = value_of(QUANTITIES[result.measure], reader)
    if known:
        _draw_squares(ax, labels, factor * places, values, factor * BALL, palette.colour(role))
        low, high = (wording.say(float(one)) for one in (values.min(), values.max()))
        brief = f"{QUANTITIES[result.measure].brief}, {low} to {high}"
        for row, words in enumerate(("The larger a square, the more:", brief)):
            text = write(ax, 0.0, 1.0, words, palette.muted, size=TICKS, of_axes=True)
            text.set_position((0.0, 1.0 + (24.0 - 16.0 * row) * pixels_per_point(ax) / ax.bbox.height))
    draw_place(ax, labels, zone, factor, palette)
    say_side(ax, labels, bats, palette)
    spots = {}
    if result.best != result.now:
        draw_now(ax, factor * targets[0], palette, name="now")
        spots["now"] = labels.keep_off_dots(*(factor * targets[:1].T), radius=8.0, named=True)
    draw_best(ax, factor * targets[1], palette, name="best")
    spots["best" if spots else "now and best"] = labels.keep_off_dots(*(factor * targets[1:].T), radius=8.0, named=True)
    for said, spot in spots.items():
        target = result.now if said == "now" else result.best
        labels.put(
            _words(said, target, wording, reader), spot, palette.text, weight="bold" if "best" in said else "normal"
        )
    name_axes(ax, hand, units, palette)
    return ax


def _draw_squares(ax: Axes, labels: Labels, places: Array, values: Array, apart: float, colour: str) -> None:
    """Draw a square at each place, the side linear in the value; all of them are one path."""
    low, high = values.min(), values.max()
    share = (values - low) / (high - low) if high > low else np.ones_like(values)
    side = apart * (_SMALLEST + (_LARGEST - _SMALLEST) * share)
    corners = places[:, None] + side[:, None, None] * _CORNERS
    codes = np.tile([Path.MOVETO, Path.LINETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY], len(places))
    path = Path(corners.reshape(-1, 2), codes)
    ax.add_patch(PathPatch(path, facecolor=colour, edgecolor="none", zorder=1.0, gid="squares"))
    for x, y in zip(*(places[:, None] + apart * _CORNERS).transpose(2, 0, 1), strict=True):
        labels.keep_off(x, y)


def _words(said: str, target: Target, wording: Wording, reader: Reader) -> str:
    """Say what stands there in rows: which it is and the measure, then the place."""
    value = wording.say(target.estimate.value)
    return f"{said}: {value}\n" + place_of(target, reader).replace(", ", "\n")
