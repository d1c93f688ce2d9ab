"""The balls stand where the engine's pitch is, seen from where the hitter's eye is.

The reference flies the scenario's own numbers anew: spin vector and aim by the definitions of the words, the flight
equation by DOP853 (Hairer, Norsett, Wanner 1993, Solving Ordinary Differential Equations I), the eye by trigonometry.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from playwright.sync_api import Locator
from scipy.integrate import solve_ivp
from scipy.optimize import root

from latebreak.engine.air.ball import Conditions
from latebreak.engine.laws.registry import force_law
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND, MPH, RPM
from latebreak.service.scenario import Scenario, load
from latebreak.service.scenario.physical import conditions

pytestmark = pytest.mark.slow

Array = NDArray[np.float64]

#: Right-hander to a right-handed hitter, left-hander to a left-handed one.
NAMES = ["two-grips", "left-eleven-to-five"]
PAGES = [("two-grips", "us"), ("two-grips", "metric"), ("left-eleven-to-five", "us")]

#: From the back point of the plate to its front edge (Official Baseball Rules, as quoted by others), ft.
PLATE_FT = 17.0 / 12.0

#: Degrees: a sixth of the ball's radius at release (0.13), and on a screen 400 px wide a quarter of a pixel. Between
#: the points of a track, 4 ms apart, the chord of a path leaves it by 0.002 degrees at the commit point.
DRAWN = 0.02
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


def numbers(panel: Locator, selector: str, *keys: str) -> list[float]:
    read = "(one, keys) => keys.map((key) => parseFloat(one.getAttribute(key)))"
    return list(panel.locator(selector).evaluate(read, keys))


@pytest.mark.parametrize(("name", "units"), PAGES)
def test_the_balls_are_where_the_pitches_are(
    show: Any, page_file: Any, material: Callable[[str], Any], name: str, units: str
) -> None:
    """At his last look, as the script has put them there."""
    page = show(page_file(name, units), reduced_motion="reduce").page
    result = material(name).portrayed.result
    eye = json.loads(page.locator("#data").inner_text())["eye"]
    for panel, (pitch, portrait) in zip(page.locator(".panel").all(), result.pitches.items(), strict=True):
        own, other = (reference(name, one, one) for one in (pitch, "fastball"))
        assert portrait.thrown.time_ms[-1] == pytest.approx(arrival_ms(own), abs=0.1)
        for kind, solution in (("own", own), ("fastball", other)):
            x, y, r = numbers(panel, f".eye .{kind} .ball", "cx", "cy", "r")
            right, up, radius = seen(name, solution, portrait.decides_ms)
            drawn = eye["left"] + x / eye["scale"], eye["top"] - y / eye["scale"]
            assert drawn == pytest.approx((right, up), abs=DRAWN)
            assert r / eye["scale"] == pytest.approx(radius, rel=0.01)  # a tenth of a pixel


@pytest.mark.parametrize(("name", "units"), PAGES)
def test_it_arrives_where_the_reference_does(
    show: Any, page_file: Any, material: Callable[[str], Any], name: str, units: str
) -> None:
    """The zone is as wide as the plate, 17 in (Official Baseball Rules, as quoted by others): that is the scale."""
    page = show(page_file(name, units), reduced_motion="reduce").page
    zone = material(name).portrayed.result.zone
    page.locator("#go").click()
    for panel, pitch in zip(page.locator(".panel").all(), material(name).portrayed.result.pitches, strict=True):
        x, y, wide, high = numbers(panel, ".home .zone", "x", "y", "width", "height")
        scale = wide / (17.0 / 12.0)
        at_x, at_y, r = numbers(panel, ".home .ball", "cx", "cy", "r")
        end = reference(name, pitch, pitch).y_events[0][0] / FOOT
        side, height = (at_x - x - 0.5 * wide) / scale, zone.low_ft + (y + high - at_y) / scale
        # places have a tenth of a unit of the picture, of which a foot has some fifty
        assert (side, height) == pytest.approx((end[0], end[2]), abs=AIM_FT + 0.2 / scale)
        assert r / scale == pytest.approx(9.125 / 12.0 / (2.0 * np.pi), abs=0.1 / scale)
