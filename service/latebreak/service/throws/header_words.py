"""What a foreign header says: words of the trade, and which quantities they name together."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from latebreak.service.throws.foreign_units import DIMENSIONS, symbol_of
from latebreak.service.throws.measured import DELIVERY, PITCH, SESSION

#: What a word means; general words of the trade and their usual short forms (common practice, no source).
_WORDS = {
    "speed": "speed velo velocity vel pace", "spin": "spin rotation rotations revolutions revs", "rate": "rate",
    "clock": "clock", "axis": "axis", "direction": "direction dir", "efficiency": "efficiency eff",
    "gyro": "gyro", "release": "release released rel", "extension": "extension ext",
    "side": "side lateral horizontal horiz horz hor x h", "height": "height hgt ht z", "vertical": "vertical vert v",
    "plate": "plate arrival crossing location loc home", "end": "end final", "angle": "angle", "launch": "launch",
    "break": "break movement move mov brk", "induced": "induced", "elevation": "elevation", "azimuth": "azimuth",
    "pitch": "pitch", "type": "type kind", "name": "name", "session": "session outing bullpen", "date": "date",
    "delivery": "delivery", "x0": "x0", "y0": "y0", "z0": "z0",
    "vx0": "vx0", "vy0": "vy0", "vz0": "vz0", "ax": "ax", "ay": "ay", "az": "az",
}  # fmt: skip
_MEANINGS = {word: meaning for meaning, words in _WORDS.items() for word in words.split()}
#: Words that change nothing.
_FILLERS = frozenset(("of", "the", "at", "to", "from", "in", "ball", "throw", "total", "measured", "value"))
#: What may stand beside any other meaning without changing it.
_BESIDE = frozenset(("pitch",))

#: Meanings that together name a quantity; the more of them a header has, the surer.
_NAMES = {
    PITCH: ("pitch type", "pitch name", "pitch type name", "type", "pitch"),
    SESSION: ("session", "date", "session date", "session name"),
    DELIVERY: ("delivery", "delivery type"),
    "speed_mph": ("speed", "release speed"),
    "spin_rpm": ("spin", "spin rate", "release spin", "release spin rate"),
    "break_clock_deg": (
        "clock", "axis", "spin clock", "spin axis", "spin axis clock", "spin direction", "break clock",
        "break direction",
    ),
    "efficiency_percent": ("efficiency", "spin efficiency", "spin axis efficiency"),
    "gyro_deg": ("gyro", "gyro angle", "spin gyro", "spin gyro angle"),
    "release_side_ft": ("release side",),
    "release_height_ft": ("release height", "release vertical"),
    "extension_ft": ("extension", "release extension"),
    "launch_elevation_deg": ("launch elevation", "launch vertical angle", "release vertical angle"),
    "launch_azimuth_deg": ("launch azimuth", "launch side angle", "release side angle"),
    "arrival_side_ft": ("plate side",),
    "arrival_height_ft": ("plate height", "plate vertical"),
    "arrival_speed_mph": ("plate speed", "end speed"),
    "induced_vertical_break_in": ("vertical break", "break height", "induced vertical break"),
    "induced_side_break_in": ("side break", "induced side break"),
    **{f"{one}0_ft": (f"{one}0",) for one in "xyz"},
    **{f"v{one}0_ft_s": (f"v{one}0",) for one in "xyz"},
    **{f"a{one}_ft_s2": (f"a{one}",) for one in "xyz"},
}  # fmt: skip
#: Meanings that name one of some quantities and don't tell which.
_VAGUE = {
    "side": ("release_side_ft", "arrival_side_ft", "induced_side_break_in"),
    "height": ("release_height_ft", "arrival_height_ft"),
    "plate": ("arrival_side_ft", "arrival_height_ft"),
    "break": ("induced_vertical_break_in", "induced_side_break_in", "break_clock_deg"),
}

_SYMBOLS = frozenset(symbol for units in DIMENSIONS for symbol in units)
_BRACKETED = re.compile(r"[\[({<]\s*([^\])}>]*?)\s*[\])}>]")
_TOKEN = re.compile(r"[A-Z]+(?![a-z])[0-9]*|[A-Z]?[a-z]+[0-9]*|[0-9]+|[^\W\d_a-zA-Z]+|#")


@dataclass(frozen=True)
class Told:
    """What a header tells.

    Attributes
    ----------
    keys : tuple of str
        Canonical keys of the quantities that it may mean; several where it does not tell which.
    words : str
        Those of its words that say so, as they are written.
    meanings : int
        How many meanings they have together.
    unexplained : tuple of str
        Words of which nothing is known.
    symbol : str
        Unit that the header says; empty where it says none.
    """

    keys: tuple[str, ...] = ()
    words: str = ""
    meanings: int = 0
    unexplained: tuple[str, ...] = ()
    symbol: str = ""


def told_by(header: str) -> Told:
    """Read a header.

    Parameters
    ----------
    header : str
        Name of a column.
    """
    words, symbol = _unit_apart(header)
    pieces = [piece for word in words for piece in _pieces(word)]
    known = {_MEANINGS[piece]: piece for piece in pieces if piece in _MEANINGS}
    unexplained = tuple(piece for piece in pieces if piece not in _MEANINGS and piece not in _FILLERS)
    size, keys, named = _named(frozenset(known))
    if not keys and not unexplained and len(known) == 1:
        size, keys, named = 1, _VAGUE.get(next(iter(known)), ()), frozenset(known)
    left = tuple(known[one] for one in known if one not in named and one not in _BESIDE)
    return Told(keys, " ".join(known[one] for one in known if one in named), size, (*unexplained, *left), symbol)


def _named(meanings: frozenset[str]) -> tuple[int, tuple[str, ...], frozenset[str]]:
    """Return the quantities of which the most meanings are there, how many, and which."""
    found = [(len(name), key, name) for key, names in _names().items() for name in names if name <= meanings]
    size = max((one for one, _, _ in found), default=0)
    best = [(key, name) for one, key, name in found if one == size]
    return size, tuple(dict.fromkeys(key for key, _ in best)), frozenset().union(*(name for _, name in best))


@cache
def _names() -> dict[str, list[frozenset[str]]]:
    return {key: [frozenset(name.split()) for name in names] for key, names in _NAMES.items()}


def _unit_apart(header: str) -> tuple[list[str], str]:
    """Part a header into its words and the symbol of the unit that it names, in brackets or at its end."""
    for found in _BRACKETED.finditer(header):
        if symbol_of(found[1]) in _SYMBOLS:
            return _tokens(header.replace(found[0], " ")), symbol_of(found[1])
    words = _tokens(header)
    end = header.strip()[-1:]
    if end in ("%", "°"):
        return words, symbol_of(end)
    for number in (3, 2, 1):
        for joint in ("_", "/", ""):
            symbol = symbol_of(joint.join(words[-number:]))
            if symbol in _SYMBOLS and len(words) > number:
                return words[:-number], symbol
    if len(words) == 1 and symbol_of(words[0]) in ("mph", "km/h", "rpm"):  # these have one quantity each
        symbol = symbol_of(words[0])
        return ["spin" if symbol == "rpm" else "speed"], symbol
    return words, ""


def _tokens(text: str) -> list[str]:
    return [token.lower().replace("#", "number") for token in _TOKEN.findall(text)]


def _pieces(word: str) -> Iterator[str]:
    """Yield the known words that are written together in a word; the word itself where it is not made of them."""
    parts = None if word in _MEANINGS or word in _FILLERS else _parted(word)
    yield from parts or (word,)


@cache
def _parted(word: str) -> tuple[str, ...] | None:
    if not word:
        return ()
    for end in range(len(word), 2, -1):
        if word[:end] in _MEANINGS and (rest := _parted(word[end:])) is not None:
            return (word[:end], *rest)
    return None
