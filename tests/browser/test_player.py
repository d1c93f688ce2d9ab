"""The player: play, stop, slider, keys, speed, and readers who want no motion.

Most of it runs on playwright's clock, which the test moves on, so nothing here depends on how fast the machine is.
"""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.slow

#: ms between two pictures of a screen at 60 Hz, which is what the clock of the test gives.
FRAME = 17
#: ms: the slider stands on whole ms.
WHOLE = 0.5

#: Counts how often the ball is put somewhere else, and notes the times of the browser's own clock.
WATCH = """
window.watched = { moves: 0, first: null, last: null };
document.addEventListener("DOMContentLoaded", () => {
  const eye = document.getElementById("hitters-view");
  new MutationObserver(() => {
    watched.moves += 1;
    watched.first ??= performance.now();
    watched.last = performance.now();
  }).observe(eye, { attributes: true, attributeFilter: ["data-time-ms"] });
});
"""


def moment(page: Page) -> float:
    """Moment that the picture shows, ms after release."""
    return float(page.locator("#hitters-view").get_attribute("data-time-ms") or "nan")


def ball(page: Page) -> tuple[float, ...]:
    place = [page.locator("#ball-thrown").get_attribute(key) for key in ("cx", "cy", "r")]
    return tuple(float(one or "nan") for one in place)


def watch(page: Page) -> None:
    page.add_init_script(WATCH)


def stop_the_clock(page: Page) -> None:
    watch(page)
    page.clock.install(time=0)
    page.clock.pause_at(1000)


@pytest.fixture
def at_rest(show: Any, page_file: Any) -> Callable[..., Page]:
    """Open the page of two grips with a clock that stands still until it is moved."""

    def open_page(**context: Any) -> Page:
        page: Page = show(page_file("two-grips"), before=stop_the_clock, **context).page
        return page

    return open_page


@pytest.fixture
def commit_ms(material: Any) -> Callable[[Page], float]:
    """Return the commit point of the pitch that a page shows, ms after release."""

    def shown(page: Page) -> float:
        portrait = material("two-grips").portrayed.result.pitches[page.locator("#shown-pitch").input_value()]
        return float(portrait.commit_ms)

    return shown


