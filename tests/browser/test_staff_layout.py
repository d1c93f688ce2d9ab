"""How the page of a staff lies on wide screens, phones and paper; and what assistive technology meets."""

from io import BytesIO
from pathlib import Path
from typing import Any
from unicodedata import normalize

import pytest
from browser.test_layout import LEAST_PRINT, PAPER_MM, PHONE, SMALL, TABLET, WIDE, faults, serious
from pypdf import PdfReader
from staff_pages import ROAD, outcome, page, scenario

from latebreak.service.sweep.asking import Outcome

pytestmark = pytest.mark.slow

LONG = "Two curveball grips of Maximiliana Quillfeather-Oystercatcher, Harrow Creek Kingfishers"
#: A word that a phone is too narrow for.
WORD = "Donaudampfschifffahrtsgesellschaftskapitaenskurve"


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with every kind of row, and long names."""
    two = {"curve": 33.4, "slider": 30.0}
    path = tmp_path_factory.mktemp("staff") / "staff.html"
    text = page(
        (scenario(LONG), outcome(two, better="curve", road=ROAD)),
        (scenario(WORD, level="youth", age_years=12), outcome({"curve": 28.0}, road=ROAD)),
        (scenario("Lefty", hand="left"), outcome(two, chance=55.0)),
        (None, Outcome("not TOML: the line is 'title = \"half', which nobody can read; close the quote", {})),
    )
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("viewport", [WIDE, TABLET, {"width": 390, "height": 844}, PHONE])
def test_on_screens(show: Any, file: Path, viewport: dict[str, int], scheme: Any) -> None:
    shown = show(file, viewport=viewport).page
    shown.emulate_media(color_scheme=scheme)
    assert faults(shown) == []
    assert shown.evaluate("document.documentElement.scrollWidth") <= viewport["width"]
    assert serious(shown) == {}


@pytest.mark.parametrize("paper", PAPER_MM)
def test_on_paper(show: Any, file: Path, paper: str) -> None:
    """It lies across the sheet; a pitcher is not torn apart, and the first stands on the first."""
    shown = show(file, viewport=WIDE, color_scheme="dark").page
    shown.emulate_media(media="print")
    assert shown.evaluate(SMALL, LEAST_PRINT / 72.0 * 96.0) == []
    printed = PdfReader(BytesIO(shown.pdf(prefer_css_page_size=True, format=paper, print_background=True)))
    shown.emulate_media(media="screen")
    sheets = ["".join(normalize("NFKC", sheet.extract_text()).split()) for sheet in printed.pages]
    assert len(sheets) <= 3
    assert "Quillfeather" in sheets[0]
    (own,) = (sheet for sheet in sheets if "Ages11to12" in sheet)
    assert WORD[:20] in own
    assert all(sheet.mediabox.width > sheet.mediabox.height for sheet in printed.pages)
