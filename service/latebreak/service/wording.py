"""How values and key paths are worded in messages: short, and never with a control character."""

from __future__ import annotations

import datetime
import re
import shlex
from collections.abc import Iterable, Mapping
from difflib import get_close_matches

#: Longest piece of a user's text that a message repeats, in characters (chosen: fits a terminal line with its key).
SHOWN_LENGTH = 40
#: A shorter word is not taken for a part of another.
_PART = 3
#: Beyond this length a word is not compared with known ones: difflib's time grows with the square of the length.
COMPARED_LENGTH = 60


def clean(text: str) -> str:
    """Replace every character that is not printable by its escape, so that no text can steer a terminal."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)


def shown(value: object) -> str:
    """Word a value for a message: as it would stand in the file, shortened and escaped.

    Parameters
    ----------
    value : object
        Anything that can stand in a scenario.

    Returns
    -------
    str
        Printable characters only.
    """
    if isinstance(value, bool):
        text = "true" if value else "false"
    elif isinstance(value, Mapping):
        text = "a table"
    elif isinstance(value, (list, tuple)):
        text = "a list"
    elif isinstance(value, int) and abs(value) >= 10**SHOWN_LENGTH:
        text = f"a whole number of more than {SHOWN_LENGTH} digits"
    elif isinstance(value, float):
        text = f"{value:.10g}"
    elif isinstance(value, (datetime.date, datetime.time)):
        text = value.isoformat()
    elif isinstance(value, str):
        text = repr(value[:SHOWN_LENGTH]) + ("..." if len(value) > SHOWN_LENGTH else "")
    else:
        text = repr(value)[:SHOWN_LENGTH]
    return clean(text)


def quoted(path: object) -> str:
    """Word a path so that it can be copied into a shell as it stands."""
    return shlex.quote(clean(str(path)))


def key_path(*parts: object) -> str:
    """Join the parts of a key path with dots, quoting the parts that TOML would want quoted."""
    return ".".join(
        part if isinstance(part, str) and re.fullmatch(r"[A-Za-z0-9_-]{1,60}", part) else shown(part) for part in parts
    )


def did_you_mean(word: object, choices: Iterable[str]) -> str:
    """Name the known words that are close to a misspelt one, else those of which it is a part; empty where none is."""
    if not isinstance(word, str) or len(word) > COMPARED_LENGTH:
        return ""
    choices = list(choices)
    near = get_close_matches(word.lower(), choices, n=2, cutoff=0.6)
    if not near and len(word) >= _PART:  # "miss" for miss_chance_percent
        near = [choice for choice in choices if word.lower() in choice.lower()][:3]
    return f"did you mean {clean(' or '.join(near))}?" if near else ""
