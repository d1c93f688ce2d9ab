"""What the player needs to move the balls: the paths in numbers, and the frames that they are drawn in."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, hypot, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import HIDES
from latebreak.service.quantities.units import FEET, INCHES, Scale, Units
from latebreak.service.questions import CompareResult, Estimate
from latebreak.service.questions.portrait import Portrait, PortraitResult, Track
from latebreak.service.scenario import Scenario
from latebreak.service.tables.compare import happens

Array = NDArray[np.float64]

#: Width of the pictures in units of their view boxes, and the least and largest height as a share of it (chosen).
WIDTH, _FLATTEST, _TALLEST = 400.0, 0.66, 0.95
#: Room around what must be seen, and how far down the picture goes at least, to show the mound; degrees (chosen).
_MARGIN_DEG, _GROUND_DEG = 1.6, -4.0
#: How near the fastball at its own target and the one on the line of the pitch must be shown, ft (chosen): one
#: that is all but there while the pitch still flies, or passes over the hitter's head, would make specks of the others.
_NEAREST_FT = (4.0, 15.0)
#: The mound (Official Baseball Rules; values from memory), ft: half width, height, half width of its flat top, half
#: width of the rubber, its centre in front of the rubber's front edge; drawn smaller on a smaller field.
_MOUND = {"half": 9.0, "height": 10.0 / 12.0, "flat": 2.5, "rubber": 1.0}
_FULL_FIELD_FT = 60.5
#: From the plate's front edge to its back point, from which the rubber is measured (Official Baseball Rules), ft.
_PLATE_DEPTH_FT = 17.0 / 12.0
#: At the plate: least half width and height that are shown, largest, and room for words, ft (chosen).
_SIDES_FT, _HEIGHTS_FT = (2.2, 3.0), (4.4, 5.2)
_BELOW_FT = 0.55
#: Decimals in the page: a thousandth of a unit of the picture at most.
_DECIMALS = 5


@dataclass(frozen=True)
class Frame:
    """A picture of the player: where its view box lies in the quantity that it shows.

    Attributes
    ----------
    left, top : float
        Quantity at the view box's origin: degrees, or feet.
    scale : float
        Units of the view box for one of the quantity.
    width, height : float
        Of the view box.
    """

    left: float
    top: float
    scale: float
    width: float
    height: float

    def x(self, across: float) -> float:
        """Place in the view box."""
        return (across - self.left) * self.scale

    def y(self, up: float) -> float:
        """Place in the view box."""
        return (self.top - up) * self.scale


def eye_frame(portrayed: PortraitResult) -> Frame:
    """Return the frame of the hitter's view, degrees: what must be seen until the commit point stays inside."""
    right, up = (np.concatenate(parts) for parts in zip(*map(_seen, portrayed.pitches.values()), strict=True))
    low, high = right.min() - _MARGIN_DEG, right.max() + _MARGIN_DEG
    bottom, top = min(up.min(), _GROUND_DEG) - _MARGIN_DEG, up.max() + _MARGIN_DEG
    wide = max(high - low, (top - bottom) / _TALLEST)
    tall = max(top - bottom, _FLATTEST * wide)
    scale = WIDTH / wide
    return Frame(
        float(0.5 * (low + high - wide)), float(top + 0.4 * (tall - top + bottom)), scale, WIDTH, float(tall * scale)
    )


def _seen(portrait: Portrait) -> tuple[Array, Array]:
    """Where the balls of a pitch are until the commit point, degrees; a fastball that is nearer is let go."""
    right, up = [], []
    for track, nearest in zip((portrait.thrown, portrait.beside, portrait.same_line), (0.0, *_NEAREST_FT), strict=True):
        moment = min(portrait.commit_ms, float(np.interp(-nearest, -track.from_plate_ft, track.time_ms)))
        until = np.append(track.time_ms[track.time_ms < moment], moment)
        right.append(np.interp(until, track.time_ms, track.right_deg))
        up.append(np.interp(until, track.time_ms, track.up_deg))
    return np.concatenate(right), np.concatenate(up)


