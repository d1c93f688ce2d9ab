"""What has been seen of a throw: against its path, and against pitches whose bend is known."""

from dataclasses import replace

import numpy as np
import pytest
from batting import CURVE, FASTBALL, MIX, PROFESSIONAL, Thrown, columns

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, VX, VZ
from latebreak.engine.units import STANDARD_GRAVITY
from latebreak.perception.parameters import Parameters, uncertain
from latebreak.perception.seeing import (
    ARRIVAL_X,
    ARRIVAL_Z,
    BEND_X,
    BEND_Z,
    DIRECTION_SD,
    GLANCE,
    HEADING_X,
    HEADING_Z,
    LINE_X,
    LINE_Z,
    LOG_SPEED,
    PLACE_X,
    PLACE_Z,
    REMAINING,
    SPEED,
    SPEED_SD,
    TIME,
    needs_time,
    see,
)

THROWS = 150  # more than a block of lanes, and no multiple of one


@pytest.mark.parametrize("steps", [2, 4, 16])
@pytest.mark.parametrize("name", MIX)
def test_against_the_path(name: str, steps: int) -> None:
    """In every interval of the path, at release, at arrival and beyond it; only rounding differs."""
    thrown = MIX[name][0]
    paths = thrown.bundle.flight.paths(thrown.paths(THROWS).releases, steps)
    p = uncertain(PROFESSIONAL, 1, np.random.default_rng(3))
    two = columns(paths, 2)
    times = np.random.default_rng(1).uniform(-0.05, 0.6, (2, THROWS))
    times[:, :4] = [0.0, 1e-9, paths.arrivals[AT_TIME, 2], 2.0]
    glance = see(two, times, p, False)
    there, before = (
        two.at(t.reshape(1, -1))[0].reshape(6, 2, THROWS) for t in (times, times - 0.5 * p.motion_lag[:, None])
    )
    velocity = paths.releases[VX : VZ + 1, None]
    speed = np.sqrt((velocity**2).sum(axis=0))
    since = np.maximum(times, 0.005)
    slowed = there[4] / velocity[1]
    expected = {
        TIME: times,
        REMAINING: paths.arrivals[AT_TIME] - times,
        SPEED: speed,
        LOG_SPEED: np.log(speed),
        LINE_X: velocity[0] / speed,
        LINE_Z: velocity[2] / speed,
        BEND_X: (there[3] - slowed * velocity[0]) / since,
        BEND_Z: (there[5] - slowed * velocity[2]) / since + 0.5 * STANDARD_GRAVITY * (1.0 + slowed),
        PLACE_X: there[0],
        PLACE_Z: there[2],
        HEADING_X: before[3],
        HEADING_Z: before[5],
        ARRIVAL_X: paths.arrivals[AT_X],
        ARRIVAL_Z: paths.arrivals[AT_Z],
    }
    for row, value in expected.items():
        np.testing.assert_allclose(
            glance[row], np.broadcast_to(value, times.shape), rtol=1e-11, atol=1e-11, err_msg=GLANCE[row]
        )


def test_noise_needs_time() -> None:
    """sqrt(2) of its floor after one window of view, 1 after many; then (window/view)^(3/2) towards its start."""
    assert needs_time(0.1, 0.1) == pytest.approx(np.sqrt(2.0))
    assert needs_time(10.0, 0.1) == pytest.approx(1.0, abs=1e-6)
    assert needs_time(0.01, 0.1) == pytest.approx(10.0**1.5, rel=1e-3)
    assert np.isfinite(needs_time(-1.0, 0.1))
    views = np.linspace(-0.1, 0.5, 50)
    assert (np.diff([needs_time(view, 0.1) for view in views]) <= 0.0).all()


@pytest.mark.parametrize("same_side", [True, False])
def test_noise_of_a_glance(same_side: bool) -> None:
    p = PROFESSIONAL
    glance = see(CURVE.mean, np.array([[0.2]]), p, same_side)[:, 0, 0]
    worse = float(np.sqrt(1.0 + (p.noise_window / (0.2 - p.view_start)) ** 3)[0])
    side = float(p.same_side_noise[0]) if same_side else 1.0
    assert glance[DIRECTION_SD] == pytest.approx(float(p.direction_noise[0]) * side * worse)
    assert glance[SPEED_SD] == pytest.approx(float(p.speed_noise[0]) * worse)


def bend_of(thrown: Thrown, time: float = 0.3) -> tuple[float, float]:
    x, z = see(thrown.mean, np.array([[time]]), PROFESSIONAL, False)[[BEND_X, BEND_Z], 0, 0]
    return float(x), float(z)


def test_a_ball_without_spin_has_no_bend() -> None:
    """Under drag alone it keeps its direction, and gravity is taken off as drag leaves it; that drag is not quite even
    costs 0.02 m/s^2. A curve bends by 5.
    """
    for speed in (70.0, 92.0):
        x, z = bend_of(replace(FASTBALL, rate=0.0, speed=speed))
        assert abs(x) < 0.02
        assert abs(z) < 0.05


@pytest.mark.parametrize(("clock", "towards"), [(0.0, (0.0, 1.0)), (90.0, (-1.0, 0.0)), (180.0, (0.0, -1.0))])
def test_a_bend_points_where_spin_pushes(clock: float, towards: tuple[float, float]) -> None:
    """Backspin up, spin to the pitcher's right (negative x), topspin down; within 0.3 of its size."""
    still, spun = (np.array(bend_of(Thrown(85.0, rate, clock, 100.0))) for rate in (0.0, 2300.0))
    bend = spun - still
    np.testing.assert_allclose(bend / np.linalg.norm(bend), towards, atol=0.1)


def test_columns_are_hitters_side_by_side() -> None:
    p = uncertain(PROFESSIONAL, 2, np.random.default_rng(1))
    paths: Paths = CURVE.paths(64)
    times = np.full((3, 64), 0.25)
    together = see(columns(paths, 3), times, p, True)
    for column in range(3):
        own: Parameters = p.columns(np.array([column]))
        np.testing.assert_array_equal(together[:, column], see(paths, times[:1], own, True)[:, 0])
