"""The paths seen from above."""

from __future__ import annotations

from matplotlib.axes import Axes

from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions.portrait import Portrait
from latebreak.service.report.figures.canvas import Room, open_axes, set_ticks, write_beside
from latebreak.service.report.figures.moments import Estimates
from latebreak.service.report.figures.palette import LIGHT, Palette, PathRole
from latebreak.service.report.figures.paths import PLATE_FT, draw_distance, draw_paths
from latebreak.service.scenario.section import Hand


def top_view(
    portrait: Portrait,
    estimates: Estimates,
    *,
    hand: Hand,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw a pitch from above beside the fastball: side over the distance from the plate.

    The ball flies to the right, so that what is to the catcher's right is above. Sides are drawn larger than
    distances. Bands hold 5 to 95 % of the throws.

    Parameters
    ----------
    portrait : Portrait
        The pitch; lengths in ft.
    estimates : mapping of str to Estimate
        Its estimates of `compare`: where it separates and where its break appears.
    hand : {"right", "left"}
        The pitcher's hand.
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
        With x = distance from the plate's front edge, falling to the right, and y = side, positive to the catcher's
        right, in ft or m.
    """
    ax = open_axes(ax, palette, Room(height=290.0))
    half = 0.5 * PLATE_FT
    draw_paths(ax, portrait, estimates, "side", (-half, half), role, units, palette)
    scale = FEET.shown_in(units)
    corner = scale.factor * half
    # front edge, then along the sides and the slanting edges to the back point
    ax.fill(
        [0.0, -corner, -2.0 * corner, -corner, 0.0], [corner, corner, 0.0, -corner, -corner],
        facecolor=palette.background, edgecolor=palette.muted, linewidth=1.2, zorder=2, gid="plate",
    )  # fmt: skip
    draw_distance(ax, units, palette)
    set_ticks(ax, "y", *ax.get_ylim(), 6)
    below, above = ("arm side", "glove side") if hand == "right" else ("glove side", "arm side")
    write_beside(ax, palette, f"{below}  -  {scale.symbol}  -  {above}")
    return ax
