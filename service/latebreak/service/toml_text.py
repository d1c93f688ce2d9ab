"""Reading TOML that anybody may have sent: how deep it is gets looked at before it is parsed.

The parser of the standard library keeps every beginning of a dotted key, so a key of n parts takes memory in n squared:
a line of 32 KB, `a.a.a = 1` drawn out, a gigabyte, and nothing stops it on the way.
"""

from __future__ import annotations

import re
import tomllib
from typing import Any

from latebreak.engine.errors import Fault
from latebreak.engine.stopping import checkpoint

#: Parts of a key, and brackets in brackets (chosen: twice what a scenario or a sweep needs).
MOST_PARTS, MOST_BRACKETS = 8, 8
#: Strings and comments, as the parser bounds them; one that does not end runs to the end, where the parser stops too.
_TEXT = re.compile(  # no group repeats possessively: the library of Python 3.11.2 reads such groups wrongly
    r'''"""[^"\\]*+(?:(?:\\.|"{1,2}(?!"))[^"\\]*+)*(?:"{3,5}|\\?\Z)'''
    r"""|\'\'\'[^']*+(?:'{1,2}(?!')[^']*+)*(?:'{3,5}|\Z)"""
    r"""|"[^"\\\n]*+(?:\\[^\n][^"\\\n]*+)*"?|'[^'\n]*+'?|(\#[^\n]*+)""",
    re.DOTALL,
)
_BRACKETS = re.compile(r"[\[\]{}]")
#: What no key goes across; a string is one part of it.
_BETWEEN = re.compile(r"[=,\[\]{}\n]")


class TooDeepError(ValueError):
    """Tables or keys are nested deeper than anything of ours.

    Attributes
    ----------
    fault : Fault
        What and where.
    """

    def __init__(self, fault: Fault) -> None:
        super().__init__(str(fault))
        self.fault = fault


def read_toml(text: str) -> dict[str, Any]:
    """Parse TOML text.

    Raises
    ------
    TooDeepError
        If keys have too many parts, or brackets stand in too many others.
    ValueError
        If it is no TOML, or a whole number has too many digits.
    """
    bare = _TEXT.sub(lambda found: "" if found[1] is not None else '"', text)
    checkpoint()
    depth = 0
    for bracket in _BRACKETS.finditer(bare):
        depth = depth + 1 if bracket[0] in "[{" else max(0, depth - 1)
        if depth > MOST_BRACKETS:
            allowed = f"at most {MOST_BRACKETS}"
            raise TooDeepError(Fault("", "brackets are nested too deep", allowed, "write tables as [TABLE.NAME]"))
    checkpoint()
    parts = 1 + max(piece.count(".") for piece in _BETWEEN.split(bare))
    if parts > MOST_PARTS:
        raise TooDeepError(
            Fault("", f"a key has {parts:,} parts", f"at most {MOST_PARTS}", "names with dots need quotes")
        )
    checkpoint()
    return tomllib.loads(text)
