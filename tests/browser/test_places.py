"""The balls stand where the engine's pitch is, seen from where the hitter's eye is.

The reference flies the scenario's own numbers anew: spin vector and aim by the definitions of the words, the flight
equation by DOP853 (Hairer, Norsett, Wanner 1993, Solving Ordinary Differential Equations I), the eye by trigonometry.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Page
from scipy.integrate import solve_ivp
from scipy.optimize import root

from latebreak.engine.ball import Conditions
from latebreak.engine.registry import force_law
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND, MPH, RPM
from latebreak.service.questions import portray
from latebreak.service.scenario import Scenario, load
from latebreak.service.scenario.physical import conditions

pytestmark = pytest.mark.slow

Array = NDArray[np.float64]

#: Right-hander to a right-handed hitter, left-hander to a left-handed one.
NAMES = ["two-grips", "left-eleven-to-five"]
PAGES = [("two-grips", "us"), ("two-grips", "metric"), ("left-eleven-to-five", "us")]

#: From the back point of the plate to its front edge (Official Baseball Rules; value from memory), ft.
PLATE_FT = 17.0 / 12.0

#: Degrees: a sixth of the ball's radius at release (0.13), and on a screen 400 px wide a quarter of a pixel. Between
#: the points of a track, 4 ms apart, the chord of a path leaves it by 0.002 degrees at the commit point.
DRAWN = 0.02
#: Degrees, at the plate: the aim is promised to 0.1 in only, from an eye 2.7 ft away.
AT_THE_PLATE = 0.18
#: Aim at the plate as promised, ft.
AIM_FT = 0.1 / 12.0


@dataclass(frozen=True)
class Thrown:
    """What leaves the hand: place (m), velocity (m/s), spin vector (rad/s), and how air acts on it."""

    place: Array
    velocity: Array
    spin: Array


def thrown(scenario: Scenario, fastball_or_pitch: str, start: str, elevation: float, azimuth: float) -> Thrown:
    """Throw a pitch's speed and spin from the point of `start` (ft) at launch angles (rad).

    The clock is seen by the pitcher: 12:00 is up, 3:00 to his right; the spin pushes that way. Gyro spin of a
    right-hander turns clockwise as he sees the ball leave.
    """
    entry, place = scenario.pitch[fastball_or_pitch], scenario.pitch[start]
    ahead = np.array([np.cos(elevation) * np.sin(azimuth), -np.cos(elevation) * np.cos(azimuth), np.sin(elevation)])
    his_right = np.cross(ahead, [0.0, 0.0, 1.0])
    his_right /= np.linalg.norm(his_right)
    up = np.cross(his_right, ahead)
    clock = entry.break_clock_deg * DEGREE
    push = np.cos(clock) * up + np.sin(clock) * his_right
    assert entry.efficiency_percent is not None
    share = entry.efficiency_percent / 100.0
    sense = 1.0 if scenario.pitcher.hand == "right" else -1.0
    # spin x flight points where the ball is pushed to; a right-handed screw that moves ahead turns clockwise
    spin = entry.spin_rpm * RPM * (share * np.cross(ahead, push) + sense * np.sqrt(1.0 - share**2) * ahead)
    where = [place.release_side_ft, scenario.field.rubber_to_plate_ft - place.extension_ft, place.release_height_ft]
    return Thrown(FOOT * np.array(where), entry.speed_mph * MPH * ahead, spin)


def flight(ball: Thrown, air: Conditions) -> Any:
    """Solve the flight equation to the plate's front edge."""
    lift, drag = force_law(air.lift_law).function, force_law(air.drag_law).function
    k, radius = air.force_constant, air.ball.radius

    def slope(t: float, state: Array) -> Array:
        v = state[3:]
        speed = np.sqrt(v @ v)
        e = v / speed
        spin = ball.spin * np.exp(-t / air.ball.spin_decay_time)
        across = spin - (spin @ e) * e
        rate = np.sqrt(across @ across)
        s = np.array([radius * rate / speed])
        push = float(lift(s)[0]) * np.cross(across / rate, e) - float(drag(np.array([speed]), s)[0]) * e
        return np.concatenate([v, k * speed**2 * push - [0.0, 0.0, 9.80665]])

    def at_the_plate(_: float, state: Array) -> float:
        return float(state[1]) - PLATE_FT * FOOT

    at_the_plate.terminal = True  # type: ignore[attr-defined]
    return solve_ivp(
        slope, (0.0, 2.0), np.concatenate([ball.place, ball.velocity]), "DOP853", rtol=1e-8, atol=1e-8,
        events=at_the_plate, dense_output=True,
    )  # fmt: skip


