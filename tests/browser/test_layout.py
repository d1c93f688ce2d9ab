"""How the page lies on wide screens, phones and paper, in light and dark; and what assistive technology meets."""

from io import BytesIO
from pathlib import Path
from typing import Any
from unicodedata import normalize

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from pypdf import PageObject, PdfReader

from latebreak.service.quantities import Reader, Units
from latebreak.service.questions.compare_words import why_better
from latebreak.service.scenario.ready import ready_names

pytestmark = pytest.mark.slow

#: Throws of two months: the page that tells what changed.
SESSIONS = "left-eleven-to-five from april and june"


READY = (*ready_names(), SESSIONS)
UNITS = ("us", "metric")

WIDE, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
#: CSS px of text in pictures (chosen: the least that is read on a phone at arm's length).
LEAST_TEXT = 10.0

LAYOUT = Path(__file__).with_name("layout.js").read_text(encoding="utf-8")

#: An inch in points, mm and CSS px.
POINT, MM, CSS_INCH = 72.0, 25.4, 96.0
#: Points of text in pictures on paper (chosen: a newspaper's smallest print has 5 to 6).
LEAST_PRINT = 5.0
PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
#: What printers leave white, mm (common practice, no source).
UNPRINTED_MM = 5.0


def faults(page: Page, least_text: float = LEAST_TEXT) -> list[str]:
    found = page.evaluate(LAYOUT, least_text)
    assert found["texts"] > 100  # a page without text has no faults
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


@pytest.mark.parametrize("viewport", [WIDE, PHONE], ids=["wide", "phone"])
@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_nothing_overlaps_and_nothing_is_cut_off(
    show: Any, page_file: Any, name: str, units: Units, viewport: dict[str, int]
) -> None:
    page = show(page_file(name, units), viewport=viewport).page
    page.emulate_media(color_scheme="light")
    open_details(page)
    found = {}
    for share in (0.0, 0.65, 1.0):
        page.locator("#time").evaluate(
            "(one, share) => { one.value = share * one.max; one.dispatchEvent(new Event('input')) }", share
        )
        found[f"at {share:.0%} of the way"] = faults(page)
    page.emulate_media(color_scheme="dark")
    page.locator("#shown-pitch").select_option(index=page.locator("#shown-pitch option").count() - 1)
    page.locator("#time").press("Home")
    found["all pitches in the dark"] = faults(page)
    assert {when: what for when, what in found.items() if what} == {}


@pytest.mark.parametrize("viewport", [WIDE, PHONE], ids=["wide", "phone"])
@pytest.mark.parametrize("name", READY)
def test_no_serious_fault_of_access(show: Any, page_file: Any, name: str, viewport: dict[str, int]) -> None:
    """Rules of axe-core, which follow the Web Content Accessibility Guidelines 2.2."""
    page = show(page_file(name), viewport=viewport).page
    page.emulate_media(color_scheme="light")
    open_details(page)
    assert serious(page) == {}
    page.emulate_media(color_scheme="dark")
    assert serious(page, runOnly=["color-contrast"]) == {}  # nothing else differs


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_printed_it_is_two_pages(show: Any, page_file: Any, material: Any, name: str, units: Units) -> None:
    # dark readers print on white paper too
    page = show(page_file(name, units), viewport=WIDE, color_scheme="dark").page
    for paper, sides in PAPER_MM.items():
        printed = PdfReader(BytesIO(page.pdf(format=paper, print_background=True)))
        assert (paper, len(printed.pages)) == (paper, 2)
        width, height = (side / MM * POINT for side in sides)
        texts = []
        for sheet in printed.pages:
            assert (float(sheet.mediabox.width), float(sheet.mediabox.height)) == pytest.approx((width, height), abs=1)
            text, places = _read(sheet)
            assert len(places) > 50  # neither sheet is nearly empty
            margin = UNPRINTED_MM / MM * POINT
            assert all(margin < x < width - margin and margin < y < height - margin for x, y in places)
            texts.append(text)
        told = material(name)
        # a PDF keeps no order of words
        compared, reader = told.compared.result, Reader(units, told.scenario.pitcher.hand)
        why = why_better(told.scenario, compared.fastball, compared.pitches, compared.better, reader)
        verdict = [str(one) for one in why]
        said = [*verdict, *told.levers.cautions, *told.compared.cautions, "does not know"]
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


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("name", READY)
def test_on_paper_nothing_overlaps_and_nothing_leaves_the_sheet(
    show: Any, page_file: Any, name: str, units: Units
) -> None:
    """In a window as wide as the sheet between its margins: what does not fit there is cut off on paper."""
    page = show(page_file(name, units)).page
    margin = page.evaluate(
        """() => [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules])
        .filter((rule) => rule instanceof CSSPageRule).map((rule) => rule.style.marginLeft)[0]"""
    )
    assert margin.endswith("mm")
    page.emulate_media(media="print")
    found = {}
    for paper, (width, height) in PAPER_MM.items():
        between = (width - 2.0 * float(margin.removesuffix("mm"))) / MM * CSS_INCH
        page.set_viewport_size({"width": int(between), "height": int(height)})
        found[paper] = faults(page, LEAST_PRINT / POINT * CSS_INCH)
    assert found == {"A4": [], "Letter": []}
