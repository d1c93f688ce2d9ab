"""Forecasts against a Kalman filter that takes look after look, and against generalised least squares."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.perception.calibration import professional
from latebreak.perception.encounter import Encounter
from latebreak.perception.forecast import Forecast, foresee, gains
from latebreak.perception.repertoire import meet, template, thrown
from latebreak.perception.view import HEIGHT_AT_PLATE, SIDE_AT_PLATE, TIME

Array = NDArray[np.float64]
CUT, LATER = np.array([0.253]), np.array([0.3417])  # s after release, within a look
QUANTITIES = (TIME, HEIGHT_AT_PLATE, SIDE_AT_PLATE)


@pytest.fixture(scope="module")
def changeup() -> Encounter:
    types = [
        template(thrown("fastball"), 0.6, "fastball", 0.3, 1),
        template(thrown("curve"), 0.25, "breaking", 0.3, 1),
        template(thrown("changeup"), 0.15, "offspeed", 0.3, 1),
    ]
    return meet(thrown("changeup"), types, 2, professional(), "left", 0.3)


@pytest.fixture(scope="module")
def forecast(changeup: Encounter) -> Forecast:
    return foresee(changeup, CUT, LATER)


def filtered(e: Encounter, h: int, cut: Array, seen: Array) -> Array:
    """Arrival (3,) that type h leads to expect: theta by a Kalman filter, one number after the other.

    A look of which the share w counts has the variance R/w.
    """
    theta, covariance = np.zeros(5), e.prior[0].copy()
    for k, weight in enumerate(e.weights(cut)[0]):
        if weight == 0.0:
            continue
        row = e.jacobian[0, h, k]
        innovation = seen[k] - e.mu[0, h, k] - row @ theta
        gain = covariance @ row / (row @ covariance @ row + e.variance[0, k] / weight)
        theta = theta + gain * innovation
        covariance = covariance - np.outer(gain, row @ covariance)
    arrival: Array = e.expected[0, h] + e.expected_jacobian[0, h] @ theta
    return arrival


@pytest.mark.parametrize("h", [0, 1, 2])
def test_gains_are_those_of_a_kalman_filter(changeup: Encounter, h: int) -> None:
    """To 1e-8 m and s: 90 updates in double precision."""
    e = changeup
    gain, _ = gains(e, CUT, QUANTITIES)
    rng = np.random.default_rng(5)
    for _ in range(3):
        seen = e.scatter[0] @ rng.standard_normal(9) + np.sqrt(e.variance[0]) * rng.standard_normal(e.variance.shape[1])
        found = e.expected[0, h] + gain[0, h] @ (seen - e.mu[0, h])
        np.testing.assert_allclose(found, filtered(e, h, CUT, seen), rtol=1e-8, atol=1e-8)


@pytest.mark.parametrize("h", [0, 1, 2])
def test_gains_are_those_of_generalised_least_squares(changeup: Encounter, h: int) -> None:
    """k' = dA C0 J' (J C0 J' + R/w)^-1 over the looks that count, and the noise k' (R/w) k."""
    e = changeup
    gain, variance = gains(e, CUT, QUANTITIES)
    weight = e.weights(CUT)[0]
    on = weight > 0.0
    j, noise = e.jacobian[0, h][on], np.diag(e.variance[0, on] / weight[on])
    k = e.expected_jacobian[0, h] @ e.prior[0] @ j.T @ np.linalg.inv(j @ e.prior[0] @ j.T + noise)
    np.testing.assert_allclose(gain[0, h][:, on], k, atol=1e-6 * np.abs(k).max())
    assert (gain[0, h][:, ~on] == 0.0).all()
    np.testing.assert_allclose(variance[0, h], np.diag(k @ noise @ k.T), rtol=1e-6)


def test_time_is_foreseen_at_the_first_cut_and_place_at_the_second(changeup: Encounter, forecast: Forecast) -> None:
    for cut, quantity in ((CUT, TIME), (LATER, HEIGHT_AT_PLATE), (LATER, SIDE_AT_PLATE)):
        _, variance = gains(changeup, cut, (quantity,))
        np.testing.assert_allclose(forecast.sd[..., quantity] ** 2, variance[..., 0], rtol=1e-12)


@pytest.mark.parametrize("h", [0, 1, 2])
def test_offset_slope_and_memory_make_up_the_error(changeup: Encounter, forecast: Forecast, h: int) -> None:
    """A throw without noise: what arrives less what the filter makes of it, with a template that is wrong by b."""
    e = changeup
    rng = np.random.default_rng(6)
    z, b = rng.standard_normal(9), rng.standard_normal(2)
    wrong = e.memory[0, h] * b  # the template moves more, and another way, than it is remembered
    seen = e.scatter[0] @ z + e.movement[0, h] @ wrong
    arrived = e.arrival[0] + e.arrival_scatter[0] @ z + e.expected_movement[0, h] @ wrong
    by_cut = [filtered(e, h, cut, seen) for cut in (CUT, LATER)]
    expected = arrived - np.array([by_cut[0][TIME], *by_cut[1][1:]])
    found = forecast.offset[0, h] + forecast.slope[0, h] @ z + forecast.memory[0, h] @ b
    np.testing.assert_allclose(found, expected, rtol=1e-7, atol=1e-8)


def test_with_nothing_seen_the_template_is_all_there_is(changeup: Encounter) -> None:
    e = changeup
    nothing = np.array([0.0])
    found = foresee(e, nothing, nothing)
    np.testing.assert_allclose(found.offset[0], e.arrival[0] - e.expected[0], rtol=1e-12)
    assert (found.sd == 0.0).all()


def test_later_looks_leave_less_to_guess(changeup: Encounter) -> None:
    """Error of theta's forecast by what is seen, dA I^-1 dA', never grows with the cut-off (law of the filter)."""
    e = changeup
    left = []
    for cut in np.arange(0.06, 0.36, 0.0233):
        gain, noise = gains(e, np.array([cut]), QUANTITIES)
        missed = e.expected_jacobian[0] - np.matmul(gain[0], e.jacobian[0])
        left.append(np.einsum("hqi,ij,hqj->hq", missed, e.prior[0], missed) + noise[0])
    assert (np.diff(left, axis=0) < 1e-12).all()
