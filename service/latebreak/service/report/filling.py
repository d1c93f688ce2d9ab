"""The parts of a page that are files: templates, styles, script."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from latebreak.service.report.figures.palette import DARK, LIGHT

_TEMPLATES = Path(__file__).with_name("templates")


def fill(template: str, **held: Any) -> str:
    """Fill a template."""
    return _environment().get_template(template).render(**held)


@cache
def read(name: str) -> str:
    """Read a file as it is."""
    return (_TEMPLATES / name).read_text(encoding="utf-8")


@cache
def style_of(*names: str) -> str:
    """Return the colours of the figures' palette, dark on dark screens and light elsewhere, then files of style."""
    light, dark = (
        ":root{" + "".join(f"{name}:{colour};" for name, colour in palette.variables().items()) + "}"
        for palette in (LIGHT, DARK)
    )
    return f"{light}\n@media screen and (prefers-color-scheme: dark){{{dark}}}\n{''.join(map(read, names))}"


@cache
def _environment() -> Environment:
    return Environment(
        loader=FileSystemLoader(_TEMPLATES), autoescape=True, undefined=StrictUndefined, keep_trailing_newline=True
    )