def plate_frame(portrayed: PortraitResult) -> Frame:
    """Return the frame of the picture at the plate, ft: zone, arrivals and expected places as far as there is room."""
    zone = portrayed.zone
    sides, heights = [zone.left_ft, zone.right_ft], [zone.high_ft]
    for pitch in portrayed.pitches.values():
        expected = pitch.expectation
        sides += [*expected.side_ft, *expected.side_low_ft, *expected.side_high_ft, pitch.thrown.side_ft[-1]]
        heights += [*expected.height_ft, *expected.height_high_ft, pitch.thrown.height_ft[-1]]
    half = float(np.clip(np.abs(sides).max() + 0.2, *_SIDES_FT))
    top = float(np.clip(np.max(heights) + 0.2, *_HEIGHTS_FT))
    scale = WIDTH / (2.0 * half)
    return Frame(-half, top, scale, WIDTH, (top + _BELOW_FT) * scale)


def mound(portrayed: PortraitResult, rubber_to_plate_ft: float, frame: Frame) -> dict[str, str]:
    """Return mound and rubber as the hitter sees them, as points of polygons in the frame."""
    side, height, behind = portrayed.eye_ft
    ahead = behind + rubber_to_plate_ft - _PLATE_DEPTH_FT
    size = {key: value * rubber_to_plate_ft / _FULL_FIELD_FT for key, value in _MOUND.items()}

    def seen(x: float, z: float) -> str:
        right, up = atan2(x - side, ahead), atan2(z - height, hypot(x - side, ahead))
        return f"{frame.x(degrees(right)):.1f},{frame.y(degrees(up)):.1f}"

    slope = [(size["flat"] + share * (size["half"] - size["flat"]), 1.0 - share) for share in (1.0, 0.7, 0.35, 0.0)]
    right = [(x, size["height"] * rest * rest * (3.0 - 2.0 * rest)) for x, rest in slope]  # rounded at both ends
    hill = [*((-x, z) for x, z in right), *reversed(right)]
    rubber = [(-size["rubber"], size["height"]), (size["rubber"], size["height"])]
    return {name: " ".join(seen(x, z) for x, z in points) for name, points in (("hill", hill), ("rubber", rubber))}


def film(portrayed: PortraitResult, compared: CompareResult, scenario: Scenario, units: Units) -> dict[str, Any]:
    """Return what the script moves, as JSON can hold it.

    Parameters
    ----------
    portrayed : PortraitResult
        Paths, beliefs, expectations.
    compared : CompareResult
        Says when each pitch separates.
    scenario : Scenario
        Says how large the ball is.
    units : {"us", "metric"}
        In which the player speaks.

    Returns
    -------
    dict
        Tracks in ms, ft and degrees; `distance` and `length` say how ft and in are shown.
    """
    pitches = portrayed.pitches
    return {
        "fastball": portrayed.fastball,
        "hand": portrayed.hand,
        "ball_ft": scenario.ball.circumference_in / (2.0 * pi * 12.0),
        "distance": _scale(FEET.shown_in(units)),
        "length": _scale(INCHES.shown_in(units)),
        "beside": _track(next(iter(pitches.values())).beside),
        "pitches": [_pitch(pitch, compared.pitches[key]) for key, pitch in pitches.items()],
    }


def _pitch(pitch: Portrait, estimates: dict[str, Estimate]) -> dict[str, Any]:
    separates = happens(HIDES, estimates)
    expected = pitch.expectation
    return {
        "name": pitch.name,
        "commit_ms": round(pitch.commit_ms, _DECIMALS),
        "separation_ms": (
            round(estimates[f"{HIDES}_after_release_ms"].value, _DECIMALS) if separates else None
        ),
        "thrown": _track(pitch.thrown),
        "same_line": _track(pitch.same_line),
        "arrival": _plain(np.array([pitch.thrown.side_ft[-1], pitch.thrown.height_ft[-1]])),
        "belief": {
            "time_ms": _plain(pitch.belief.time_ms),
            "types": list(pitch.belief.types),
            "mean": [_plain(row) for row in pitch.belief.mean],
        },
        "expectation": {
            key: _plain(getattr(expected, key))
            for key in (
                "time_ms", "side_ft", "side_low_ft", "side_high_ft", "height_ft", "height_low_ft", "height_high_ft",
                "arrival_ms",
            )
        },
    }  # fmt: skip


def _track(track: Track) -> dict[str, list[float]]:
    return {
        key: _plain(getattr(track, key)) for key in ("time_ms", "from_plate_ft", "right_deg", "up_deg", "radius_deg")
    }


def _plain(values: Array) -> list[float]:
    return [round(float(value), _DECIMALS) for value in values]


def _scale(scale: Scale) -> dict[str, Any]:
    return {"factor": scale.factor, "symbol": scale.symbol, "digits": max(0, 1 + scale.digits_more)}
