"""Sentences: plain text in which the names of pitches stay known, so that no reader need look for them."""

from __future__ import annotations

from dataclasses import dataclass
from string import Formatter


class Name(str):
    """The name of a pitch: it may hold any words, even those of a sentence, and may run from right to left."""

    __slots__ = ()


@dataclass(frozen=True)
class Sentence:
    """A sentence.

    Attributes
    ----------
    parts : tuple of str
        One after the other; each is plain text or a `Name`.
    """

    parts: tuple[str, ...]

    @property
    def pieces(self) -> list[tuple[str, bool]]:
        """Its parts, each with whether it is a name."""
        return [(part, isinstance(part, Name)) for part in self.parts]

    def __str__(self) -> str:
        return "".join(self.parts)


def sentence(pattern: str, /, **held: str | Sentence) -> Sentence:
    """Make a sentence of a pattern, "{name} is missed more.", and of what it holds: text, names, other sentences."""
    parts: list[str] = []
    for text, field, _, _ in Formatter().parse(pattern):
        parts += [text] if text else []
        if field is not None:
            one = held[field]
            parts += one.parts if isinstance(one, Sentence) else [one]
    return Sentence(tuple(parts))
