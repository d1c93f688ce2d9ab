"""Names from users' files, made fit for a figure."""

from __future__ import annotations

import unicodedata

from latebreak.service.wording import clean

#: Widest name, in columns of a letter each (chosen: 22 letters take two fifths of a figure).
WIDEST = 22
_ELLIPSIS = "\u2026"


def short(name: str) -> str:
    """Return a name without control characters, cut to `WIDEST` columns; letters of East Asian scripts take two."""
    text = clean(name)
    if _columns(text) <= WIDEST:
        return text
    while _columns(text) > WIDEST - 1:
        text = text[:-1]
    return text.rstrip() + _ELLIPSIS


def _columns(text: str) -> int:
    return sum(_width(letter) for letter in text)


def _width(letter: str) -> int:
    if unicodedata.combining(letter):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1
