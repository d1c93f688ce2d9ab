"""Paths between release and plate."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.flying import PLATE_FRONT, Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, VX, VZ, Y
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import INCH, STANDARD_GRAVITY

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]


def some_paths(make_pitch: MakePitch, steps: int, density: float = 1.2, count: int = 200) -> tuple[Array, Paths]:
    bundle = prepare(make_pitch(85.0, 2400.0, 200.0, 30.0, spread_scale=1.0), Conditions(density))
    releases = bundle.releases(Draws(1, 8 * count).normals(0))
    return releases, bundle.flight.paths(releases, steps)


def test_passes_through_the_nodes(make_pitch: MakePitch) -> None:
    releases, paths = some_paths(make_pitch, 5)
    states = paths.at(paths.nodes[:, AT_TIME])
    np.testing.assert_allclose(states[:, [0, 2]], paths.nodes[:, [AT_X, AT_Z]], rtol=0.0, atol=1e-12)
    np.testing.assert_allclose(states[:, 3:], paths.nodes[:, [AT_VX, AT_VY, AT_VZ]], rtol=0.0, atol=1e-9)
    y = releases[Y] + (PLATE_FRONT - releases[Y]) * np.linspace(0.0, 1.0, 6)[:, None]
    np.testing.assert_allclose(states[:, 1], y, rtol=0.0, atol=1e-12)


def test_is_exact_in_vacuum(make_pitch: MakePitch) -> None:
    releases, paths = some_paths(make_pitch, 2, density=0.0)
    times = np.linspace(0.0, 1.0, 17)[:, None] * paths.arrivals[AT_TIME]
    states = paths.at(times)
    np.testing.assert_allclose(states[:, 0], releases[0] + releases[VX] * times, atol=1e-12)
    np.testing.assert_allclose(
        states[:, 2], releases[2] + releases[VZ] * times - 0.5 * STANDARD_GRAVITY * times**2, atol=1e-12
    )
    np.testing.assert_allclose(states[:, 5], releases[VZ] - STANDARD_GRAVITY * times, atol=1e-10)


def test_holds_still_before_release_and_after_arrival(make_pitch: MakePitch) -> None:
    releases, paths = some_paths(make_pitch, 3)
    before, release, arrival, after = paths.at(
        np.stack([np.full(200, -1.0), np.zeros(200), paths.arrivals[AT_TIME], paths.arrivals[AT_TIME] + 1.0])
    )
    np.testing.assert_array_equal(before, release)
    np.testing.assert_array_equal(after, arrival)
    np.testing.assert_allclose(release, releases[:6], rtol=0.0, atol=1e-9)


def test_times_in_any_order(make_pitch: MakePitch) -> None:
    _, paths = some_paths(make_pitch, 8)
    times = np.linspace(0.0, 1.0, 40)[:, None] * paths.arrivals[AT_TIME]
    shuffled = np.random.default_rng(2).permutation(40)
    np.testing.assert_array_equal(paths.at(times[shuffled]), paths.at(times)[shuffled])


def test_velocity_is_the_derivative_of_position(make_pitch: MakePitch) -> None:
    _, paths = some_paths(make_pitch, 4)
    middle = np.linspace(0.05, 0.95, 23)[:, None] * paths.arrivals[AT_TIME]
    h = 1e-5
    slope = (paths.at(middle + h)[:, :3] - paths.at(middle - h)[:, :3]) / (2.0 * h)
    # central difference: h^2/6 times the third derivative, and 1e-15 m of rounding over 2e-5 s
    np.testing.assert_allclose(paths.at(middle)[:, 3:], slope, rtol=0.0, atol=2e-4)


def test_two_steps_suffice_for_an_ordinary_pitch(make_pitch: MakePitch) -> None:
    # Between the nodes of two steps the cubics are good to some 1e-4 in (the promise of the module's text), beyond what
    # the steps themselves miss.
    _, fine = some_paths(make_pitch, 64)
    _, coarse = some_paths(make_pitch, 2)
    times = np.linspace(0.0, 1.0, 21)[:, None] * fine.arrivals[AT_TIME]
    assert np.abs(coarse.at(times) - fine.at(times))[:, :3].max() < 2e-3 * INCH
