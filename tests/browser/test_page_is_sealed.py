"""The page asks for nothing, executes nothing but its own script, and shows names as they were written."""

import re
from collections.abc import Callable, Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from latebreak.service.report.words import verdict

pytestmark = pytest.mark.slow

NAMES = ["two-grips", "left-eleven-to-five"]

#: Ends when everything that was asked for has come or failed.
SETTLED = "networkidle"


@pytest.fixture
def listener() -> Iterator[tuple[str, list[str]]]:
    """Answer on this machine: address, and the paths that were asked for."""
    asked: list[str] = []

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.send_header("Access-Control-Allow-Origin", "*")
            self.end_headers()

        def log_message(self, *_: Any) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.mark.parametrize("name", NAMES)
def test_it_opens_from_a_file_without_a_word_and_asks_for_nothing(show: Any, page_file: Any, name: str) -> None:
    path = page_file(name)
    shown = show(path)
    shown.page.wait_for_load_state(SETTLED)
    # everything that a visitor can do without leaving the page
    shown.page.locator("summary").first.click()
    shown.page.locator("#go").click()
    assert shown.asked == [path.as_uri()]
    assert shown.said == []


@pytest.mark.parametrize("sealed", [True, False], ids=["sealed", "seal broken"])
def test_what_is_smuggled_in_is_refused(
    show: Any, page_file: Any, tmp_path: Path, listener: tuple[str, list[str]], sealed: bool
) -> None:
    """The same copy without its policy shows that each of these would have worked."""
    address, asked = listener
    smuggled = (
        "<script>window.ran = 'a script'</script><p id=handled onclick=\"window.caught = 'a handler'\">here</p>"
        f'<img src="{address}/picture"><link rel=stylesheet href="{address}/style"><script src="{address}/script">'
        f'</script><iframe src="{address}/frame"></iframe><style>#handled {{ position: fixed }}</style>'
    )
    text = page_file("two-grips").read_text(encoding="utf-8").replace("</main>", f"</main>{smuggled}", 1)
    if not sealed:
        text, count = re.subn(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
        assert count == 1
    copy = tmp_path / "copy.html"
    copy.write_text(text, encoding="utf-8")
    shown = show(copy)
    shown.page.locator("#handled").dispatch_event("click")
    shown.page.evaluate(
        f"async () => {{ try {{ await fetch('{address}/fetch') }} catch {{ }}"
        f" try {{ new WebSocket('{address.replace('http', 'ws')}/socket') }} catch {{ }}"
        f" navigator.sendBeacon('{address}/beacon') }}"
    )
    shown.page.wait_for_load_state(SETTLED)
    found = {
        "ran": shown.page.evaluate("window.ran ?? null"),
        "caught": shown.page.evaluate("window.caught ?? null"),
        "styled": shown.page.locator("#handled").evaluate("one => getComputedStyle(one).position") == "fixed",
        "asked": {"/picture", "/style", "/script", "/frame", "/fetch"} & set(asked),
    }
    if sealed:
        assert asked == []
        assert found == {"ran": None, "caught": None, "styled": False, "asked": set()}
        assert shown.page.locator("#go").is_visible()  # its own script and style are not refused
        assert shown.page.evaluate("getComputedStyle(document.querySelector('.verdict')).fontSize") != "16px"
    else:
        everything = {"/picture", "/style", "/script", "/frame", "/fetch"}
        assert found == {"ran": "a script", "caught": "a handler", "styled": True, "asked": everything}
    shown.said.clear()  # refusals are told on the console
    shown.asked.clear()


def test_names_that_look_like_markup_are_shown_as_they_are(show: Any, odd_page: tuple[Path, list[str]]) -> None:
    path, (fastball, pitch) = odd_page
    page = show(path).page
    page.wait_for_load_state(SETTLED)
    assert page.title() == "<script>alert(3)</script></title><style>*{display:none}</style>"
    assert page.locator("h1").inner_text() == page.title()
    assert page.locator("main").is_visible()
    assert page.locator("b, img, iframe").count() == 0
    assert page.locator("script").count() == 2  # data and player
    assert page.locator(".measures thead th").all_text_contents() == [pitch]
    assert pitch in page.locator(".verdict").inner_text()
    assert pitch in page.locator(".panel figcaption").inner_text()
    assert fastball in page.locator(".panel figcaption").inner_text()
    # pictures name what they show: the time line, four of the pitch, and where to aim it; the mix names no pitch
    assert sum(pitch in title for title in page.locator("main svg > title").all_text_contents()) == 6


def test_without_its_script_the_page_still_tells_everything(
    show: Any, page_file: Any, material: Callable[[str], Any]
) -> None:
    page = show(page_file("two-grips"), java_script_enabled=False).page
    compared, scenario = material("two-grips").compared.result, material("two-grips").scenario
    assert page.locator(".verdict").inner_text() == str(verdict(scenario, compared))
    for one in (*page.locator(".home .ring").all(), *page.locator(".home .ball").all()):
        assert one.is_visible()  # the still picture holds both moments
    assert page.locator(".note.arrives").count() == len(compared.pitches)
    page.locator("summary").click()
    value = compared.pitches["curve_spike"]["miss_chance_percent"].value
    assert f"{value:.1f} %" in page.locator(".measures").inner_text()
    assert page.locator(".arm-care").is_visible()
    assert not page.locator("#controls").is_visible()  # what can't play has no buttons
