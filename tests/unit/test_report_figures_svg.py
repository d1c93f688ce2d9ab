"""Figures as SVG text: harmless in a page, coloured by its variables, small, the same every time."""

import re
import warnings
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from threading import Thread
from typing import Any
from xml.etree.ElementTree import Element, fromstring

import matplotlib as mpl
import pytest
from matplotlib.text import Text

import latebreak.service.questions as ask
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Portrait, Zone
from latebreak.service.report.figures import (
    LIGHT,
    TimedPitch,
    arrival_plot,
    belief_plot,
    side_view,
    svg_of,
    timeline_plot,
    top_view,
)
from latebreak.service.report.figures.canvas import with_plain_ticks

SVG = "{http://www.w3.org/2000/svg}"


@cache
def shown() -> tuple[Portrait, dict[str, Estimate], Zone]:
    result = ask.portray("two-grips", throws=512).result
    portrait = result.pitches["curve_spike"]
    estimates = ask.compare("two-grips", pitches=[portrait.name], throws=128, intervals=False).result
    return portrait, estimates.pitches[portrait.name], result.zone


@cache
def drawn(name: str = "fig") -> dict[str, str]:
    portrait, estimates, zone = shown()
    title = "curve beside fastball"
    return {
        "side": svg_of(side_view, portrait, estimates, zone=zone, name=f"{name}-side", title=title),
        "top": svg_of(top_view, portrait, estimates, hand="right", name=f"{name}-top", title=title),
        "arrival": svg_of(arrival_plot, portrait, zone, hand="right", bats="left", name=f"{name}-arrival", title=title),
        "belief": svg_of(belief_plot, portrait, estimates, role="rival", name=f"{name}-belief", title=title),
        "timeline": svg_of(
            timeline_plot, [TimedPitch(portrait, estimates, "thrown")], name=f"{name}-timeline", title=title
        ),
    }


KINDS = pytest.mark.parametrize("kind", ["side", "top", "arrival", "belief", "timeline"])


@pytest.fixture
def own_settings() -> Iterator[None]:
    """A user who has made himself at home."""
    own: dict[Any, Any] = {
        "font.size": 30.0,
        "axes.grid": True,
        "axes.facecolor": "red",
        "figure.autolayout": True,
        "text.color": "blue",
    }
    with mpl.rc_context(own):
        yield


@KINDS
def test_the_element_names_itself(kind: str) -> None:
    root = fromstring(drawn()[kind])
    assert root.tag == SVG + "svg"
    assert root.attrib["role"] == "img"
    assert "viewBox" in root.attrib
    assert not {"width", "height"} & set(root.attrib)  # the page sets the size
    title = root[0]
    assert title.tag == SVG + "title"
    assert title.text == "curve beside fastball"
    assert root.attrib["aria-labelledby"] == title.attrib["id"]


@KINDS
def test_nothing_that_a_strict_policy_forbids(kind: str) -> None:
    text = drawn()[kind]
    assert not text.startswith("<?xml")
    assert "<!" not in text
    assert {element.tag.removeprefix(SVG) for element in fromstring(text).iter()} <= {
        "svg", "title", "g", "path", "text", "use", "defs", "clipPath", "rect",
    }  # fmt: skip
    names = {name for element in fromstring(text).iter() for name in element.attrib}
    assert "style" not in names
    assert not [name for name in names if name.startswith("on") or "}" in name]
    addresses = {element.attrib["href"][0] for element in fromstring(text).iter() if "href" in element.attrib}
    assert addresses <= {"#"}
    assert re.findall(r"https?://[^\"]*", text) == ["http://www.w3.org/2000/svg"]


@KINDS
def test_every_colour_is_a_variable(kind: str) -> None:
    root = fromstring(drawn()[kind])
    colours = {element.attrib[key] for element in root.iter() for key in ("fill", "stroke") if key in element.attrib}
    assert colours <= {"none"} | {f"var({name})" for name in LIGHT.variables()}
    assert len(colours) > 3
    # text without a colour would be black, in the dark too
    assert all(element.attrib.get("fill", "").startswith("var(") for element in root.iter(SVG + "text"))


