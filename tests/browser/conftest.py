"""A real Chromium without a window, and the pages that it opens; all of it slow.

The browser belongs to a module, not to the session: while playwright's own event loop stands, nothing else in the
process can start one.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("playwright", reason="playwright is not installed (extra test-all)")

from playwright.sync_api import Browser, Dialog, Page, sync_playwright

from latebreak.service.quantities import Units
from latebreak.service.report.material import Material, Measured, gather
from latebreak.service.report.page import render, render_card
from latebreak.service.scenario import from_mapping, load

#: Throws of each pitch behind a page: what is drawn is of mean paths, or compared with an answer of as many.
THROWS = 400

#: Another name of the program may be put in the environment.
CHROMIUM = "LATEBREAK_CHROMIUM"
#: Nothing but the page: no request of the browser's own, no second process for a screen that is not there.
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

#: ms within which the page must do what it is told; only a page that never does so waits that long.
PATIENCE = 10_000

Show = Callable[..., "Shown"]
PageFile = Callable[..., Path]


@dataclass
class Shown:
    """A page in a tab of its own.

    Attributes
    ----------
    page : Page
        Its tab.
    said : list of str
        What it said on the console, and errors that nothing caught.
    asked : list of str
        URLs that it asked for, first its own.
    """

    page: Page
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = os.environ.get(CHROMIUM) or shutil.which("chromium")
    if path is None:
        pytest.skip(f"no Chromium: install Debian's package chromium, or set {CHROMIUM} to its path")
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=path, args=QUIET)
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def tabs(browser: Browser) -> Iterator[dict[str, Shown]]:
    """Tabs, by what they were opened with: to open a tab takes longer than to open a page in it."""
    opened: dict[str, Shown] = {}
    yield opened
    for shown in opened.values():
        shown.page.context.close()


@pytest.fixture
def show(browser: Browser, tabs: dict[str, Shown]) -> Iterator[Show]:
    """Open a file afresh; keyword arguments are those of a browser context, `before` is done once to its tab.

    After the test no page may have complained, nor asked for anything but itself, unless the test cleared the lists.
    """
    opened: list[Shown] = []

    def open_file(path: Path, *, before: Callable[[Page], Any] = lambda page: None, **context: Any) -> Shown:
        key = repr((before.__qualname__, sorted(context.items())))
        if key not in tabs:
            tabs[key] = Shown(browser.new_context(**context).new_page())
            listen(tabs[key])
            before(tabs[key].page)
        shown = tabs[key]
        opened.append(shown)
        shown.page.goto(path.as_uri())
        return shown

    yield open_file
    said = [one for shown in opened for one in shown.said]
    asked = [url for shown in opened for url in shown.asked if url != shown.page.url.partition("#")[0]]
    for shown in opened:
        shown.said.clear()
        shown.asked.clear()
    assert said == []
    assert asked == []


def listen(shown: Shown) -> None:
    """Note what a page says and asks for."""
    tab = shown.page

    def asked_back(dialog: Dialog) -> None:
        shown.said.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    tab.set_default_timeout(PATIENCE)
    tab.on("console", lambda message: shown.said.append(f"{message.type}: {message.text}"))
    tab.on("pageerror", lambda error: shown.said.append(f"not caught: {error}"))
    tab.on("dialog", asked_back)
    tab.on("request", lambda request: shown.asked.append(request.url))


@cache
def _material(name: str) -> Material:
    base, _, sessions = name.partition(" from ")
    measured = Measured(*sessions.split(" and ")) if sessions else None
    return gather(base, measured=measured, throws=THROWS)


@pytest.fixture(scope="session")
def material() -> Callable[[str], Material]:
    """Return the answers behind a page: "SCENARIO", or "SCENARIO from EARLIER and LATER" for ready throws."""
    return _material


@pytest.fixture(scope="session")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> PageFile:
    """Return a page, made once; named as `material` names it."""
    folder = tmp_path_factory.mktemp("pages")

    @cache
    def write(name: str, units: Units = "us") -> Path:
        path = folder / f"{name}-{units}.html"
        path.write_text(render(_material(name), units), encoding="utf-8")
        return path

    return write


@pytest.fixture(scope="session")
def card_file(tmp_path_factory: pytest.TempPathFactory) -> PageFile:
    """Return a sheet for the locker, made once; named as `material` names it."""
    folder = tmp_path_factory.mktemp("cards")

    @cache
    def write(name: str, units: Units = "us") -> Path:
        path = folder / f"{name}-{units}.html"
        path.write_text(render_card(_material(name), units), encoding="utf-8")
        return path

    return write


@pytest.fixture(scope="session")
def odd_page(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """Return a page whose title and names are markup, and those names, the fastball first."""
    names = ["<b>four</b> & {{ 1 }} $x^2$", "</script><img src=x onerror=alert(1)>'\""]
    tables: dict[str, Any] = dict(load("left-eleven-to-five").tables)
    tables["title"] = "<script>alert(3)</script></title><style>*{display:none}</style>"
    tables["pitch"] = dict(zip(names, tables["pitch"].values(), strict=True))
    path = tmp_path_factory.mktemp("odd") / "odd.html"
    path.write_text(render(gather(from_mapping(tables), throws=64), "us"), encoding="utf-8")
    return path, names
