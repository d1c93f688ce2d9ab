"""The moving picture: it plays once by itself, stops when he must decide, and goes on at a touch."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.slow

#: ms: the page waits so long before it plays, and a picture of the fake clock takes 16.
BEFORE, FRAME = 700, 16
WHOLE_FLIGHT = 700  # longer than any pitch of these scenarios


def fake_clock(page: Page) -> None:
    page.clock.install(time="2030-01-01")
    page.clock.pause_at("2030-01-02")


@pytest.fixture
def opened(show: Any, page_file: Any) -> Callable[..., Page]:
    """Open a page whose clock stands still until it is told to run."""

    def open_page(name: str = "two-grips", **context: Any) -> Page:
        page: Page = show(page_file(name), before=fake_clock, **context).page
        return page

    return open_page


def state(page: Page) -> str:
    return page.locator("#film").get_attribute("data-state") or ""


def moments(page: Page) -> list[float]:
    return [float(one.get_attribute("data-time-ms") or "nan") for one in page.locator(".panel").all()]


def decides(material: Any, name: str = "two-grips") -> list[float]:
    return [one.decides_ms for one in material(name).portrayed.result.pitches.values()]


def seen(page: Page, selector: str) -> bool:
    return all(one.is_visible() for one in page.locator(selector).all())


def test_it_plays_once_by_itself_and_stops_at_his_last_look(opened: Callable[..., Page], material: Any) -> None:
    page = opened()
    assert (state(page), moments(page)) == ("waits", [0.0, 0.0])
    page.clock.run_for(BEFORE + 100)
    assert state(page) == "flies"
    assert moments(page) == pytest.approx([100.0] * 2, abs=3 * FRAME)  # real speed, the first pictures apart
    assert not seen(page, ".home .ring")
    page.clock.run_for(WHOLE_FLIGHT)
    assert state(page) == "decides"
    assert moments(page) == pytest.approx(decides(material), abs=1e-3)
    assert seen(page, ".home .ring")
    assert not seen(page, ".home .ball")
    page.clock.run_for(10_000)
    assert state(page) == "decides"  # it waits for the touch


@pytest.mark.parametrize("touched", ["#go", ".panel .home >> nth=1"])
def test_a_touch_and_it_arrives(opened: Callable[..., Page], material: Any, touched: str) -> None:
    page = opened()
    page.clock.run_for(BEFORE + WHOLE_FLIGHT)
    page.locator(touched).click()
    assert state(page) == "comes"
    page.clock.run_for(WHOLE_FLIGHT)
    assert state(page) == "arrived"
    assert seen(page, ".home .ring")
    assert seen(page, ".home .ball")
    assert moments(page) == pytest.approx(decides(material), abs=1e-3)  # his last look beside what became of it
    said = page.locator("#said").inner_text()
    for pitch in material("two-grips").portrayed.result.pitches.values():
        assert f"{pitch.name}: It arrives" in said
    page.locator(touched).click()
    assert state(page) == "flies"  # again from the hand


def test_ten_times_slower(opened: Callable[..., Page]) -> None:
    page = opened()
    page.locator("#slowly").check()
    page.clock.run_for(BEFORE + 1000)
    assert moments(page) == pytest.approx([100.0] * 2, abs=0.3 * FRAME)


def test_who_wants_no_motion_sees_still_moments(opened: Callable[..., Page], material: Any) -> None:
    page = opened(reduced_motion="reduce")
    for _ in range(2):
        assert state(page) == "decides"
        assert moments(page) == pytest.approx(decides(material), abs=1e-3)
        page.clock.run_for(10_000)
        assert state(page) == "decides"
        page.locator("#go").click()
        assert state(page) == "arrived"  # at once
        page.locator("#go").click()


def test_keys_do_what_a_touch_does(opened: Callable[..., Page]) -> None:
    page = opened()
    page.clock.run_for(BEFORE + WHOLE_FLIGHT)
    page.locator("#go").focus()
    page.keyboard.press("Space")
    assert state(page) == "comes"
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.id") == "slowly"
    for name, role in (("ten times slower", "checkbox"), ("Play again", "button")):
        assert page.locator("#controls").get_by_role(role, name=name).count() == 1


def test_the_browsers_own_clock(show: Any, page_file: Any) -> None:
    page = show(page_file("two-grips")).page
    expect(page.locator("#film")).to_have_attribute("data-state", "decides")
    page.locator("#go").click()
    expect(page.locator("#film")).to_have_attribute("data-state", "arrived")
