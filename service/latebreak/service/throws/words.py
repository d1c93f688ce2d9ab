"""The columns that hold words: the pitch, the session, the delivery; who faced a throw, in which count, what he did."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from typing import get_args

from latebreak.service.scenario.pitch_entry import NAME_LENGTH
from latebreak.service.scenario.section import Hand, Level
from latebreak.service.throws.cells import NOT_MEASURED, Cell
from latebreak.service.throws.measured import DELIVERIES, DELIVERY, SESSION
from latebreak.service.wording import did_you_mean, shown

Word = Cell[str | None]


def read_name(text: str) -> Word:
    """Read the name of a pitch or session, by the rules that names have in a scenario."""
    name = text.strip()
    if not name:
        return Word(None)
    if name.startswith(("=", "@")):
        return Word(None, f"{shown(name)} is a formula, not a name")
    if len(name) > NAME_LENGTH or not name.isprintable():
        return Word(None, f"{shown(name)} is no name: 1 to {NAME_LENGTH} printable characters")
    return Word(name)


def read_pitch(text: str, other_names: Mapping[str, str]) -> Word:
    """Read the name of a pitch, by its other name where the column map has one."""
    word = read_name(other_names.get(text.strip(), text))
    return word if word.value or word.reason else Word(None, "the row does not say which pitch it is")


def _one_of(words: Mapping[str, str], missing: frozenset[str], wrong: str) -> Callable[[str], Word]:
    """Return what reads one of some words, in any case, with a space or hyphen for the underscore."""

    def read(text: str) -> Word:
        plain = text.strip().lower().replace(" ", "_").replace("-", "_")
        if text.strip().lower() in missing or plain in words:
            return Word(words.get(plain))
        near = did_you_mean(plain, list(words))
        return Word(None, f"{shown(text.strip())} {wrong}" + (f"; {near}" if near else ""))

    return read


def _told(words: Mapping[str, str]) -> Callable[[str], Word]:
    return _one_of(words, NOT_MEASURED, f"is none of {', '.join(dict.fromkeys(words.values()))}")


def _count(most: int) -> dict[str, str]:
    return {text: str(number) for number in range(most + 1) for text in (str(number), f"{number}.0")}


_HANDS = {written: hand for hand in get_args(Hand) for written in (hand, hand[0])}
_YES_OR_NO = {
    "yes": "yes", "y": "yes", "true": "yes", "1": "yes", "no": "no", "n": "no", "false": "no", "0": "no",
}  # fmt: skip
#: How each column of words is read, by its key; the pitch has names of its own in the map.
READERS: dict[str, Callable[[str], Word]] = {
    SESSION: read_name,
    DELIVERY: _one_of(
        {name: name for name in DELIVERIES}, frozenset(("",)), f"is no delivery ({' or '.join(DELIVERIES)})"
    ),
    "bats": _told(_HANDS),
    "balls": _told(_count(3)),
    "strikes": _told(_count(2)),
    "swing": _told(_YES_OR_NO),
    "miss": _told(_YES_OR_NO),
    "day": read_name,
    "hitter": read_name,
    "level": _told({level: level for level in get_args(Level)}),
    "pitcher": read_name,
    "throws": _told(_HANDS),
}


def alike(names: Iterable[str]) -> list[str]:
    """Warn of names that differ in capitals or spaces only."""
    spellings = defaultdict(list)
    for name in dict.fromkeys(names):
        spellings["".join(name.lower().replace("_", "").replace("-", "").split())].append(name)
    remedy = "if they are one, spell them alike, or map one under [pitches]"
    return [
        f"{' and '.join(map(shown, same))} count as different pitches; {remedy}"
        for same in spellings.values()
        if len(same) > 1
    ]