@KINDS
def test_references_are_kept_and_ids_differ(kind: str) -> None:
    root = fromstring(drawn()[kind])
    ids = [element.attrib["id"] for element in root.iter() if "id" in element.attrib]
    assert len(set(ids)) == len(ids)
    assert all(one.startswith(f"fig-{kind}-") for one in ids)
    used = [element.attrib["href"].removeprefix("#") for element in root.iter() if "href" in element.attrib]
    used += [found for value in values_of(root) for found in re.findall(r"url\(#([^)]*)\)", value)]
    assert used
    assert set(used) <= set(ids)


def values_of(root: Element) -> list[str]:
    return [value for element in root.iter() for value in element.attrib.values()]


def test_ids_of_a_page_differ() -> None:
    ids = [
        one for name in ("fig", "other") for text in drawn(name).values() for one in re.findall(r' id="([^"]*)"', text)
    ]
    assert len(set(ids)) == len(ids)
    assert {"fig-side-thrown", "fig-side-mark-decides", "fig-arrival-expected", "fig-belief-rival"} <= set(ids)


@KINDS
def test_small(kind: str) -> None:
    """A page of five pitches stays below a megabyte of figures."""
    assert len(drawn()[kind].encode()) < 40_000


def test_the_same_every_time_whatever_the_users_settings(own_settings: None) -> None:
    before = dict(mpl.rcParams)
    again = drawn.__wrapped__()
    assert dict(mpl.rcParams) == before
    assert again == drawn()


def test_the_same_from_threads() -> None:
    portrait, estimates, _ = shown()
    found: list[str] = []

    def draw() -> None:
        found.append(
            svg_of(belief_plot, portrait, estimates, role="rival", name="fig-belief", title="curve beside fastball")
        )

    threads = [Thread(target=draw) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [drawn()["belief"]] * 4


@KINDS
@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "$x^2$ & 'b'", "🙂 曲", 'a" onload="b'])
def test_names_come_out_as_text(kind: str, name: str) -> None:
    portrait, estimates, zone = shown()
    types = tuple(name if one == portrait.name else one for one in portrait.belief.types)
    other = replace(portrait, name=name, belief=replace(portrait.belief, types=types))
    draw, rest, more = {
        "side": (side_view, (estimates,), {}),
        "top": (top_view, (estimates,), {"hand": "right"}),
        "arrival": (arrival_plot, (zone,), {"hand": "right", "bats": "right"}),
        "belief": (belief_plot, (estimates,), {}),
        "timeline": (timeline_plot, (), {}),
    }[kind]
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # not even of letters that matplotlib's font lacks
        first = [TimedPitch(other, estimates, "thrown")] if kind == "timeline" else other
        text = svg_of(draw, first, *rest, name="fig", title=f"{name} beside fastball", **more)  # type: ignore[arg-type]
    root = fromstring(text)
    written = ["".join(element.itertext()) for element in root.iter(SVG + "text")]
    start = name if len(name) <= 22 and name.isascii() else name[:3]
    assert any(words.startswith(start) for words in written)
    assert root[0].text == f"{name} beside fastball"
    assert "<script" not in text
    assert not [one for element in root.iter() for one in element.attrib if one.startswith("on")]


@pytest.mark.parametrize("name", ["", "1a", "a b", 'a"b', "A", "a_b"])
def test_a_name_that_begins_no_id_is_refused(name: str) -> None:
    portrait, estimates, _ = shown()
    with pytest.raises(ValueError, match="name"):
        svg_of(belief_plot, portrait, estimates, name=name, title="")


def test_plain_ticks_stand_where_ticks_stood() -> None:
    portrait, _, zone = shown()
    ax = arrival_plot(portrait, zone, hand="right", bats="right")
    figure = ax.get_figure(root=True)
    assert figure is not None

    def places(words: list[Text]) -> list[tuple[str, float, float]]:
        figure.draw_without_rendering()
        return sorted((one.get_text(), one.get_window_extent().x0, one.get_window_extent().y0) for one in words)

    before = places([*ax.get_xticklabels(), *ax.get_yticklabels()])
    others = list(ax.texts)
    with_plain_ticks(ax)
    assert not ax.xaxis.get_visible()
    assert not ax.yaxis.get_visible()
    after = places([one for one in ax.texts if one not in others])
    assert len(before) > 6
    for (name, *place), (same_name, *same_place) in zip(before, after, strict=True):
        assert name == same_name
        assert same_place == pytest.approx(place, abs=1.0)  # a pixel: letters stand on whole ones
