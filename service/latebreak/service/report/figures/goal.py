"""How far a goal is: where the measure stands, session by session, between where it stood and what is wanted."""

from __future__ import annotations

from matplotlib.axes import Axes

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.quantities.units import Units
from latebreak.service.questions.following.progress_words import brief_way
from latebreak.service.questions.following.result import GoalProgress, SessionProgress
from latebreak.service.questions.following.shares import on_the_way
from latebreak.service.report.figures.canvas import TICKS, Room, open_axes, set_ticks, write, write_below
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette
from latebreak.service.scenario.section import Hand

#: Points: height of a session, from its top to its line, and room for what the two marks are.
_ROW, _LINE, _HEAD = 44.0, 30.0, 40.0


def goal_plot(
    result: GoalProgress,
    *,
    hand: Hand = "right",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw how far a goal is, a row a session, with the 90 % interval of the way.

    Parameters
    ----------
    result : GoalProgress
        What was found out.
    hand : {"right", "left"}
        Of the pitcher: sides are named by it.
    units : {"us", "metric"}
        Of the axis.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = the measure, in the unit of the reader, and y = points from the top.
    """
    kept = result.kept
    quantity = QUANTITIES[kept.measure]
    wording = value_of(quantity, Reader(units, hand))
    places = [None if one.measure is None else on_the_way(kept, one.measure) for one in result.sessions]
    height = _HEAD + _ROW * len(places)
    ax = open_axes(ax, palette, Room(height=height + 44.0, left=14.0, right=14.0, top=2.0))
    ax.set_ylim(height, 0.0)
    marks = [wording.factor * kept.now.value, wording.factor * kept.goal.value]
    ends = [*marks, *(end for place in places for end in _ends(place, wording.factor))]
    room = 0.06 * (max(ends) - min(ends)) or 1.0
    ax.set_xlim(min(ends) - room, max(ends) + room)
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    # the smaller mark's words stand to its left and the larger one's to its right, each on a line of its own
    for mark, words, name, up in zip(marks, ("as written", "wanted"), ("written", "wanted"), (0, 1), strict=True):
        ax.plot([mark, mark], [_HEAD, height], color=palette.marks, linewidth=1.4, zorder=2, gid=name,
                linestyle=(0.0, (4.0, 2.0)) if name == "written" else "-")  # fmt: skip
        left = mark > sum(ax.get_xlim()) / 2.0
        value = wording.say(mark / wording.factor)
        write(ax, mark, _HEAD - 6.0 - 15.0 * up, f"{words}: {value}", palette.text, size=TICKS,
              ha="right" if left else "left")  # fmt: skip
    for number, (session, place) in enumerate(zip(result.sessions, places, strict=True)):
        _draw_row(ax, session, place, _HEAD + number * _ROW + _LINE, wording.factor, palette, number)
    set_ticks(ax, "x", *ax.get_xlim(), 6, words=wording.sign if wording.sign[0] else None)
    write_below(ax, palette, ("", f"{quantity.brief}, {wording.symbol}", ""))
    return ax


def _draw_row(
    ax: Axes,
    session: SessionProgress,
    place: Estimate | None,
    line: float,
    factor: float,
    palette: Palette,
    at: int,
) -> None:
    low, high = ax.get_xlim()
    share = None if session.measure is None else session.measure.share_percent
    told = "not thrown" if not session.used else "can't be told" if place is None else ""
    told = told or ("" if share is None else brief_way(share))
    write(ax, low, line - 12.0, short(session.session or "now"), palette.thrown, size=TICKS, weight="bold")
    words = write(ax, high, line - 12.0, told, palette.text, size=TICKS, ha="right")
    words.set_bbox({"facecolor": palette.background, "edgecolor": "none", "pad": 1.0})  # over the mark of the goal
    if place is None:
        return
    ends = _ends(place, factor)
    if len(ends) == 3:
        ax.plot(ends[1:], [line, line], color=palette.spread, linewidth=6.0, solid_capstyle="butt", alpha=0.6,
                zorder=3, gid=f"interval-{at}")  # fmt: skip
    ax.plot(ends[:1], [line], linestyle="", marker=LOOKS["thrown"].marker, markersize=9.0, zorder=4,
            color=palette.thrown, markeredgecolor=palette.background, gid=f"session-{at}")  # fmt: skip


def _ends(place: Estimate | None, factor: float) -> list[float]:
    """Return a value and the ends of its interval, in the unit of the reader."""
    if place is None:
        return []
    return [factor * one for one in (place.value, place.low, place.high) if one is not None]
