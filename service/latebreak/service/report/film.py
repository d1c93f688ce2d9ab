"""The moving picture: what the hitter sees of each pitch until his last look that counts, and what becomes of it.

A pitch has two pictures, one above the other. The upper is his view, in degrees, with the fastball beside it; the lower
is the plate, in feet, as he looks at it: a ring where he expects the ball as he decides, and the ball where it arrives.
All pitches are drawn at one scale. What is drawn here is the still picture; the script of the page moves its balls.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.quantities.units import FEET
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Portrait, PortraitResult, Track
from latebreak.service.scenario import Scenario

Array = NDArray[np.float64]

#: Width of a picture in units of its view box, and the least height of the view as a share of it (chosen).
WIDTH, _FLATTEST = 200.0, 0.6
#: Room around what must be seen, degrees, and around the zone and what is drawn there, ft (chosen).
_MARGIN_DEG, _MARGIN_FT = 0.7, 0.25
#: What is always shown at the plate, ft: half width and heights (chosen); and what is never: beyond is off the picture.
_HALF_FT, _HEIGHTS_FT, _MOST_FT = 1.5, (1.2, 3.8), 4.0
#: Decimals in the page: a thousandth of a unit of the picture at most.
_DECIMALS = 4


@dataclass(frozen=True)
class Frame:
    """A picture: where its view box lies in the quantity that it shows.

    Attributes
    ----------
    left, top : float
        Quantity at the view box's origin: degrees, or feet.
    scale : float
        Units of the view box for one of the quantity.
    height : float
        Of the view box, which is `WIDTH` wide.
    """

    left: float
    top: float
    scale: float
    height: float

    def x(self, across: float) -> float:
        """Place in the view box."""
        return (across - self.left) * self.scale

    def y(self, up: float) -> float:
        """Place in the view box."""
        return (self.top - up) * self.scale


@dataclass(frozen=True)
class Ball:
    """A ball in the hitter's view at his last look that counts, and its way until then, as points of a polyline."""

    x: float
    y: float
    r: float
    way: str


@dataclass(frozen=True)
class Ring:
    """Where he expects the ball: 5 to 95 % of the throws (an ellipse), and the middle of them."""

    x: float
    y: float
    middle_x: float
    middle_y: float
    rx: float
    ry: float


@dataclass(frozen=True)
class Panel:
    """The still pictures of one pitch.

    Attributes
    ----------
    name : str
        What people read.
    own, fastball : Ball
        In the hitter's view.
    ring : Ring or None
        At the plate; None where no throw tells.
    end_x, end_y, end_r : float
        The ball as it arrives.
    last_look, outcome : str
        What is said as he decides, and of where it arrives.
    """

    name: str
    own: Ball
    fastball: Ball
    ring: Ring | None
    end_x: float
    end_y: float
    end_r: float
    last_look: str
    outcome: str


@dataclass(frozen=True)
class Film:
    """Frames, panels, and what the script moves, as JSON can hold it."""

    eye: Frame
    plate: Frame
    panels: list[Panel]
    data: dict[str, Any]


def film(
    portrayed: PortraitResult, found: Mapping[str, Mapping[str, Estimate]], scenario: Scenario, reader: Reader
) -> Film:
    """Make the moving picture.

    Parameters
    ----------
    portrayed : PortraitResult
        Paths and expectations.
    found : mapping of str to mapping of str to Estimate
        By key of the pitch: how far off he is.
    scenario : Scenario
        Says how large the ball is.
    reader : Reader
        In whose units distances are told.
    """
    pitches = portrayed.pitches
    eye = _eye_frame(list(pitches.values()))
    expected = {key: _expected(pitch, found[key]) for key, pitch in pitches.items()}
    plate = _plate_frame(portrayed, [one for one in expected.values() if one is not None])
    ball_ft = scenario.ball.circumference_in / (2.0 * pi * 12.0)
    panels = [_panel(pitch, found[key], expected[key], (eye, plate), ball_ft, reader) for key, pitch in pitches.items()]
    data = {
        "eye": {"left": eye.left, "top": eye.top, "scale": eye.scale},
        "fastball": _track(next(iter(pitches.values())).beside),
        "pitches": [
            {"decides_ms": round(pitch.decides_ms, _DECIMALS), "thrown": _track(pitch.thrown)}
            for pitch in pitches.values()
        ],
    }
    return Film(eye, plate, panels, data)


