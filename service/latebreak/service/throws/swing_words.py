"""Columns that tell who faced a throw, in which count, and what he did."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import get_args

from latebreak.service.scenario.section import Hand, Level
from latebreak.service.throws.categorical import Category, read_name
from latebreak.service.throws.cells import NOT_MEASURED
from latebreak.service.wording import did_you_mean, shown

#: Words that a cell may hold, each with what it means.
SIDES_OF_A_HITTER = {hand: hand for hand in get_args(Hand)} | {hand[0]: hand for hand in get_args(Hand)}
YES_OR_NO = {
    "yes": "yes", "y": "yes", "true": "yes", "1": "yes", "no": "no", "n": "no", "false": "no", "0": "no",
}  # fmt: skip
LEVELS = {level: level for level in get_args(Level)}


def _count(most: int) -> dict[str, str]:
    return {text: str(number) for number in range(most + 1) for text in (str(number), f"{number}.0")}


def _reader(words: Mapping[str, str]) -> Callable[[str], Category]:
    allowed = ", ".join(dict.fromkeys(words.values()))

    def read(text: str) -> Category:
        plain = text.strip().lower().replace(" ", "_").replace("-", "_")
        if text.strip().lower() in NOT_MEASURED:
            return Category(None)
        if plain in words:
            return Category(words[plain])
        near = did_you_mean(plain, list(words))
        return Category(None, f"{shown(text.strip())} is none of {allowed}" + (f"; {near}" if near else ""))

    return read


#: How each column is read, by its key.
SWING_WORDS: dict[str, Callable[[str], Category]] = {
    "bats": _reader(SIDES_OF_A_HITTER),
    "balls": _reader(_count(3)),
    "strikes": _reader(_count(2)),
    "swing": _reader(YES_OR_NO),
    "miss": _reader(YES_OR_NO),
    "day": read_name,
    "hitter": read_name,
    "level": _reader(LEVELS),
    "pitcher": read_name,
    "throws": _reader(SIDES_OF_A_HITTER),
}
