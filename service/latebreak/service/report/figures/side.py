"""The paths seen from the side."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Portrait, Zone
from latebreak.service.report.figures.canvas import TICKS, Room, open_axes, set_ticks, write_beside
from latebreak.service.report.figures.moments import Estimates
from latebreak.service.report.figures.palette import LIGHT, Palette, PathRole
from latebreak.service.report.figures.paths import PLATE_FT, draw_distance, draw_paths


def side_view(
    portrait: Portrait,
    estimates: Estimates,
    *,
    zone: Zone | None = None,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw a pitch from the side beside the fastball: height over the distance from the plate.

    Heights are drawn larger than distances. Bands hold 5 to 95 % of the throws.

    Parameters
    ----------
    portrait : Portrait
        The pitch; lengths in ft.
    estimates : mapping of str to Estimate
        Its estimates of `compare`: where it separates and where its break appears.
    zone : Zone, optional
        The strike zone, ft.
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
        With x = distance from the plate's front edge, falling to the right, and y = height, in ft or m.
    """
    ax = open_axes(ax, palette, Room(height=300.0))
    labels = draw_paths(ax, portrait, estimates, "height", (0.0, 5.0), role, units, palette)
    scale = FEET.shown_in(units)
    ax.plot([-scale.factor * PLATE_FT, 0.0], [0.0, 0.0], color=palette.text, linewidth=5.0, solid_capstyle="butt")
    if zone is not None:
        low, high = scale.factor * zone.low_ft, scale.factor * zone.high_ft
        ax.plot([0.0, 0.0], [low, high], color=palette.muted, linewidth=1.2, gid="zone")
        labels.put("strike zone", labels.keep_off([0.0, 0.0], [low, high]), palette.muted, size=TICKS, towards=0.0)
    draw_distance(ax, units, palette)
    highest = max(float(np.max(track.height_ft)) for track in (portrait.thrown, portrait.beside))
    set_ticks(ax, "y", 0.0, scale.factor * (highest + 0.5), 6)
    write_beside(ax, palette, f"height, {scale.symbol}")
    return ax