@cache
def launch(name: str, pitch: str) -> Array:
    """Elevation and azimuth (rad) with which a pitch of a ready scenario arrives at its target."""
    scenario = load(name).scenario
    entry, air = scenario.pitch[pitch], conditions(scenario)
    assert entry.target_side_ft is not None
    assert entry.target_height_ft is not None
    target = FOOT * np.array([entry.target_side_ft, entry.target_height_ft])

    def off(angles: Array) -> Array:
        end: Array = flight(thrown(scenario, pitch, pitch, *angles), air).y_events[0][0]
        return end[[0, 2]] - target

    return np.asarray(root(off, np.zeros(2), tol=1e-8).x)


@cache
def reference(name: str, speed_and_spin_of: str, aimed_as: str) -> Any:
    """Flight of a pitch's speed and spin from the point and in the direction of another (or of its own)."""
    scenario = load(name).scenario
    return flight(thrown(scenario, speed_and_spin_of, aimed_as, *launch(name, aimed_as)), conditions(scenario))


def arrival_ms(solution: Any) -> float:
    return float(solution.t_events[0][0]) / MILLISECOND


def seen(name: str, solution: Any, ms: float) -> tuple[float, float, float]:
    """Degrees right of straight ahead, degrees up, and apparent radius, from the hitter's eye."""
    scenario = load(name).scenario
    hitter = scenario.hitter
    right_handed = hitter.bats == "right"  # stands on the catcher's left
    eye = np.array(
        [(-1 if right_handed else 1) * hitter.eye_side_ft, PLATE_FT - hitter.eye_depth_ft, hitter.eye_height_ft]
    )
    place = solution.sol(min(ms, arrival_ms(solution)) * MILLISECOND)[:3] / FOOT
    right, ahead, up = place - eye
    distance = np.sqrt(right**2 + ahead**2 + up**2)
    radius = scenario.ball.circumference_in / 12.0 / (2.0 * np.pi)
    angles = np.arctan2(right, ahead), np.arcsin(up / distance), np.arcsin(radius / distance)
    return float(angles[0] / DEGREE), float(angles[1] / DEGREE), float(angles[2] / DEGREE)


# ---- what the page shows ---------------------------------------------------------------------------------------------


def at_time(page: Page, ms: float) -> None:
    """Move the slider."""
    page.locator("#time").evaluate("(one, ms) => { one.value = ms; one.dispatchEvent(new Event('input')); }", ms)
    assert float(page.locator("#time").input_value()) == ms


def numbers(page: Page, selector: str, *keys: str) -> list[float]:
    read = "(one, keys) => keys.map((key) => parseFloat(one.getAttribute(key)))"
    return list(page.locator(selector).first.evaluate(read, keys))


def drawn(page: Page, ball: str) -> tuple[float, float, float]:
    """Degrees right, up, and radius of a ball as it is drawn."""
    scale, right, up = numbers(page, "#hitters-view", "data-scale", "data-right0", "data-up0")
    x, y, r = numbers(page, ball, "cx", "cy", "r")
    return right + x / scale, up - y / scale, r / scale


def at_the_plate(page: Page, selector: str) -> tuple[float, float]:
    """Side and height, ft, of something in the picture at the plate."""
    scale, side, height = numbers(page, "#plate-view", "data-scale", "data-side0", "data-height0")
    x, y = numbers(page, selector, "cx", "cy")
    return side + x / scale, height - y / scale


