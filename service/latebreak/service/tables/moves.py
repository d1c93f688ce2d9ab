"""How the move of a lever is said: by how much, and which way."""

from __future__ import annotations

from collections.abc import Callable

from latebreak.engine.units import FOOT, INCH
from latebreak.service.questions.lever import CLOCK_SPREAD, SPREAD_SCALE
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.phrases import Phrase

_PER_FOOT = FOOT / INCH
_DEGREES_PER_MINUTE = 0.5  # of the clock: an hour is 30 degrees

#: By lever: how the size is said, its factor from the unit of the key, and the words for a rise and for a fall.
_MOVES = {
    "speed_mph": (Phrase("speed", "mph", 1), 1.0, ("faster", "slower")),
    "spin_rpm": (Phrase("spin rate", "rpm", 0), 1.0, ("more", "less")),
    "efficiency_percent": (Phrase("spin efficiency", "points", 1), 1.0, ("more", "less")),
    "break_clock_deg": (
        Phrase("break clock", "min", 0),
        1.0 / _DEGREES_PER_MINUTE,
        ("clockwise", "counter-clockwise"),
    ),
    "release_height_ft": (Phrase("release", "in", 1), _PER_FOOT, ("higher", "lower")),
    "release_side_ft": (Phrase("release", "in", 1, "side"), _PER_FOOT, ("", "")),
    "extension_ft": (Phrase("extension", "in", 1), _PER_FOOT, ("longer", "shorter")),
    "target_height_ft": (Phrase("target", "in", 1), _PER_FOOT, ("higher", "lower")),
    "target_side_ft": (Phrase("target", "in", 1, "side"), _PER_FOOT, ("", "")),
    "launch_elevation_deg": (Phrase("launch elevation", "deg", 1), 1.0, ("up", "down")),
    "launch_azimuth_deg": (Phrase("launch azimuth", "deg", 1, "side"), 1.0, ("", "")),
    SPREAD_SCALE: (Phrase("spread", "%", 0), 100.0, ("larger", "smaller")),
    CLOCK_SPREAD: (Phrase("spread of the break clock", "deg", 1), 1.0, ("larger", "smaller")),
}


def lever_label(key: str) -> str:
    """Name a lever."""
    return _MOVES[key][0].label


def _as_it_is(phrase: Phrase) -> tuple[Phrase, float]:
    return phrase, 1.0


def say_move(key: str, change: float, hand: Hand, shown: Callable[[Phrase], tuple[Phrase, float]] = _as_it_is) -> str:
    """Say a change of a lever, given in the unit of its key: "4.2 mph faster".

    `shown` may put a phrase into another unit; with it comes the factor to that unit.
    """
    phrase, factor, words = _MOVES[key]
    phrase, more = shown(phrase)
    factor *= more
    said = phrase.say(change * factor, hand)
    none = round(abs(change * factor), phrase.digits) == 0.0  # what rounds to nothing goes nowhere
    return said if none else f"{said} {words[change < 0.0]}".rstrip()


def say_error(key: str, error: float) -> str:
    """Say the standard error of a change, in the unit that the change is said in."""
    phrase, factor, _ = _MOVES[key]
    return f"{error * factor:.2g} {phrase.unit}"


def say_moves(key: str, low: float, high: float, hand: Hand) -> str:
    """Say a range of changes, the unit left out; the way is named at both ends where they differ."""
    phrase, factor, words = _MOVES[key]
    if phrase.direction == "side":
        return phrase.say_range(low * factor, high * factor, hand)
    ends = sorted((low * factor, high * factor), key=abs) if low * high >= 0.0 else (low * factor, high * factor)
    said = [f"{abs(end):.{phrase.digits}f}" for end in ends]
    if low * high < 0.0:
        said = [f"{one} {words[end < 0.0]}" for one, end in zip(said, ends, strict=True)]
    return " to ".join(said)
