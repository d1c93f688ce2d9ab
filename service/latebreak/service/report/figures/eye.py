"""What the hitter sees: a still picture from his eye."""

from __future__ import annotations

from math import isfinite

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle
from numpy.typing import NDArray

from latebreak.service.quantities import HIDES
from latebreak.service.quantities.units import Units
from latebreak.service.questions.portrait import Portrait, Track
from latebreak.service.report.figures.canvas import (
    TICKS,
    Room,
    dashes_of,
    open_axes,
    set_ticks,
    write_below,
    write_beside,
)
from latebreak.service.report.figures.labels import Labels
from latebreak.service.report.figures.marks import Estimates, marks_of
from latebreak.service.report.figures.names import short
from latebreak.service.report.figures.palette import LIGHT, LOOKS, Palette, PathRole
from latebreak.service.report.figures.paths import SAME_LINE

Array = NDArray[np.float64]

#: Room around what is shown, degrees (chosen).
_MARGIN = 0.6
#: A ball is followed to this distance from the plate, ft (chosen): a fastball beside a slow pitch is there before the
#: commit point, and would take the frame with it.
_NEAREST_FT = 8.0


def hitters_view(
    portrait: Portrait,
    estimates: Estimates,
    *,
    role: PathRole = "thrown",
    units: Units = "us",
    ax: Axes | None = None,
    palette: Palette = LIGHT,
) -> Axes:
    """Draw pitch and fastball from the hitter's eye until the commit point, the balls to scale at a few moments.

    The balls of one moment are as long out of the hand.

    Parameters
    ----------
    portrait : Portrait
        The pitch; angles in degrees.
    estimates : mapping of str to Estimate
        Its estimates of `compare`: when it separates.
    role : {"thrown", "rival"}
        Whose colour the pitch has.
    units : {"us", "metric"}
        Makes no difference: degrees and ms.
    ax : Axes, optional
        Where to draw; default: a new figure, 420 points wide.
    palette : Palette, optional
        Colours; default: for a light background.

    Returns
    -------
    Axes
        With x = degrees to the right of straight ahead to the mound, and y = degrees above the level of the eye, at
        the same scale.
    """
    ax = open_axes(ax, palette, Room(height=370.0))
    tracks: dict[PathRole, Track] = {
        "same_line": portrait.same_line,
        "fastball": portrait.beside,
        role: portrait.thrown,
    }
    end = portrait.commit_ms if isfinite(portrait.commit_ms) else float(portrait.thrown.time_ms[-1])
    moments = _moments(portrait, estimates, end)
    seen = {which: _until(track, end) for which, track in tracks.items()}
    balls = {
        which: [(*_at(track, ms), words) for ms, words in moments if which == role or ms <= _near(track)]
        for which, track in tracks.items()
    }
    _frame(ax, np.concatenate([*seen.values(), [ball[:3] for ball in balls[role]]]))
    labels = Labels(ax)
    lines = {}
    for which, way in seen.items():
        colour, look = palette.colour(which), LOOKS[which]
        ax.plot(
            way[:, 0], way[:, 1], color=colour, linewidth=look.width, linestyle=dashes_of(which), zorder=2,
            gid=which.replace("_", "-"),
        )  # fmt: skip
        lines[which] = labels.keep_off(way[:, 0], way[:, 1], named=True)
        for right, up, radius, words in balls[which]:
            ax.add_patch(Circle(
                (right, up), radius, facecolor=palette.background, edgecolor=colour, linewidth=1.4,
                linestyle="-" if which == role else dashes_of(which), zorder=4 if which == role else 3,
                gid=f"ball-{which.replace('_', '-')}-{words.split()[0]}",
            ))  # fmt: skip
            (left, bottom), (far, top) = labels.keep_off_dots(
                [right - radius, right + radius], [up - radius, up + radius]
            )
            labels.keep_off_box((left, bottom, far, top))
    turn = np.linspace(0.0, 2.0 * np.pi, 25)
    for right, up, radius, words in balls[role]:
        edge = labels.keep_off(right + radius * np.cos(turn), up + radius * np.sin(turn))
        labels.put(words, edge, palette.marks, size=TICKS)
    labels.put(short(portrait.name), lines[role], palette.colour(role), weight="bold", towards=0.8)
    labels.put(short(portrait.fastball), lines["fastball"], palette.fastball, towards=0.8)
    labels.put(SAME_LINE, lines["same_line"], palette.same_line, towards=0.8)
    set_ticks(ax, "x", *ax.get_xlim(), 5, words=(" left", " right"))
    set_ticks(ax, "y", *ax.get_ylim(), 6, words=("", ""))
    write_below(ax, palette, ("", "from straight ahead, deg", ""))
    write_beside(ax, palette, "below  -  deg from eye level  -  above")
    return ax


def _moments(portrait: Portrait, estimates: Estimates, end: float) -> list[tuple[float, str]]:
    """Return moments in ms after release, and what they are: release, separation where it comes by then, commit."""
    marks = {mark.name: mark for mark in marks_of(portrait, estimates)}
    found = [(0.0, "release")]
    for name in (HIDES, "commit"):
        mark = marks.get(name)
        if mark is not None and mark.after_release_ms is not None and mark.after_release_ms <= end:
            found.append((mark.after_release_ms, f"{mark.label} {mark.after_release_ms:.0f} ms"))
    return found


def _near(track: Track) -> float:
    """Time at which a ball has come so near that it sweeps through the view, ms after release."""
    return float(np.interp(-_NEAREST_FT, -track.from_plate_ft, track.time_ms))


def _until(track: Track, end: float) -> Array:
    """Directions and apparent radius (p, 3) up to a time, degrees; not nearer than is shown."""
    end = min(end, _near(track))
    kept = track.time_ms < end
    rows = np.stack([track.right_deg[kept], track.up_deg[kept], track.radius_deg[kept]], axis=1)
    return np.concatenate([rows, [_at(track, end)]])


def _at(track: Track, ms: float) -> Array:
    values = (track.right_deg, track.up_deg, track.radius_deg)
    return np.array([np.interp(ms, track.time_ms, one) for one in values])


def _frame(ax: Axes, shown: Array) -> None:
    """Show balls (n, 3) whole, at one scale."""
    low = (shown[:, :2] - shown[:, 2:]).min(axis=0) - _MARGIN
    high = (shown[:, :2] + shown[:, 2:]).max(axis=0) + _MARGIN
    box = np.array([ax.bbox.width, ax.bbox.height])
    size = box * ((high - low) / box).max()
    middle = 0.5 * (low + high)
    ax.set_xlim(*(middle[0] + 0.5 * size[0] * np.array([-1.0, 1.0])))
    ax.set_ylim(*(middle[1] + 0.5 * size[1] * np.array([-1.0, 1.0])))
    ax.set_aspect("equal", adjustable="datalim")
