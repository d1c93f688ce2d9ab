"""Paths of a pitch and of the fastball beside it, over the distance from the plate, with their spread and marks."""

from __future__ import annotations

from typing import Literal

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Portrait, Spread, Track
from latebreak.service.report.figures.canvas import dashes_of, draw_band, set_ticks, write_below
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.marks import ROW, at_distance, marks_of, write_marks
from latebreak.service.report.figures.moments import Estimates
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LOOKS, Palette, PathRole

Array = NDArray[np.float64]
Direction = Literal["side", "height"]

#: Depth of the plate, 17 in (Official Baseball Rules, as quoted by others); what is shown behind its front edge, ft.
PLATE_FT = 17.0 / 12.0
_BEHIND_FT = 1.7


def draw_paths(
    ax: Axes,
    portrait: Portrait,
    estimates: Estimates,
    direction: Direction,
    always: tuple[float, float],
    role: PathRole,
    units: Units,
    palette: Palette,
) -> Labels:
    """Draw the paths, their spread and the marks, and name them.

    Parameters
    ----------
    ax : Axes
        Where.
    portrait : Portrait
        What.
    estimates : mapping of str to Estimate
        Of `compare`, for the marks.
    direction : {"side", "height"}
        What is shown over the distance from the plate.
    always : tuple of float
        What the axis up shows at least, ft.
    role : str
        Of the pitch.
    units, palette
        As everywhere.

    Returns
    -------
    Labels
        Where the words stand.
    """
    scale = FEET.shown_in(units).factor
    tracks: dict[PathRole, Track] = {role: portrait.thrown, "fastball": portrait.beside}
    spreads: dict[PathRole, Spread] = {role: portrait.thrown_spread, "fastball": portrait.beside_spread}
    values = {which: getattr(track, f"{direction}_ft") for which, track in tracks.items()}
    bands = {
        which: (spread.from_plate_ft, getattr(spread, f"{direction}_low_ft"), getattr(spread, f"{direction}_high_ft"))
        for which, spread in spreads.items()
    }
    marks = marks_of(portrait, estimates)
    everything = [*values.values(), *(one for band in bands.values() for one in band[1:]), np.array(always)]
    farthest = max(track.from_plate_ft[0] for track in tracks.values())
    _set_limits(ax, np.concatenate(everything), farthest, ROW * len(marks), scale)
    labels = Labels(ax)
    labels.keep_off([0.0, 0.0], ax.get_ylim())  # there stand the plate and the ends of the bands
    lines = {}
    for which in ("fastball", role):
        colour, look = palette.colour(which), LOOKS[which]
        if which in bands and len(bands[which][0]):
            away, low, high = (scale * one for one in bands[which])
            draw_band(ax, away, low, high, colour, which, f"spread-{which}")
            labels.keep_off(away, low)
            labels.keep_off(away, high)
        away, value = scale * tracks[which].from_plate_ft, scale * values[which]
        ax.plot(
            away, value, color=colour, linewidth=look.width, linestyle=dashes_of(which), dash_capstyle="butt",
            solid_capstyle="butt", zorder=4 if which == role else 3, gid=which,
        )  # fmt: skip
        lines[which] = labels.keep_off(away, value, named=True)
    at = [
        (scale * away_ft, scale * at_distance(portrait.thrown, values[role], away_ft))
        for away_ft in (mark.away_ft or 0.0 for mark in marks)
    ]
    write_marks(ax, labels, marks, at, units, palette)
    labels.put(short(portrait.name), lines[role], palette.colour(role), weight="bold", towards=0.75)
    labels.put(short(portrait.fastball), lines["fastball"], palette.fastball, towards=0.75)
    return labels


def draw_distance(ax: Axes, units: Units, palette: Palette) -> None:
    """Name the axis across: the pitcher to the left, the plate to the right."""
    scale = FEET.shown_in(units)
    set_ticks(ax, "x", 0.0, ax.get_xlim()[0], 6)
    write_below(ax, palette, ("rubber side", f"from the plate, {scale.symbol}", "plate"))


def _set_limits(ax: Axes, values: Array, farthest: float, reserved: float, scale: float) -> None:
    """Leave room for rows of words (points) above the values, ft."""
    low, high = float(np.nanmin(values)), float(np.nanmax(values))
    height = ax.bbox.height * 72.0 / ax.figure.dpi
    margin = 0.04 * (high - low)
    top = low + (high - low + margin) * height / max(height - reserved, 0.4 * height)
    ax.set_xlim(scale * (farthest + 0.3), -scale * _BEHIND_FT)
    ax.set_ylim(scale * (low - margin * (low < 0.0)), scale * top)