def test_nothing_moves_before_it_is_told_to(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    before = ball(page)
    page.clock.run_for(2000)
    assert (moment(page), ball(page)) == (0.0, before)
    assert page.evaluate("watched.moves") <= 1  # where it stands at the start


def test_play_moves_the_balls_with_the_clock_and_pauses(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    start = ball(page)
    page.locator("#play").click()
    page.clock.run_for(200)
    assert moment(page) == pytest.approx(200.0, abs=FRAME)
    assert float(page.locator("#time").input_value()) == pytest.approx(moment(page), abs=WHOLE)
    assert ball(page)[2] > start[2]  # nearer, so larger
    page.locator("#play").click()
    paused = moment(page), ball(page)
    page.clock.run_for(500)
    assert (moment(page), ball(page)) == paused
    page.locator("#play").click()
    page.clock.run_for(50)
    assert moment(page) == pytest.approx(paused[0] + 50.0, abs=FRAME + WHOLE)


@pytest.mark.parametrize("speed", ["1", "0.1"])
def test_it_stops_at_the_commit_point_and_goes_on_from_there(
    at_rest: Callable[..., Page], commit_ms: Callable[[Page], float], speed: str
) -> None:
    page = at_rest()
    commit = commit_ms(page)
    assert page.locator("#stop-at-commit").is_checked()
    page.locator("#speed").select_option(speed)
    page.locator("#play").click()
    page.clock.run_for(int(commit / float(speed)) + 3 * FRAME)
    assert moment(page) == pytest.approx(commit, abs=WHOLE)
    page.clock.run_for(300)
    assert moment(page) == pytest.approx(commit, abs=WHOLE)
    assert "commit now" in page.locator("#readout").inner_text()
    page.locator("#speed").select_option("1")
    page.locator("#play").click()
    page.clock.run_for(400)
    assert moment(page) == float(page.locator("#time").get_attribute("max") or "nan")
    # from the end it starts again
    page.locator("#play").click()
    page.clock.run_for(100)
    assert moment(page) == pytest.approx(100.0, abs=FRAME)


def test_it_runs_through_where_it_is_not_to_stop(
    at_rest: Callable[..., Page], commit_ms: Callable[[Page], float]
) -> None:
    page = at_rest()
    commit = commit_ms(page)
    page.locator("#stop-at-commit").uncheck()
    page.locator("#play").click()
    page.clock.run_for(int(commit) + 100)
    assert moment(page) == pytest.approx(commit + 100.0, abs=FRAME + 1)


def test_slower_is_slower_by_as_much_on_the_browsers_own_clock(show: Any, page_file: Any) -> None:
    took = {}
    for speed in (1.0, 0.25):
        page = show(page_file("two-grips"), before=watch).page
        page.locator("#speed").select_option(f"{speed:g}")
        page.evaluate("watched.first = null")
        page.locator("#play").click()
        expect(page.locator("#readout")).to_contain_text("commit now")
        took[speed] = page.evaluate("watched.last - watched.first")
    # a picture may be late by as much as a busy machine makes it, here by a tenth of the shorter run at either end
    assert took[0.25] / took[1.0] == pytest.approx(4.0, rel=0.2)


def test_the_slider_is_moved_by_keys(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    slider = page.locator("#time")
    last = float(slider.get_attribute("max") or "nan")
    assert (slider.get_attribute("min"), slider.get_attribute("step")) == ("0", "1")
    slider.focus()
    for key, expected in (
        ("ArrowRight", 1.0),
        ("ArrowUp", 2.0),
        ("ArrowLeft", 1.0),
        ("End", last),
        ("ArrowRight", last),
        ("Home", 0.0),
        ("ArrowDown", 0.0),
    ):
        before = ball(page)
        slider.press(key)
        assert (key, moment(page)) == (key, expected)
        assert (ball(page) != before) == (key not in ("ArrowDown",) and not (key == "ArrowRight" and expected == last))
    slider.press("PageUp")
    assert 10.0 < moment(page) < last
    assert f"{moment(page):.0f} ms" in (slider.get_attribute("aria-valuetext") or "")


def test_space_and_enter_press_the_button(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    page.locator("#play").focus()
    for key in ("Space", "Enter"):
        page.locator("#play").press(key)
        before = moment(page)
        page.clock.run_for(60)
        assert moment(page) > before
        page.locator("#play").press(key)
        before = moment(page)
        page.clock.run_for(60)
        assert moment(page) == before


def test_every_control_is_reached_by_tab_and_named(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    page.locator("#play").focus()
    reached = ["play"]
    for _ in range(5):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.id"))
    assert reached == ["play", "speed", "shown-pitch", "shown-fastball", "stop-at-commit", "time"]
    for name, role in (
        ("Speed", "combobox"),
        ("Pitch", "combobox"),
        ("Fastball", "combobox"),
        ("stop at the commit point", "checkbox"),
        ("Time after release", "slider"),
        ("Play", "button"),
    ):
        assert page.locator(".controls").get_by_role(role, name=name).count() == 1


def test_the_readout_is_not_read_out_at_every_picture(at_rest: Callable[..., Page]) -> None:
    page = at_rest()
    page.evaluate(
        """() => { window.told = 0;
        new MutationObserver(() => { told += 1; }).observe(
          document.getElementById("readout"), { childList: true, characterData: true, subtree: true }) }"""
    )
    page.locator("#stop-at-commit").uncheck()
    page.locator("#play").click()
    page.clock.run_for(300)
    assert page.evaluate("told") == 0
    page.locator("#play").click()
    assert page.evaluate("told") == 1
    assert page.locator("#readout").get_attribute("role") == "status"


def test_every_pitch_can_be_chosen_and_both(at_rest: Callable[..., Page], material: Any) -> None:
    page = at_rest()
    pitches = list(material("two-grips").compared.result.pitches)
    options = page.locator("#shown-pitch option").all_text_contents()
    assert options == [*pitches, "both"]
    seen = []
    for name in pitches:
        page.locator("#shown-pitch").select_option(label=name)
        page.locator("#time").evaluate("one => { one.value = 300; one.dispatchEvent(new Event('input')); }")
        seen.append(ball(page))
        assert name in page.locator("#readout").inner_text()
        assert not page.locator("#ball-thrown-2").is_visible()
    assert seen[0] != seen[1]
    page.locator("#shown-pitch").select_option(label="both")
    assert page.locator("#ball-thrown-2").is_visible()
    both = [page.locator(one).get_attribute("cx") for one in ("#ball-thrown", "#ball-thrown-2")]
    assert [float(one or "nan") for one in both] == [one[0] for one in seen]


def test_who_wants_no_motion_sees_still_moments(
    at_rest: Callable[..., Page], commit_ms: Callable[[Page], float], material: Any
) -> None:
    page = at_rest(reduced_motion="reduce")
    commit, name = commit_ms(page), page.locator("#shown-pitch").input_value()
    separation = material("two-grips").compared.result.pitches[name]["same_line_separation_after_release_ms"].value
    last = float(page.locator("#time").get_attribute("max") or "nan")
    page.clock.run_for(1000)
    assert moment(page) == 0.0
    moves = page.evaluate("watched.moves")
    for expected in (separation, commit, last, 0.0):
        page.locator("#play").click()
        page.clock.run_for(1000)
        assert moment(page) == pytest.approx(expected, abs=WHOLE)
        moves += 1  # at once, not in steps
        assert page.evaluate("watched.moves") == moves
    # the slider still moves what it is told to
    page.locator("#time").press("ArrowRight")
    assert moment(page) == 1.0
