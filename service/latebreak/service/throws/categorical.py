"""The columns that hold words: the pitch, the session, the delivery."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from latebreak.service.scenario.pitch_entry import NAME_LENGTH
from latebreak.service.throws.measured import DELIVERIES
from latebreak.service.wording import did_you_mean, shown


@dataclass(frozen=True)
class Category:
    """A category as read: None with the reason where it can't be used, None without a reason where there is none."""

    value: str | None
    reason: str = ""


def read_name(text: str) -> Category:
    """Read the name of a pitch or session, by the rules that names have in a scenario."""
    name = text.strip()
    if not name:
        return Category(None)
    if name.startswith(("=", "@")):
        return Category(None, f"{shown(name)} is a formula, not a name")
    if len(name) > NAME_LENGTH or not name.isprintable():
        return Category(None, f"{shown(name)} is no name: 1 to {NAME_LENGTH} printable characters")
    return Category(name)


def read_pitch(text: str, other_names: Mapping[str, str]) -> Category:
    """Read the name of a pitch, by its other name where the column map has one."""
    word = read_name(other_names.get(text.strip(), text))
    return word if word.value or word.reason else Category(None, "the row does not say which pitch it is")


def read_delivery(text: str) -> Category:
    """Read a delivery: wind_up or stretch, in any case, with a space or hyphen for the underscore."""
    name = text.strip()
    plain = name.lower().replace(" ", "_").replace("-", "_")
    if not plain or plain in DELIVERIES:
        return Category(plain or None)
    near = did_you_mean(plain, DELIVERIES)
    return Category(None, f"{shown(name)} is no delivery ({' or '.join(DELIVERIES)})" + (f"; {near}" if near else ""))


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
