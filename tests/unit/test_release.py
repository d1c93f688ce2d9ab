"""Releases: directions, signs, and draws of the levers."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from latebreak.engine.bundle.bundle import covariance_factor
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight import kernel
from latebreak.engine.pitch.pitch import Spread
from latebreak.engine.pitch.release import SLOWEST_RELEASE, drawn_releases, releases

Array = NDArray[np.float64]

RUBBER = 18.44
# speed, spin rate, break clock, gyro, side, height, extension, elevation, azimuth
STRAIGHT = [40.0, 240.0, 0.0, 0.0, -0.6, 1.8, 1.9, 0.0, 0.0]


def release(*changes: tuple[int, float], **fixed: float) -> Array:
    levers = np.array(STRAIGHT)
    for lever, value in changes:
        levers[lever] = value
    return releases(levers[:, None], RUBBER, **fixed)[:, 0]


def spin(row: Array) -> Array:
    return row[kernel.SPIN_X : kernel.SPIN_Z + 1]


def push(row: Array) -> Array:
    """Direction in which the spin pushes the ball: w x v."""
    across = np.cross(spin(row), row[kernel.VX : kernel.VZ + 1])
    unit: Array = across / np.linalg.norm(across)
    return unit


def test_position_and_velocity() -> None:
    row = release((7, 0.05), (8, -0.02))
    np.testing.assert_allclose(row[:3], [-0.6, RUBBER - 1.9, 1.8])
    velocity = row[kernel.VX : kernel.VZ + 1]
    assert np.linalg.norm(velocity) == pytest.approx(40.0, rel=1e-9)
    assert np.arcsin(velocity[2] / 40.0) == pytest.approx(0.05)  # launch elevation
    assert np.arctan2(velocity[0], -velocity[1]) == pytest.approx(-0.02)  # launch azimuth


@pytest.mark.parametrize(
    ("clock_deg", "direction"),
    [(0.0, [0, 0, 1]), (90.0, [-1, 0, 0]), (180.0, [0, 0, -1]), (270.0, [1, 0, 0])],
    ids=["12:00 up", "3:00 to the pitcher's right", "6:00 down", "9:00 to his left"],
)
def test_break_clock_as_the_pitcher_sees_it(clock_deg: float, direction: list[float]) -> None:
    np.testing.assert_allclose(push(release((2, np.radians(clock_deg)))), direction, atol=1e-9)
    seam = release(seam=0.05, seam_clock=np.radians(clock_deg))
    np.testing.assert_allclose(seam[kernel.SEAM_X : kernel.SEAM_Z + 1], direction, atol=1e-9)
    assert seam[kernel.SEAM] == 0.05


def test_positive_gyro_spirals_clockwise_from_behind() -> None:
    # Clockwise for one who looks along the flight is a spin vector along the flight.
    row = release((3, np.pi / 2.0))
    np.testing.assert_allclose(spin(row), 240.0 * np.array([0.0, -1.0, 0.0]), atol=1e-7)
    assert release((3, -0.5))[kernel.SPIN_Y] > 0.0


@pytest.mark.parametrize("gyro", [-1.2, 0.0, 0.7])
def test_share_of_the_spin_across_the_flight_is_the_cosine_of_the_gyro_angle(gyro: float) -> None:
    row = release((3, gyro), (2, 2.1), (7, 0.1), (8, 0.05))
    along = spin(row) @ row[kernel.VX : kernel.VZ + 1] / 40.0
    assert np.linalg.norm(spin(row)) == pytest.approx(240.0, rel=1e-9)
    assert np.sqrt(240.0**2 - along**2) / 240.0 == pytest.approx(abs(np.cos(gyro)), rel=1e-7)
    assert along == pytest.approx(240.0 * np.sin(gyro), abs=1e-6)


def test_clock_face_turns_with_the_flight() -> None:
    # The whole release is the straight one, turned: first up about -x, then about z.
    levers = ((2, 0.8), (3, 0.3))
    straight = release(*levers, seam=0.05, seam_clock=1.0)
    elevation, azimuth = 0.12, -0.07
    turned = release(*levers, (7, elevation), (8, azimuth), seam=0.05, seam_clock=1.0)
    turn = Rotation.from_rotvec([0.0, 0.0, azimuth]) * Rotation.from_rotvec([-elevation, 0.0, 0.0])
    for first in (kernel.VX, kernel.SPIN_X, kernel.SEAM_X):
        np.testing.assert_allclose(turned[first : first + 3], turn.apply(straight[first : first + 3]), atol=1e-7)


def test_factors_are_passed_on() -> None:
    row = release(drag_scale=1.1, lift_scale=0.9)
    assert (row[kernel.DRAG_SCALE], row[kernel.LIFT_SCALE]) == (1.1, 0.9)


@pytest.mark.parametrize("rate", [0.0, 5e-324, 1e-310, -30.0])
def test_no_spin_below_zero_and_no_denormal_spin(rate: float) -> None:
    # The tail of a wide spread must not reverse the spin; a denormal number would slow the kernels.
    np.testing.assert_array_equal(spin(release((1, rate))), 0.0)


def test_no_throw_backwards() -> None:
    row = release((0, -3.0))
    assert row[kernel.VY] == pytest.approx(-SLOWEST_RELEASE)


def test_draws_scatter_as_the_spread_says() -> None:
    deviations = np.array([0.5, 8.0, 0.1, 0.1, 0.03, 0.02, 0.03, 0.015, 0.013])
    correlation = np.eye(9)
    correlation[0, 1] = correlation[1, 0] = 0.6
    correlation[4, 5] = correlation[5, 4] = -0.4
    factor = covariance_factor(Spread(deviations, correlation))
    draws = Draws(3, 32_768)
    normals = np.concatenate([draws.normals(i) for i in range(draws.blocks)], axis=1)
    rows = drawn_releases(np.array(STRAIGHT), factor, normals, RUBBER)
    drawn = np.stack(
        [
            np.linalg.norm(rows[kernel.VX : kernel.VZ + 1], axis=0),
            np.linalg.norm(rows[kernel.SPIN_X : kernel.SPIN_Z + 1], axis=0),
            rows[kernel.X],
            rows[kernel.Z],
            RUBBER - rows[kernel.Y],
        ]
    )
    levers = [0, 1, 4, 5, 6]
    # Five standard errors of independent draws; Sobol draws do better.
    n = normals.shape[1]
    error = deviations[levers] / np.sqrt(n)
    np.testing.assert_array_less(np.abs(drawn.mean(axis=1) - np.array(STRAIGHT)[levers]), 5.0 * error)
    np.testing.assert_allclose(drawn.std(axis=1), deviations[levers], rtol=5.0 / np.sqrt(2.0 * n))
    np.testing.assert_allclose(np.corrcoef(drawn), correlation[np.ix_(levers, levers)], atol=5.0 / np.sqrt(n))


@pytest.mark.parametrize("r", [0.0, 0.3, 1.0, -1.0])
def test_factor_of_a_covariance_also_of_a_singular_one(r: float) -> None:
    deviations = np.arange(1.0, 10.0)
    correlation = np.eye(9)
    correlation[2, 7] = correlation[7, 2] = r
    factor = covariance_factor(Spread(deviations, correlation))
    np.testing.assert_array_equal(factor, np.tril(factor))
    np.testing.assert_allclose(factor @ factor.T, correlation * np.outer(deviations, deviations), atol=1e-12)
    assert (np.diag(factor) >= 0.0).all()  # the draw of a lever moves that lever first, and upwards


def test_draws_of_any_number_are_the_same_columns() -> None:
    # A release doesn't depend on its neighbours, nor on how the last pass over the lanes is filled.
    normals = Draws(1, 2400).normals(0)
    factor = np.diag(np.full(9, 0.01))
    whole = drawn_releases(np.array(STRAIGHT), factor, normals, RUBBER)
    for count in (1, 127, 128, 129, 256, 257):
        part = drawn_releases(np.array(STRAIGHT), factor, np.ascontiguousarray(normals[:, :count]), RUBBER)
        np.testing.assert_allclose(part, whole[:, :count], rtol=1e-14, atol=1e-14)
