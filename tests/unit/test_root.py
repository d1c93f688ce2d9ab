"""Roots of responses: on a grid, sharpened, and under draws; against functions whose roots are known."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.service.questions.root import bracket, roots_of_members, sharpened

Array = NDArray[np.float64]
GRID = np.linspace(0.0, 12.0, 13)
STILL = np.zeros(13)


# --- on a grid ------------------------------------------------------------------------------------------------------
def test_a_straight_line() -> None:
    found = bracket(GRID, 2.0 * (GRID - 4.3), STILL, 0.0)
    assert (found.root, found.closest) == (pytest.approx(4.3), pytest.approx(4.3))
    assert found.slope == pytest.approx(2.0)
    assert (found.roots, found.monotone) == (1, True)


def test_a_falling_line() -> None:
    found = bracket(GRID, 4.3 - GRID, STILL, 12.0)
    assert found.root == pytest.approx(4.3)
    assert found.slope == pytest.approx(-1.0)


def test_a_curve_is_found_to_a_chord() -> None:
    """x^2 - 30: between 5 and 6 the chord meets 0 at 5 + 5/11; the root is 5.477."""
    found = bracket(GRID, GRID**2 - 30.0, STILL, 0.0)
    assert found.root == pytest.approx(5.0 + 5.0 / 11.0)
    assert found.slope == pytest.approx(11.0)


@pytest.mark.parametrize(("now", "nearest"), [(0.0, 2.5), (4.9, 2.5), (5.1, 7.5), (12.0, 7.5)])
def test_of_two_roots_the_nearer_to_now(now: float, nearest: float) -> None:
    """|x - 5| - 2.5 turns at 5."""
    found = bracket(GRID, np.abs(GRID - 5.0) - 2.5, STILL, now)
    assert found.root == pytest.approx(nearest)
    assert found.roots == 2
    assert not found.monotone


def test_a_turn_without_a_second_root_is_told() -> None:
    """Rises to 8, then falls by less than it rose."""
    found = bracket(GRID, np.minimum(GRID, 16.0 - GRID) - 2.5, STILL, 0.0)
    assert (found.roots, found.monotone) == (1, False)


@pytest.mark.parametrize(("noise", "monotone"), [(0.05, False), (0.5, True)])
def test_a_turn_within_sampling_error_is_none(noise: float, monotone: bool) -> None:
    """A dip of 0.5 at 6 is clear beyond 3 sqrt(2) errors of 0.05, not beyond those of 0.5."""
    miss = GRID - 2.5 - 1.5 * (GRID == 6.0)
    found = bracket(GRID, miss, np.full(13, noise), 0.0)
    assert found.root == pytest.approx(2.5)
    assert found.monotone == monotone


def test_no_root_tells_where_it_comes_nearest() -> None:
    found = bracket(GRID, (GRID - 7.0) ** 2 + 1.0, STILL, 0.0)
    assert found.root is None
    assert (found.closest, found.roots, found.monotone) == (7.0, 0, False)


def test_the_root_at_now_is_now() -> None:
    """At every place of the grid, the two ends and a turn among them."""
    for now in (0.0, 4.0, 12.0):
        found = bracket(GRID, GRID - now, STILL, now)
        assert (found.root, found.roots) == (now, 1)
        assert found.slope == 1.0
    found = bracket(GRID, (GRID - 4.0) ** 2, STILL, 4.0)
    assert (found.root, found.roots, found.monotone) == (4.0, 1, False)


def test_a_root_at_the_last_place_counts_beside_another() -> None:
    """Falls from 1 through 0 at 11/12 and comes back to 0 at the last place, where the lever stands."""
    miss = np.append(np.linspace(1.0, -11.0, 12), 0.0)
    found = bracket(GRID, miss, STILL, 12.0)
    assert (found.root, found.roots) == (12.0, 2)


def test_places_that_can_not_be_thrown_are_left_out() -> None:
    miss = GRID - 4.3
    miss[[0, 1, 11, 12]] = np.nan
    found = bracket(GRID, miss, STILL, 0.0)
    assert (found.root, found.roots) == (pytest.approx(4.3), 1)
    miss[:] = np.nan
    found = bracket(GRID, miss, STILL, 3.0)
    assert (found.root, found.closest, found.roots) == (None, 3.0, 0)


@pytest.mark.parametrize(("height", "root"), [(0.0, 3.0), (1.0, None)])
def test_a_single_place(height: float, root: float | None) -> None:
    miss = np.where(GRID == 3.0, height, np.nan)
    found = bracket(GRID, miss, STILL, 3.0)
    assert (found.root, found.closest) == (root, 3.0)


def test_what_is_flat_either_has_the_goal_everywhere_or_nowhere() -> None:
    found = bracket(GRID, STILL, STILL, 5.0)
    assert (found.root, found.slope, found.roots, found.monotone) == (5.0, 0.0, 1, True)
    found = bracket(GRID, STILL + 1.0, STILL, 5.0)
    assert (found.root, found.roots, found.monotone) == (None, 0, True)


def test_a_stretch_that_meets_the_goal_is_one_root() -> None:
    """A share that is 0 up to 6 and 100 from there on: the nearest place of the stretch."""
    found = bracket(GRID, np.where(GRID < 6.0, -100.0, 0.0), STILL, 2.0)
    assert (found.root, found.roots, found.monotone) == (6.0, 1, True)


# --- sharpened ------------------------------------------------------------------------------------------------------
def rounds(function: Callable[[float], float], start: float, slope: float, count: int) -> list[float]:
    """Guesses of a search between 0 and 12."""
    x = [start]
    for _ in range(count):
        x.append(sharpened(np.array(x), np.array([function(one) for one in x]), slope, 0.0, 12.0))
    return x


def test_a_line_is_met_at_once() -> None:
    assert rounds(lambda x: 3.0 * (x - 7.7), 2.0, 3.0, 1)[-1] == pytest.approx(7.7)


@pytest.mark.parametrize("function", [lambda x: x**2 - 30.0, lambda x: 30.0 - x**2, lambda x: np.exp(x / 3.0) - 6.0])
def test_curves_are_met_within_four_rounds(function: Callable[[float], float]) -> None:
    """From the chord of a grid of 13, as the search does; to 0.3 % of the range, within which slopes are not renewed,
    times the relative error of the slope there (a tenth at most).
    """
    grid = bracket(GRID, np.array([function(x) for x in GRID]), STILL, 0.0)
    assert grid.root is not None
    found = rounds(function, grid.root, grid.slope, 4)[-1]
    slope = (function(found + 1e-6) - function(found - 1e-6)) / 2e-6
    assert abs(function(found) / slope) < 0.003 * 12.0 * 0.1


def test_a_wrong_slope_is_mended() -> None:
    """The first slope is four times too flat, so the first step overshoots; then the secant takes over."""
    assert rounds(lambda x: 2.0 * (x - 5.0), 3.0, 0.5, 3)[-1] == pytest.approx(5.0)


def test_a_guess_stays_between_those_on_either_side() -> None:
    """A step: the secant of two places on the same side points far away."""
    x, miss = np.array([2.0, 8.0, 6.0]), np.array([-1.0, 1.0, 0.99])
    assert 2.0 <= sharpened(x, miss, 1.0, 0.0, 12.0) <= 6.0


def test_a_guess_stays_within_bounds() -> None:
    assert sharpened(np.array([11.0]), np.array([-5.0]), 1.0, 0.0, 12.0) == 12.0
    assert sharpened(np.array([1.0]), np.array([5.0]), 1.0, 0.0, 12.0) == 0.0


def test_places_too_near_to_each_other_keep_the_slope() -> None:
    """0.01 of 12 apart; their difference says a slope of 100, the grid 1."""
    assert sharpened(np.array([5.0, 5.01]), np.array([-2.0, -1.0]), 1.0, 0.0, 12.0) == pytest.approx(6.01)


def test_without_a_slope_it_stands_still() -> None:
    assert sharpened(np.array([5.0]), np.array([1.0]), 0.0, 0.0, 12.0) == 5.0


# --- under draws ----------------------------------------------------------------------------------------------------
def lines(x: Array, slopes: list[float], roots: list[float]) -> Array:
    """Straight responses (3, d)."""
    return np.array(slopes) * (x[:, None] - np.array(roots))


@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_roots_of_lines(way: float, sign: float) -> None:
    """Exact wherever they are: before the root of the estimate, beyond it, past the third place, and already met (a
    root on the other side of now). Up and down, rising and falling.
    """
    x = np.array([0.0, 4.0, 8.0]) * way
    roots = np.array([4.0, 2.0, 6.0, 9.0, -3.0, 0.0]) * way
    found = roots_of_members(
        x, lines(x, [sign * one for one in (1.0, 2.0, 0.5, 1.0, 3.0, 1.0)], roots.tolist()), -12.0, 12.0
    )
    np.testing.assert_allclose(found, roots, atol=1e-12)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_roots_out_of_bounds_stop_there(way: float) -> None:
    """Two lines whose roots lie beyond, a flat one that never gets there, and one that moves away: the far bound. A
    flat one on which the goal is met already: the other bound.
    """
    x = np.array([0.0, 4.0, 8.0]) * way
    miss = lines(x, [way] * 3, [4.0 * way, 30.0 * way, -30.0 * way])
    np.testing.assert_allclose(roots_of_members(x, miss, -12.0, 12.0), np.array([4.0, 12.0, -12.0]) * way)
    flat = np.array([[-1.0, -1.0, -1.0, 1.0], [0.0, -1.0, -2.0, 1.0], [1.0, -1.0, -3.0, 1.0]])
    found = roots_of_members(x, flat, -12.0, 12.0)
    np.testing.assert_allclose(found, np.array([4.0, 12.0, 12.0, -12.0]) * way)


def test_a_broken_line_is_followed() -> None:
    """Slope 1 up to 4, then 3: a draw that misses by 1.5 more meets the goal 0.5 later, one by 1 less 1 earlier."""
    x = np.array([0.0, 4.0, 8.0])
    own = np.array([-4.0, 0.0, 12.0])
    found = roots_of_members(x, np.stack([own, own - 1.5, own + 1.0], axis=1), 0.0, 12.0)
    np.testing.assert_allclose(found, [4.0, 4.5, 3.0])


def test_a_draw_that_slopes_the_other_way_still_has_its_crossing() -> None:
    """Met at now, not met at the estimate's root: it crosses in between. Touching there: it is there."""
    x = np.array([0.0, 4.0, 8.0])
    own, other, touches = [-4.0, 0.0, 4.0], [3.0, -1.0, -5.0], [2.0, 1e-15, 2.0]
    found = roots_of_members(x, np.array([own, other, touches]).T, 0.0, 12.0)
    np.testing.assert_allclose(found, [4.0, 3.0, 4.0])


def test_what_is_flat_at_the_goal_stays_where_it_is() -> None:
    x = np.array([0.0, 4.0, 8.0])
    np.testing.assert_array_equal(roots_of_members(x, np.zeros((3, 2)), -12.0, 12.0), [4.0, 4.0])


def test_numbers_near_the_largest_do_not_overflow() -> None:
    with np.errstate(all="raise"):
        assert bracket(GRID, GRID * 1e300 - 4.3e300, STILL, 0.0).root == pytest.approx(4.3)
