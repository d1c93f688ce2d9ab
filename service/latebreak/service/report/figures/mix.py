"""How often to throw each pitch: what the whole mix is worth against the share of each."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from matplotlib.axes import Axes

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.quantities.units import Units
from latebreak.service.questions.mix import MixResult
from latebreak.service.report.figures.canvas import (
    TICKS,
    Room,
    open_axes,
    pixels_per_point,
    set_ticks,
    write,
    write_below,
    write_beside,
)
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.now_and_best import draw_best, draw_now
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Dashes, Palette, Role

#: Colour and dashes of the pitches beside the fastball, in their order, as the page has them; more begin again.
_OTHERS: tuple[tuple[Role, Dashes], ...] = (
    ("thrown", LOOKS["thrown"].dashes),
    ("rival", LOOKS["rival"].dashes),
    ("thrown", (4.0, 1.0, 1.0, 1.0)),
    ("rival", (1.0, 1.0)),
    ("text", (6.0, 1.5)),
    ("text", (2.5, 1.0, 1.0, 1.0, 1.0, 1.0)),
    ("muted", None),
)
_WIDTH = 2.0  # points
#: Points above the axes where the key stands; between a mark and its words.
_KEY, _BESIDE = 16.0, 10.0


def mix_plot(
    result: MixResult,
    *,
    called: Callable[[str], str] = str,
    first: Sequence[str] = (),
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw what the whole mix is worth against the share of each pitch, the others in the best mix's proportions.

    On each curve a star stands at the best share, and a ring at today's.

    Parameters
    ----------
    result : MixResult
        What was found out.
    called : callable, optional
        Says what a pitch is called; default: by its key.
    first : sequence of str, optional
        Pitches that have the first looks, as beside this figure; the others go on from there.
    units : {"us", "metric"}
        Makes no difference: percent.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = share, percent, and y = strikes without contact per 100 pitches.
    """
    ax = open_axes(ax, palette, Room(height=300.0, left=46.0, top=32.0))
    values = np.concatenate([one.value for one in result.curves.values()])
    low, high = float(np.nanmin(values)), float(np.nanmax(values))
    room = max(0.12 * (high - low), 0.5)
    ax.set_xlim(-2.0, 102.0)
    ax.set_ylim(low - room, high + room)
    looks = _looks(result, first)
    labels, lines = Labels(ax), []
    for number, (name, curve) in enumerate(result.curves.items()):
        role, dashes = looks[name]
        # two mixes may have one share at the end, where the fastball keeps a step: the first has the best proportions
        shares, kept = np.unique(curve.share_percent, return_index=True)
        values = np.array(curve.value)[kept]
        ax.plot(
            shares, values, color=palette.colour(role), linewidth=_WIDTH,
            linestyle="-" if dashes is None else (0.0, dashes), zorder=3, gid=f"curve-{number}",
        )  # fmt: skip
        line = labels.keep_off(shares, values, named=True)
        lines.append((short(called(name)), line, palette.colour(role)))
        for said, mix, draw in (("now", result.today, draw_now), ("best", result.best, draw_best)):
            share = mix.shares_percent[name]
            if shares[0] <= share <= shares[-1]:
                value = float(np.interp(share, shares, values))
                draw(ax, np.array([share, value]), palette, name=f"{said}-{number}")
                labels.keep_off_dots([share], [value], radius=8.0)
    for number, (words, line, colour) in enumerate(lines):
        labels.put(words, line, colour, weight="bold", towards=0.85 if number % 2 else 0.15)
    _key(ax, palette)
    set_ticks(ax, "x", 0.0, 100.0, 5)
    set_ticks(ax, "y", *ax.get_ylim(), 6)
    write_below(ax, palette, ("", "share of this pitch, %", ""))
    wording = value_of(QUANTITIES[result.measure], Reader(units))
    write_beside(ax, palette, f"strikes without contact, {wording.symbol}", 34.0)
    return ax


def _looks(result: MixResult, first: Sequence[str]) -> dict[str, tuple[Role, Dashes]]:
    """Return colour and dashes of each pitch."""
    others = [name for name in dict.fromkeys([*first, *result.curves]) if name != result.fastball]
    return {name: _OTHERS[number % len(_OTHERS)] for number, name in enumerate(others)} | {
        result.fastball: ("fastball", LOOKS["fastball"].dashes)
    }


def _key(ax: Axes, palette: Palette) -> None:
    """Say above the axes what the marks are."""
    up = 1.0 + _KEY * pixels_per_point(ax) / ax.bbox.height
    beside = _BESIDE * pixels_per_point(ax) / ax.bbox.width
    for place, words, draw in ((0.03, "best share", draw_best), (0.4, "today's share", draw_now)):
        draw(ax, np.array([place, up]), palette, of_axes=True)
        write(ax, place + beside, up, words, palette.text, size=TICKS, va="center", of_axes=True)