def _panel(
    pitch: Portrait,
    estimates: Mapping[str, Estimate],
    expected: Array | None,
    frames: tuple[Frame, Frame],
    ball_ft: float,
    reader: Reader,
) -> Panel:
    eye, plate = frames
    ring = None
    if expected is not None:
        (x, y), (left, low), (right, high) = expected
        ring = Ring(
            plate.x(0.5 * (left + right)), plate.y(0.5 * (low + high)), plate.x(x), plate.y(y),
            0.5 * (right - left) * plate.scale, 0.5 * (high - low) * plate.scale,
        )  # fmt: skip
    away = float(np.interp(pitch.decides_ms, pitch.thrown.time_ms, pitch.thrown.from_plate_ft))
    scale = FEET.shown_in(reader.units)
    return Panel(
        pitch.name,
        _ball(pitch.thrown, pitch.decides_ms, eye),
        _ball(pitch.beside, pitch.decides_ms, eye),
        ring,
        plate.x(pitch.thrown.side_ft[-1]),
        plate.y(pitch.thrown.height_ft[-1]),
        plate.scale * ball_ft,
        f"His last look that counts: {scale.factor * away:.1f} {scale.symbol} away.",
        _outcome(estimates, reader),
    )


def _outcome(estimates: Mapping[str, Estimate], reader: Reader) -> str:
    """Say how far from where he expects it the pitch arrives."""
    said = []
    for key in ("arrival_surprise_vertical_in", "arrival_surprise_side_in", "timing_surprise_ms"):
        value = estimates[key].value
        if not isfinite(value):
            return "No throw of it arrives."
        said.append(value_of(QUANTITIES[key], reader).say(value))
    up, side, late = said
    return f"It arrives off the cross: {up}, {side}; {late}."


def _expected(pitch: Portrait, estimates: Mapping[str, Estimate]) -> Array | None:
    """Where he expects it, ft: side and height (3, 2) of the middle, 5 and 95 % of the throws.

    The middle is that of `compare`, from more throws than the spread about it.
    """
    one = pitch.expectation
    off = np.array([estimates[f"arrival_surprise_{way}_in"].value / 12.0 for way in ("side", "vertical")])
    middle = np.array([pitch.thrown.side_ft[-1], pitch.thrown.height_ft[-1]]) - off
    ends = np.array([[one.side_low_ft, one.height_low_ft], [one.side_high_ft, one.height_high_ft]])
    places = np.vstack([middle, ends - [one.side_ft, one.height_ft] + middle])
    return places if np.isfinite(places).all() else None


def _eye_frame(pitches: list[Portrait]) -> Frame:
    """Show pitch and fastball, degrees, from the hand to the last look."""
    shown = np.concatenate([
        _until(track, pitch.decides_ms) for pitch in pitches for track in (pitch.thrown, pitch.beside)
    ])  # fmt: skip
    (left, low), (right, high) = shown.min(axis=0) - _MARGIN_DEG, shown.max(axis=0) + _MARGIN_DEG
    wide = max(right - left, high - low)
    tall = max(high - low, _FLATTEST * wide)
    scale = WIDTH / wide
    return Frame(float(0.5 * (left + right - wide)), float(0.5 * (low + high + tall)), scale, float(tall * scale))


def _plate_frame(portrayed: PortraitResult, expected: list[Array]) -> Frame:
    """Show zone, rings and arrivals, ft, as far as there is room."""
    ends = np.array([[one.thrown.side_ft[-1], one.thrown.height_ft[-1]] for one in portrayed.pitches.values()])
    zone = portrayed.zone
    places = np.vstack([ends, *expected, [[0.0, zone.low_ft], [0.0, zone.high_ft]]])
    half = min(max(_HALF_FT, float(np.abs(places[:, 0]).max()) + _MARGIN_FT), _MOST_FT)
    low = min(_HEIGHTS_FT[0], float(places[:, 1].min()) - _MARGIN_FT)
    top = max(min(_HEIGHTS_FT[1], zone.high_ft + _MARGIN_FT), float(places[:, 1].max()) + _MARGIN_FT)
    scale = WIDTH / (2.0 * half)
    return Frame(-half, top, scale, (top - low) * scale)


def _ball(track: Track, ms: float, eye: Frame) -> Ball:
    way = [(eye.x(right), eye.y(up)) for right, up in _until(track, ms)]
    radius = float(np.interp(ms, track.time_ms, track.radius_deg))
    return Ball(*way[-1], eye.scale * radius, " ".join(f"{x:.1f},{y:.1f}" for x, y in way))


def _until(track: Track, ms: float) -> Array:
    """Directions (k, 2) from the hand to a moment, degrees."""
    times = np.append(track.time_ms[track.time_ms < ms], ms)
    return np.column_stack([np.interp(times, track.time_ms, one) for one in (track.right_deg, track.up_deg)])


def _track(track: Track) -> dict[str, list[float]]:
    return {
        key: [round(float(value), _DECIMALS) for value in getattr(track, key)]
        for key in ("time_ms", "right_deg", "up_deg", "radius_deg")
    }
