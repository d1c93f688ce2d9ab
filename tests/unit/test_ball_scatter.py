"""Balls that differ from throw to throw: the three coefficients, their directions and their limits."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.ball_scatter import LEAST_SCALE, scatter_balls
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.kernel import DRAG_SCALE, LIFT_SCALE, SEAM, SEAM_X, SEAM_Z, VX, VZ
from latebreak.engine.pitch.aim import mean_pitches
from latebreak.engine.pitch.pitch import Pitch

MakePitch = Callable[..., Pitch]
CONDITIONS = Conditions(air_density=1.2)
THROWS = 8 * 4096
DEVIATIONS = np.array([0.05, 0.04, 0.008])


@pytest.fixture(scope="module")
def bundle(make_pitch: MakePitch) -> Bundle:
    pitch = make_pitch(seam_force=0.02, seam_clock_deg=70.0, drag_scale=0.95, lift_scale=1.1, spread_scale=1.0)
    drag, lift, seam = (float(each) for each in DEVIATIONS)
    return prepare(
        replace(pitch, spread=replace(pitch.spread, drag_scale=drag, lift_scale=lift, seam_force=seam)), CONDITIONS
    )


def normals_of(throws: int) -> np.ndarray:
    draws = Draws(3, throws)
    return np.concatenate([draws.normals(block) for block in range(draws.blocks)], axis=1)


def push(releases: np.ndarray) -> np.ndarray:
    """Seam-made force coefficient as a vector, (3, n)."""
    return releases[SEAM] * releases[SEAM_X : SEAM_Z + 1]


def test_means_and_deviations_are_those_asked_for(bundle: Bundle) -> None:
    releases = bundle.releases(normals_of(THROWS))
    still = bundle.releases(normals_of(THROWS)[:9])
    for row, mean, sd in ((DRAG_SCALE, 0.95, 0.05), (LIFT_SCALE, 1.1, 0.04)):
        # Independent draws would scatter by sd / sqrt(n) and sd / sqrt(2 n); five of these.
        assert releases[row].mean() == pytest.approx(mean, abs=5.0 * sd / np.sqrt(THROWS))
        assert releases[row].std() == pytest.approx(sd, rel=5.0 / np.sqrt(2.0 * THROWS))
    off = push(releases) - push(still)
    along = np.einsum("in,in->n", off, releases[VX : VZ + 1])
    assert np.abs(along).max() < 1e-12  # across the flight: rounding only
    assert np.sqrt((off**2).sum(axis=0).mean() / 2.0) == pytest.approx(0.008, rel=5.0 / np.sqrt(4.0 * THROWS))
    # In a random direction: the two parts are alike and have nothing to do with each other.
    up, right = (
        bundle.releases(np.vstack([np.zeros((11, 1)), [[1.0], [0.0]]])),
        bundle.releases(np.vstack([np.zeros((12, 1)), [[1.0]]])),
    )
    own = push(bundle.releases(np.zeros((13, 1))))
    axes = [(push(each) - own)[:, 0] / 0.008 for each in (up, right)]
    np.testing.assert_allclose([axes[0] @ axes[0], axes[1] @ axes[1], axes[0] @ axes[1]], [1.0, 1.0, 0.0], atol=1e-12)
    assert axes[0][2] > 0.9  # up
    assert axes[1][0] < -0.9  # to the pitcher's right, which is the catcher's left


def test_release_and_direction_stay(bundle: Bundle) -> None:
    normals = normals_of(1000)
    releases, still = bundle.releases(normals), bundle.releases(normals[:9])
    np.testing.assert_array_equal(releases[:SEAM], still[:SEAM])
    np.testing.assert_allclose(np.linalg.norm(releases[SEAM_X : SEAM_Z + 1], axis=0), 1.0, rtol=1e-12)


def test_no_deviation_changes_nothing(make_pitch: MakePitch) -> None:
    same = prepare(make_pitch(seam_force=0.02, spread_scale=1.0), CONDITIONS)
    normals = normals_of(200)
    np.testing.assert_array_equal(same.releases(normals), same.releases(normals[:9]))


def test_one_column_as_such_and_among_others(bundle: Bundle) -> None:
    normals = normals_of(100)
    two = bundle.mean.columns(np.array([0, 0]))
    both = bundle.scattered(two, normals).reshape(15, 2, 100)  # all throws of the first column first
    for column in range(2):
        np.testing.assert_allclose(both[:, column], bundle.releases(normals), rtol=1e-12, atol=1e-14)


@pytest.mark.parametrize("count", [1, 127, 129])
def test_a_throw_does_not_depend_on_its_neighbours(bundle: Bundle, count: int) -> None:
    normals = normals_of(400)
    np.testing.assert_array_equal(bundle.releases(normals[:, :count]), bundle.releases(normals)[:, :count])


@pytest.mark.parametrize("elevation", [0.0, 90.0, -90.0])
def test_finite_without_force_and_straight_up(make_pitch: MakePitch, elevation: float) -> None:
    releases = mean_pitches(make_pitch(launch_deg=(elevation, 0.0)), CONDITIONS.rubber_to_plate, 3).releases()
    scatter_balls(
        releases, np.array([0.0, 0.0, 0.01]), np.array([[0.0] * 3, [0.0] * 3, [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    )
    assert np.isfinite(releases).all()
    assert releases[SEAM, 0] == pytest.approx(0.0, abs=1e-12)


def test_the_tail_of_a_wide_spread_drives_no_ball_forward(make_pitch: MakePitch) -> None:
    releases = mean_pitches(make_pitch(), CONDITIONS.rubber_to_plate).releases()
    scatter_balls(releases, np.array([1.0, 1.0, 0.0]), np.full((4, 1), -5.0))
    assert releases[DRAG_SCALE, 0] == releases[LIFT_SCALE, 0] == LEAST_SCALE
