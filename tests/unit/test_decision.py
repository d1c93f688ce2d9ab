"""The decision: its zone, its moment, and its chance in closed form against drawing and counting."""

import numpy as np
import pytest
from batting import MIX, PROFESSIONAL, face
from numpy.typing import NDArray
from scipy.special import expit, logit

from latebreak.engine.units import FOOT, INCH
from latebreak.perception.decision import COUNT_SHARES, HALF_WIDTH, Zone, criteria, decide
from latebreak.perception.forecast import FORECAST_ROWS, FORECAST_SD, LOOKS_X, LOOKS_Z
from latebreak.perception.model import Situation
from latebreak.perception.parameters import uncertain
from latebreak.perception.timing import moment

Array = NDArray[np.float64]

ZONE = Zone(1.5 * FOOT, 3.5 * FOOT)
COUNTS = [(balls, strikes) for balls in range(4) for strikes in range(3)]


def forecasts(places: Array, sd: float = 0.0) -> Array:
    """Forecasts (6, 1, n) that look to arrive at places (n, 2)."""
    result = np.zeros((FORECAST_ROWS, 1, len(places)))
    result[[LOOKS_X, LOOKS_Z], 0] = places.T
    result[FORECAST_SD] = sd
    return result


def test_a_strike_touches_the_zone() -> None:
    """Any part of the ball: half of 17 in and a radius of 1.45 in (Official Baseball Rules, as quoted by others)."""
    assert pytest.approx(9.95 * INCH) == HALF_WIDTH
    sides = np.array([0.0, 9.9, 10.0, 0.0, 0.0, 0.0, 0.0]) * INCH
    heights = np.array([2.5, 2.5, 2.5, 1.5 - 0.12, 1.5 - 0.13, 3.62, 3.63]) * FOOT
    np.testing.assert_array_equal(ZONE.holds(sides, heights), [True, True, False, True, False, True, False])


@pytest.mark.parametrize("sd", [0.0, 0.1])
def test_the_chance_of_a_wanted_ball_against_drawing(sd: float) -> None:
    """q counted over 200,000 draws of the blur and of the eye's error, to four standard errors."""
    p, draws = PROFESSIONAL, 200_000
    places = np.array([[0.0, 0.76], [0.25, 0.5], [-0.4, 1.0], [0.1, 1.3]])
    spread = np.hypot(float(p.zone_blur[0]), sd)
    normals = np.random.default_rng(1).standard_normal((2, draws))
    middle = ZONE.middle + float(p.wanted_height[0])
    k = float(p.bias_one_strike[0] + p.bias_per_ball[0])
    for place, found in zip(places, decide(forecasts(places, sd), p, ZONE, -1.0, (1, 1))[0], strict=True):
        x, z = (place[axis] + spread * normals[axis] for axis in (0, 1))
        wanted = (np.abs(x + float(p.wanted_inside[0])) < HALF_WIDTH) & (np.abs(z - middle) < ZONE.half_height)
        q = (logit(found) - k) / float(p.swing_slope[0])
        assert abs(expit(q) - wanted.mean()) < 4.0 * np.sqrt(wanted.mean() / draws)


def test_over_all_counts_is_the_mean_of_the_counts() -> None:
    """Each count asked alone, weighed by how often it comes: the closed form is exact."""
    p = uncertain(PROFESSIONAL, 3, np.random.default_rng(1))
    places = np.random.default_rng(2).normal([0.0, 0.8], 0.5, (300, 2))
    seen = np.repeat(forecasts(places, 0.05), 4, axis=1)
    each = np.array([decide(seen, p, ZONE, 1.0, count) for count in COUNTS])
    mean = np.einsum("c,cmn->mn", COUNT_SHARES.ravel() / COUNT_SHARES.sum(), each)
    np.testing.assert_allclose(decide(seen, p, ZONE, 1.0), mean, rtol=1e-10)


@pytest.mark.parametrize("count", COUNTS)
def test_the_criterion_of_a_count(count: tuple[int, int]) -> None:
    p = PROFESSIONAL
    k, shares = criteria(p, count)
    balls, strikes = count
    expected = [p.bias_no_strikes, p.bias_one_strike, p.bias_two_strikes][strikes] + balls * p.bias_per_ball
    expected = expected - (p.first_pitch_patience if count == (0, 0) else 0.0) - (2.45 if count == (3, 0) else 0.0)
    np.testing.assert_allclose(k, expected[None])
    np.testing.assert_array_equal(shares, [1.0])


def test_swings_fall_from_the_middle_outwards() -> None:
    """From his favourite place along each of the axes; and they rise with strikes."""
    p = PROFESSIONAL
    favourite = np.array([-float(p.wanted_inside[0]), ZONE.middle + float(p.wanted_height[0])])
    for axis in (np.array([1.0, 0.0]), np.array([0.0, 1.0])):
        for sign in (1.0, -1.0):
            places = favourite + sign * np.linspace(0.0, 1.5, 40)[:, None] * axis
            swings = decide(forecasts(places), p, ZONE, -1.0)[0]
            assert (np.diff(swings) < 0.0).all()
    by_strikes = [decide(forecasts(favourite[None]), p, ZONE, -1.0, (1, strikes))[0, 0] for strikes in range(3)]
    assert (np.diff(by_strikes) > 0.0).all()


def test_a_ball_in_the_dirt_or_in_the_stands_is_a_chance_too() -> None:
    places = np.array([[0.0, -3.0], [40.0, 1.0], [-1e3, 1e3]])
    for slope in (0.5, 2.0, 8.0):
        swings = decide(forecasts(places), PROFESSIONAL.with_(swing_slope=slope), ZONE, 1.0)
        assert (swings >= 0.0).all()
        assert (swings < 1e-3).all()


def test_the_moment_of_the_decision() -> None:
    """Computed: L = 0.25 s before the arrival of the fastball; of a ball that takes 80 ms longer, three quarters of
    that earlier; never before 20 ms after release.
    """
    p = PROFESSIONAL.with_(commit=0.15, latency=0.10, waiting_share=0.25)
    times = np.array([[0.40, 0.48, 0.35, 0.1]])
    np.testing.assert_allclose(moment(times, np.array([0.40]), p), [[0.15, 0.17, 0.10, 0.02]])


def test_who_swings_at_a_strike_swings_less_at_a_ball() -> None:
    for name in MIX:
        faced = face(name)
        x, z = faced.glance[12:14]
        strike = Situation().zone.holds(x, z)
        assert faced.swing[strike].mean() > faced.swing[~strike].mean() + 0.1
