"""How the page lies on wide screens, phones and paper, in light and dark; and what assistive technology meets."""

from io import BytesIO
from pathlib import Path
from typing import Any
from unicodedata import normalize

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from pypdf import PageObject, PdfReader

from latebreak.service.quantities import Units
from latebreak.service.report.words import verdict
from latebreak.service.scenario.ready import ready_names

pytestmark = pytest.mark.slow

#: Throws of two months: the page that tells what changed.
SESSIONS = "left-eleven-to-five from april and june"


READY = (*ready_names(), SESSIONS)
UNITS = ("us", "metric")

WIDE, TABLET, PHONE = {"width": 1280, "height": 900}, {"width": 768, "height": 1024}, {"width": 360, "height": 740}
#: CSS px of text in pictures (chosen: the least that is read on a phone at arm's length).
LEAST_TEXT = 10.0

#: Text outside pictures that is smaller than that.
SMALL = """(least) => [...document.querySelectorAll("body *")]
    .filter((one) => !one.closest("svg, script, noscript") && one.checkVisibility({ visibilityProperty: true }))
    .filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
    .filter((one) => one.getBoundingClientRect().width > 1)
    .filter((one) => parseFloat(getComputedStyle(one).fontSize) < least - 0.05)
    .map((one) => `${one.innerText.slice(0, 40)} is ${getComputedStyle(one).fontSize} high`)"""

LAYOUT = Path(__file__).with_name("layout.js").read_text(encoding="utf-8")

#: An inch in points, mm and CSS px.
POINT, MM, CSS_INCH = 72.0, 25.4, 96.0
#: Points of text on paper: what a coach reads on a clipboard, and what a pitcher reads in his locker (chosen).
LEAST_PRINT, LEAST_ON_CARD = 8.0, 9.0
PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
#: What printers leave white, mm (common practice, no source).
UNPRINTED_MM = 5.0


def faults(page: Page, least_text: float = LEAST_TEXT) -> list[str]:
    found = page.evaluate(LAYOUT, least_text)
    assert found["texts"] > 20  # a page without text has no faults
    return list(found["faults"])


def serious(page: Page, **options: Any) -> dict[str, list[str]]:
    """Rules of axe-core that the page breaks seriously, with the elements that break them."""
    results = Axe().run(page, options={"resultTypes": ["violations"], **options}).response  # tells all of these alone
    assert results["passes"]  # rules were tried
    return {
        f"{rule['id']}: {rule['help']}": [node["html"][:200] for node in rule["nodes"]]
        for rule in results["violations"]
        if rule["impact"] in ("serious", "critical")
    }


def open_details(page: Page) -> None:
    for details in page.locator("details > summary").all():
        details.click()


@pytest.mark.parametrize("viewport", [WIDE, TABLET, PHONE], ids=["wide", "tablet", "phone"])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_nothing_overlaps_and_nothing_is_cut_off(
    show: Any, page_file: Any, name: str, units: Units, viewport: dict[str, int]
) -> None:
    page = show(page_file(name, units), viewport=viewport, reduced_motion="reduce").page
    page.emulate_media(color_scheme="light")
    open_details(page)
    found = {"as he decides": faults(page)}
    page.locator("#go").click()
    page.emulate_media(color_scheme="dark")
    found["where it arrives, in the dark"] = faults(page)
    assert {when: what for when, what in found.items() if what} == {}


@pytest.mark.parametrize("viewport", [WIDE, TABLET, PHONE], ids=["wide", "tablet", "phone"])
@pytest.mark.parametrize("name", READY)
def test_no_serious_fault_of_access(show: Any, page_file: Any, name: str, viewport: dict[str, int]) -> None:
    """Rules of axe-core, which follow the Web Content Accessibility Guidelines 2.2."""
    page = show(page_file(name), viewport=viewport).page
    page.emulate_media(color_scheme="light")
    open_details(page)
    assert serious(page) == {}
    page.emulate_media(color_scheme="dark")
    assert serious(page, runOnly=["color-contrast"]) == {}  # nothing else differs


def test_the_card_has_no_serious_fault_of_access(show: Any, card_file: Any) -> None:
    page = show(card_file("two-grips"), viewport=PHONE).page
    assert serious(page) == {}
    assert faults(page) == []


@pytest.mark.parametrize("what", ["page", "card"])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_printed_it_is_two_sheets_and_the_card_is_one(
    show: Any, page_file: Any, card_file: Any, material: Any, name: str, units: Units, what: str
) -> None:
    """What is folded stays folded. Dark readers print on white paper too."""
    told = material(name)
    said = [str(verdict(told.scenario, told.compared.result)), *told.reached.cautions]
    file, most = {"page": (page_file, 2), "card": (card_file, 1)}[what]
    page = show(file(name, units), viewport=WIDE, color_scheme="dark").page
    for paper, sides in PAPER_MM.items():
        printed = PdfReader(BytesIO(page.pdf(format=paper, print_background=True)))
        assert len(printed.pages) <= most, paper
        width, height = (side / MM * POINT for side in sides)
        texts = []
        for sheet in printed.pages:
            size = float(sheet.mediabox.width), float(sheet.mediabox.height)
            assert size == pytest.approx((width, height), abs=1)
            text, places = _read(sheet)
            margin = UNPRINTED_MM / MM * POINT
            assert all(margin < x < width - margin and margin < y < height - margin for x, y in places)
            texts.append(text)
        # a PDF keeps no order of words
        assert [word for one in said for word in one.split() if word not in "".join(texts)] == []


def _read(sheet: PageObject) -> tuple[str, list[tuple[float, float]]]:
    """Text of a sheet without its spaces, and where its pieces start, points from the lower left corner."""
    places: list[tuple[float, float]] = []

    def note(text: str, matrix: list[float], start: list[float], *_: Any) -> None:
        if text.strip():
            (a, b, c, d, e, f), (x, y) = matrix, start[4:]
            places.append((a * x + c * y + e, b * x + d * y + f))

    text = sheet.extract_text(visitor_text=note)
    return "".join(normalize("NFKC", text).split()), places  # letters that are tied together are taken apart


@pytest.mark.parametrize("what", ["page", "card"])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_on_paper_nothing_overlaps_and_nothing_leaves_the_sheet(
    show: Any, page_file: Any, card_file: Any, name: str, units: Units, what: str
) -> None:
    """In a window as wide as the sheet between its margins: what does not fit there is cut off on paper."""
    file, least = {"page": (page_file, LEAST_PRINT), "card": (card_file, LEAST_ON_CARD)}[what]
    page = show(file(name, units)).page
    margin = page.evaluate(
        """() => [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules])
        .filter((rule) => rule instanceof CSSPageRule).map((rule) => rule.style.margin)[0]"""
    )
    assert margin.endswith("mm")
    page.emulate_media(media="print")
    found = {}
    for paper, (width, height) in PAPER_MM.items():
        between = (width - 2.0 * float(margin.removesuffix("mm"))) / MM * CSS_INCH
        page.set_viewport_size({"width": int(between), "height": int(height)})
        found[paper] = faults(page, least / POINT * CSS_INCH)
        found[paper] += page.evaluate(SMALL, least / POINT * CSS_INCH)
    page.emulate_media(media="screen")
    assert found == {"A4": [], "Letter": []}