def choose(page: Page, pitch: str, fastball: str = "beside") -> None:
    page.locator("#shown-pitch").select_option(value=pitch)
    page.locator("#shown-fastball").select_option(value=fastball)


def assert_same(page: Page, ball: str, expected: tuple[float, float, float], within: float) -> None:
    right, up, radius = drawn(page, ball)
    assert (right, up) == pytest.approx(expected[:2], abs=within)
    assert radius == pytest.approx(expected[2], rel=0.01)  # 1 % of the ball's size: a tenth of a pixel at its largest


@pytest.mark.parametrize(("name", "units"), PAGES)
def test_the_balls_are_where_the_pitches_are(
    show: Any, page_file: Any, material: Callable[[str], Any], name: str, units: str
) -> None:
    page = show(page_file(name, units)).page
    result = material(name).portrayed.result
    for pitch, portrait in result.pitches.items():
        choose(page, pitch)
        own, other = reference(name, pitch, pitch), reference(name, result.fastball, result.fastball)
        commit = arrival_ms(own) - load(name).scenario.hitter.commit_before_arrival_ms
        assert portrait.commit_ms == pytest.approx(commit, abs=0.1)
        for ms in (0, 100, 101, round(commit)):
            at_time(page, ms)
            assert_same(page, "#ball-thrown", seen(name, own, ms), DRAWN)
            assert_same(page, "#ball-fastball", seen(name, other, ms), DRAWN)
        page.locator("#time").press("End")
        assert_same(page, "#ball-thrown", seen(name, own, np.inf), AT_THE_PLATE)
        assert_same(page, "#ball-fastball", seen(name, other, np.inf), AT_THE_PLATE)


@pytest.mark.parametrize("name", NAMES)
def test_the_fastball_on_the_same_line_is_where_it_would_be(
    show: Any, page_file: Any, material: Callable[[str], Any], name: str
) -> None:
    page = show(page_file(name)).page
    result = material(name).portrayed.result
    for pitch, portrait in result.pitches.items():
        choose(page, pitch, "same_line")
        line = reference(name, result.fastball, pitch)
        for ms in (0, 100, round(portrait.commit_ms)):
            at_time(page, ms)
            assert_same(page, "#ball-fastball", seen(name, line, ms), DRAWN)
        at_time(page, 0)
        assert drawn(page, "#ball-fastball") == pytest.approx(drawn(page, "#ball-thrown"), abs=1e-4)


@pytest.mark.parametrize(("name", "units"), PAGES)
def test_it_arrives_and_is_expected_where_the_answers_say(
    show: Any, page_file: Any, material: Callable[[str], Any], name: str, units: str
) -> None:
    page = show(page_file(name, units)).page
    throws = material(name).portrayed.throws
    for pitch, portrait in portray(name, throws=throws).result.pitches.items():
        choose(page, pitch)
        end = reference(name, pitch, pitch).y_events[0][0] / FOOT
        assert at_the_plate(page, "#places .spot:first-child .ball") == pytest.approx((end[0], end[2]), abs=AIM_FT)
        expected = portrait.expectation
        for ms in (0, 100, round(portrait.commit_ms), float(page.locator("#time").get_attribute("max") or "nan")):
            at_time(page, ms)
            side, height, *ends = (
                float(np.interp(ms, expected.time_ms, getattr(expected, key)))
                for key in ("side_ft", "height_ft", "side_low_ft", "side_high_ft", "height_low_ft", "height_high_ft")
            )
            # numbers on the page have five digits after the point
            assert at_the_plate(page, "#expected") == pytest.approx((side, height), abs=1e-4)
            scale, left, top = numbers(page, "#plate-view", "data-scale", "data-side0", "data-height0")
            (x1, x2), (y1, y2) = (
                numbers(page, f"#places .cross >> nth={number}", *keys)
                for number, keys in enumerate((("x1", "x2"), ("y1", "y2")))
            )
            cross = left + x1 / scale, left + x2 / scale, top - y1 / scale, top - y2 / scale
            assert cross == pytest.approx(tuple(ends), abs=1e-4)
