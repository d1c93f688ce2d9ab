"""Figures as SVG text that stands in a page: its colours are CSS variables, and it is the same every time."""

from __future__ import annotations

import re
import threading
import warnings
from collections.abc import Callable, Iterator
from io import StringIO
from typing import Any
from xml.etree.ElementTree import Element, fromstring, tostring

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from latebreak.service.report.figures.canvas import with_plain_ticks
from latebreak.service.report.figures.palette import LIGHT

_NAMESPACE, _LINK = "http://www.w3.org/2000/svg", "{http://www.w3.org/1999/xlink}href"
#: First the font in whose widths the figures are laid out, then one that is as wide where that is missing.
_FONTS = "DejaVu Sans, Verdana, sans-serif"
#: Own settings over matplotlib's defaults, whatever the user's own are: text stays text.
_SETTINGS: Any = {
    **{key: value for key, value in mpl.rcParamsDefault.items() if not key.startswith("backend")},
    "svg.fonttype": "none",
    "svg.hashsalt": "latebreak",
}
#: Settings belong to the whole process.
_LOCK = threading.Lock()
_NOTHING_ABOUT_IT: dict[str, Any] = dict.fromkeys(("Creator", "Date", "Format", "Type"))
_VARIABLES = {colour: f"var({name})" for name, colour in LIGHT.variables().items()}

_NAME = re.compile(r"[a-z][a-z0-9-]*")
_DECIMAL = re.compile(r"-?\d*\.\d+(?:e-?\d+)?")
#: What matplotlib calls parts that nobody named; what it calls definitions.
_UNNAMED = re.compile(r"(?:matplotlib\.)?\w+_\d+")
_DEFINED = re.compile(r"[a-z][0-9a-f]{10}")
_REFERENCE = re.compile(r"url\(#([^)]+)\)")
#: What is so anyway.
_SILENT = {
    ("text-anchor", "start"), ("stroke-linejoin", "round"), ("stroke-linecap", "butt"), ("stroke-dashoffset", "0"),
}  # fmt: skip


def svg_of(draw: Callable[..., Axes], *args: Any, name: str, title: str, **kwargs: Any) -> str:
    """Draw a figure and return it as SVG text for a page.

    Parameters
    ----------
    draw : callable
        One of the functions of this package.
    *args, **kwargs
        What it takes; its palette must be left as it is.
    name : str
        Begins every id of the text, so that ids differ on a page: small letters, digits and hyphens.
    title : str
        What the picture shows, for those who can't see it.

    Returns
    -------
    str
        An `svg` element without size (it takes that of its place), without styles and scripts; its colours are the
        variables of `Palette.variables`. The same for the same arguments.

    Raises
    ------
    ValueError
        If the name can't begin an id.
    """
    if not _NAME.fullmatch(name):
        raise ValueError(f"name: {name!r} must consist of small letters, digits and hyphens, a letter first")
    written = StringIO()
    with _LOCK, mpl.rc_context(_SETTINGS), warnings.catch_warnings():
        # letters that the font of matplotlib lacks are drawn by whoever shows the page
        warnings.filterwarnings("ignore", message="Glyph .* missing from font", category=UserWarning)
        ax = draw(*args, **kwargs)
        with_plain_ticks(ax)
        figure = ax.figure
        assert isinstance(figure, Figure)  # no part of one
        figure.patch.set_visible(False)
        FigureCanvasSVG(figure).print_svg(written, metadata=_NOTHING_ABOUT_IT)  # type: ignore[no-untyped-call]
    return _inlined(written.getvalue(), name, title)


def _inlined(text: str, name: str, title: str) -> str:
    """Turn the text of a file into an element of a page."""
    root = fromstring(text)
    ids = _new_ids(root, name)
    for element in root.iter():
        element.tag = element.tag.partition("}")[2]
        element.text = element.text if element.tag == "text" else None
        element.tail = None
        element.attrib = _attributes(element, ids)
    for group in root.iter("g"):
        _hoist(group)
    root[:] = [part for child in root for part in _without_hulls(child) if not _is_style(part)]
    caption = Element("title", id=f"{name}-title")
    caption.text = title
    root.insert(0, caption)
    root.attrib = {
        "xmlns": _NAMESPACE,
        "viewBox": root.attrib["viewBox"],
        "role": "img",
        "aria-labelledby": f"{name}-title",
        "font-family": _FONTS,
        "stroke-linejoin": "round",
    }
    return tostring(root, encoding="unicode")


def _new_ids(root: Element, name: str) -> dict[str, str]:
    """Return the new id of everything that keeps one: parts that the figure named, and definitions."""
    olds = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    defined = [old for old in dict.fromkeys(olds) if _DEFINED.fullmatch(old)]
    ours = [old for old in olds if not _DEFINED.fullmatch(old) and not _UNNAMED.fullmatch(old)]
    return {old: f"{name}-{number}" for number, old in enumerate(defined)} | {old: f"{name}-{old}" for old in ours}


def _attributes(element: Element, ids: dict[str, str]) -> dict[str, str]:
    """Return the attributes of an element: styles as attributes, colours as variables, numbers short."""
    given = {key: value for key, value in element.attrib.items() if key != "style"}
    for rule in filter(None, element.attrib.get("style", "").split("; ")):
        key, _, value = rule.partition(": ")
        given[key] = value
    digits = 2 if "id" in given else 1  # definitions are small
    result: dict[str, str] = {}
    for key, value in given.items():
        if key == "id":
            result |= {"id": ids[value]} if value in ids else {}
        elif key == _LINK:
            result["href"] = "#" + ids[value.removeprefix("#")]
        elif (key, value) not in _SILENT and key != "font-family" and not value.startswith("rotate(-0 "):
            result[key] = _shortened(value, 2 if key.endswith(("opacity", "width")) else digits, ids)
    return result


def _shortened(value: str, digits: int, ids: dict[str, str]) -> str:
    if value in _VARIABLES:
        return _VARIABLES[value]
    if reference := _REFERENCE.fullmatch(value):
        return f"url(#{ids[reference[1]]})"
    rounded = _DECIMAL.sub(lambda found: f"{round(float(found[0]), digits):g}", value)
    return " ".join(rounded.split()).removesuffix("px")


def _hoist(group: Element) -> None:
    """Say once for a group of marks what is the same for all of them."""
    if len(group) and all(child.tag == "use" for child in group):
        same = {key: value for key, value in group[0].attrib.items() if key not in ("x", "y", "href")}
        for child in group:
            child.attrib = {key: value for key, value in child.attrib.items() if same.get(key) != value}
        group.attrib |= same


def _without_hulls(element: Element) -> Iterator[Element]:
    """Yield an element, or what is in it where it is a group that says nothing."""
    element[:] = [part for child in element for part in _without_hulls(child)]
    if element.tag == "g" and not element.attrib:
        yield from element
    else:
        yield element


def _is_style(element: Element) -> bool:
    return element.tag == "defs" and all(child.tag == "style" for child in element)
