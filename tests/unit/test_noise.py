"""Visual noise is a density over time: evidence does not depend on how a flight is cut into looks."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE
from latebreak.perception.noise import eccentricity, look_variance

Array = NDArray[np.float64]

POSITION, SIZE, LIMIT, E2 = 0.2 * ARCMIN, 0.008, 90.0 * DEGREE, 0.8 * DEGREE
ONE = np.ones(1)


def variances(away: Array, dt: float) -> Array:
    return look_variance(POSITION * ONE, SIZE * ONE, away, E2 * ONE, dt)


def test_variance_of_a_look_that_gaze_follows() -> None:
    """R = diag(n_pos^2, n_pos^2, n_size^2)/dt."""
    found = variances(np.zeros((1, 3)), 0.01)
    assert found.shape == (1, 3, 3)
    np.testing.assert_allclose(found[0, 0], [POSITION**2 / 0.01, POSITION**2 / 0.01, SIZE**2 / 0.01], rtol=1e-14)
    np.testing.assert_array_equal(found[0, 0], found[0, 2])


def test_noise_doubles_at_the_eccentricity_scale() -> None:
    """E2 is by definition where the standard deviation doubles: Levi, Klein and Aitsebaomo (1985); from memory."""
    away = np.array([[0.0, E2, 2 * E2]])
    ratio = np.sqrt(variances(away, 0.01)[0] / variances(np.zeros((1, 1)), 0.01)[0])
    np.testing.assert_allclose(ratio, np.array([[1.0], [2.0], [3.0]]) * np.ones(3), rtol=1e-14)


def test_gaze_keeps_up_below_its_limit() -> None:
    omega = LIMIT * np.array([[0.1, 0.9, 1.0]])
    np.testing.assert_array_equal(eccentricity(omega, LIMIT * ONE, 0.01), np.zeros((1, 3)))


def test_the_ball_runs_away_from_gaze_and_is_not_caught_again() -> None:
    """20 deg/s too fast for three looks of 10 ms: 0.2, 0.4, 0.6 deg; then it stays there."""
    omega = LIMIT + 20.0 * DEGREE * np.array([[1.0, 1.0, 1.0, -3.0]])
    np.testing.assert_allclose(eccentricity(omega, LIMIT * ONE, 0.01) / DEGREE, [[0.2, 0.4, 0.6, 0.6]], rtol=1e-12)


@pytest.mark.parametrize("dt", [0.02, 0.01, 0.005, 0.001])
def test_evidence_does_not_depend_on_the_cut(dt: float) -> None:
    """Over 0.4 s that gaze follows, sum 1/R = 0.4 s / n^2 whatever the look."""
    evidence = (1.0 / variances(np.zeros((1, round(0.4 / dt))), dt)).sum(axis=1)[0]
    np.testing.assert_allclose(evidence, [0.4 / POSITION**2, 0.4 / POSITION**2, 0.4 / SIZE**2], rtol=1e-12)


def test_evidence_of_a_ball_that_runs_away_tends_to_the_integral() -> None:
    """Gaze falls behind at a constant 20 deg/s from the start, so ecc = 20 t deg and the evidence of 0.4 s is
    (1/n^2) E2/20 (1 - 1/(1 + 8/E2)) in deg and s: the exact integral of 1/(1 + ecc/E2)^2. A sum over looks that takes
    ecc at their end falls short of it by about half a look, 0.5 dt (1 - 0.008) s here.
    """
    scale = E2 / DEGREE
    exact = scale / 20.0 * (1.0 - 1.0 / (1.0 + 8.0 / scale))
    errors = []
    for dt in (0.01, 0.005):
        away = eccentricity(np.full((1, round(0.4 / dt)), LIMIT + 20.0 * DEGREE), LIMIT * ONE, dt)
        evidence = float((1.0 / variances(away, dt)).sum(axis=1)[0, 0]) * POSITION**2
        errors.append(abs(evidence - exact))
        assert errors[-1] < 0.6 * dt
    assert errors[1] == pytest.approx(errors[0] / 2.0, rel=0.2)  # first order in the look


def test_every_set_of_parameters_has_its_own_noise() -> None:
    omega = np.array([[3.0, 3.0], [1.0, 4.0]])
    away = eccentricity(omega, np.array([2.0, 3.0]), 0.01)
    np.testing.assert_allclose(away, [[0.01, 0.02], [0.0, 0.01]], rtol=1e-12)
    found = look_variance(np.array([1.0, 2.0]), np.array([3.0, 4.0]), away, np.array([0.01, 0.02]), 0.01)
    np.testing.assert_allclose(found[0, 1], np.array([1.0, 1.0, 9.0]) * 900.0, rtol=1e-12)  # (1 + 2)^2 / dt
    np.testing.assert_allclose(found[1, 1], np.array([4.0, 4.0, 16.0]) * 225.0, rtol=1e-12)  # (1 + 1/2)^2 / dt
