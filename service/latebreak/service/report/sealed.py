"""What makes a page safe to open: inline blocks that a policy vouches for by their hashes, and data that stays data."""

from __future__ import annotations

import json
from base64 import b64encode
from hashlib import sha256
from typing import Any

from markupsafe import Markup

#: Characters that could end a script element or a line of JavaScript, as JSON escapes them.
_ESCAPES = {ord(character): f"\\u{ord(character):04x}" for character in "<>&\u2028\u2029"}


def as_data(values: Any) -> Markup:
    """Return JSON for a script element of type application/json; nothing in it can end the element."""
    text = json.dumps(values, allow_nan=False, ensure_ascii=False, separators=(",", ":"))
    return Markup(text.translate(_ESCAPES))


def policy(style: str, script: str, *, style_attributes: bool) -> str:
    """Return the content-security policy of a page: its own style and script, and no request at all.

    Parameters
    ----------
    style, script : str
        Content of the style element and of the script element, to the letter.
    style_attributes : bool
        Whether elements of the page have `style` attributes.
    """
    attributes = " style-src-attr 'unsafe-inline';" if style_attributes else ""
    return (
        f"default-src 'none'; script-src {_hash(script)}; style-src {_hash(style)};{attributes} img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(content: str) -> str:
    return f"'sha256-{b64encode(sha256(content.encode()).digest()).decode()}'"
