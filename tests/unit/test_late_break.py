"""Late break against a second solver, and at the ends of what it means."""

from collections.abc import Callable
from math import exp

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight import kernel
from latebreak.engine.flight.flying import PLATE_FRONT
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.flight.late_break import late_and_whole_break
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import FOOT, INCH

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]

CONDITIONS = Conditions(air_density=1.18, wind_to_right=1.5, wind_to_plate=-2.0)
CURVE = {"speed_mph": 78.0, "spin_rpm": 2500.0, "break_clock_deg": 200.0, "gyro_deg": 41.0, "target_ft": (0.3, 1.8)}


def breaks(bundle: Bundle, before_arrival: float, releases: Array | None = None) -> Array:
    """Late and whole break, (2, n), in inches."""
    releases = bundle.mean.releases() if releases is None else releases
    paths = bundle.flight.paths(releases)
    return late_and_whole_break(bundle.flight, paths, np.full((1, releases.shape[1]), before_arrival)) / INCH


@pytest.fixture(scope="module")
def curve(make_pitch: MakePitch) -> Bundle:
    return prepare(make_pitch(**CURVE, spread_scale=1.0), CONDITIONS)


def fly_on(
    start: Array, release: Array, since: float, *, spinning: bool
) -> tuple[float, Array, Callable[[float], Array]]:
    """Arrival time and state, and the state at a time, by DOP853 from the equation of the flight model.

    `since` is the time since release at `start`, for the decay of the spin.
    """
    ball = CONDITIONS.ball
    k = CONDITIONS.air_density * ball.cross_section / (2.0 * ball.mass)
    wind = np.array([CONDITIONS.wind_to_right, -CONDITIONS.wind_to_plate, 0.0])
    spin = release[kernel.SPIN_X : kernel.SPIN_Z + 1] * spinning
    seam, direction = release[kernel.SEAM] * spinning, release[kernel.SEAM_X : kernel.SEAM_Z + 1]

    def slope(t: float, state: Array) -> Array:
        u = state[3:] - wind
        v = float(np.sqrt(u @ u))
        turn = np.cross(spin * exp(-t / ball.spin_decay_time), u)
        size = float(np.sqrt(turn @ turn))
        s = ball.radius * size / v**2
        a = np.array([0.0, 0.0, -9.80665]) - k * 0.345 * v * u
        if size > 0.0:
            a += k * s / (0.74 + 1.29 * s) * v**2 * turn / size
        if seam > 0.0:
            push = direction - (direction @ u) * u / v**2
            a += k * seam * v**2 * push / np.sqrt(push @ push)
        return np.concatenate([state[3:], a])

    def to_the_plate(_: float, state: Array) -> float:
        return float(state[1]) - PLATE_FRONT

    to_the_plate.terminal = True  # type: ignore[attr-defined]
    path = solve_ivp(
        slope, (since, 3.0), start, "DOP853", rtol=1e-11, atol=1e-11, events=to_the_plate, dense_output=True
    )
    assert path.sol is not None
    assert path.t_events is not None
    assert path.y_events is not None
    return float(path.t_events[0][0]), path.y_events[0][0], path.sol


@pytest.mark.parametrize("seam_force", [0.0, 0.06])
@pytest.mark.parametrize("before_arrival", [0.150, 0.300])
def test_against_a_second_solver(make_pitch: MakePitch, before_arrival: float, seam_force: float) -> None:
    """To 0.02 in: the engine promises each of the three arrivals to 0.005 in, and a path between nodes to as much."""
    bundle = prepare(make_pitch(**CURVE, seam_force=seam_force, seam_clock_deg=90.0), CONDITIONS)
    release = bundle.mean.releases()[:, 0]
    arrival, end, state_at = fly_on(release[:6], release, 0.0, spinning=True)
    commit = arrival - before_arrival
    _, coasting, _ = fly_on(state_at(commit), release, commit, spinning=False)
    _, bare, _ = fly_on(release[:6], release, 0.0, spinning=False)
    expected = [np.hypot(*(end - other)[[0, 2]]) / INCH for other in (coasting, bare)]
    np.testing.assert_allclose(breaks(bundle, before_arrival)[:, 0], expected, atol=0.02)
    assert expected[0] > 1.0  # the case can tell


def test_before_the_flight_all_of_it_is_late(curve: Bundle) -> None:
    """A commit point at or before the release: late break and whole break are one thing."""
    releases = curve.releases(Draws(5, 400).normals(0))
    longest = float(curve.flight.arrivals(releases)[AT_TIME].max())
    for before_arrival in (longest, longest + 1.0, 50.0):
        late, whole = breaks(curve, before_arrival, releases)
        np.testing.assert_allclose(late, whole, rtol=1e-9)


def test_at_arrival_nothing_is_left(curve: Bundle) -> None:
    releases = curve.releases(Draws(5, 400).normals(0))
    late, whole = breaks(curve, 0.0, releases)
    assert (late < 1e-9).all()
    assert (whole > 5.0).all()


def test_an_earlier_commit_point_leaves_a_larger_share(curve: Bundle) -> None:
    shares = [float(late / whole) for late, whole in (breaks(curve, t)[:, 0] for t in np.linspace(0.0, 0.5, 11))]
    assert (np.diff(shares) > 0.0).all()
    assert shares[0] < 1e-9


@pytest.mark.parametrize("before_arrival", [0.120, 0.150, 0.200, 0.300])
def test_the_share_goes_with_the_square_of_the_time_left(curve: Bundle, before_arrival: float) -> None:
    """Under a constant push the path bends by a t^2/2, so the share is (time left/flight time)^2 (computed).

    The push is not quite constant (it falls with the square of the speed and turns with the path): 10 % of it are left.
    """
    late, whole = breaks(curve, before_arrival)[:, 0]
    flight_time = float(curve.flight.arrivals(curve.mean.releases())[AT_TIME, 0])
    assert late / whole == pytest.approx((before_arrival / flight_time) ** 2, rel=0.10)


def test_more_spin_breaks_later(make_pitch: MakePitch) -> None:
    found = [
        breaks(prepare(make_pitch(**(CURVE | {"spin_rpm": rate})), CONDITIONS), 0.15)[0, 0]
        for rate in (500.0, 1200.0, 2000.0, 2800.0, 3400.0)
    ]
    assert (np.diff(found) > 0.1).all()


def test_a_cleaner_axis_breaks_later(make_pitch: MakePitch) -> None:
    """At equal spin rate, spin across the flight bends it and gyro spin does not."""
    found = [
        breaks(prepare(make_pitch(**(CURVE | {"gyro_deg": gyro})), CONDITIONS), 0.15)[0, 0]
        for gyro in (85.0, 60.0, 40.0, 10.0)
    ]
    assert (np.diff(found) > 0.1).all()


def test_without_spin_there_is_no_break(make_pitch: MakePitch) -> None:
    """Nothing is switched off at the commit point, so the ball arrives where it would; the engine promises an arrival
    to 0.005 in."""
    bundle = prepare(make_pitch(**(CURVE | {"spin_rpm": 0.0})), CONDITIONS)
    assert (breaks(bundle, 0.15) < 0.005).all()


def test_a_shorter_way_has_a_larger_late_share(make_pitch: MakePitch) -> None:
    """At equal speed a youth field takes less time, so more of the break comes after the commit point."""
    full, short = (
        prepare(make_pitch(**CURVE), Conditions(air_density=1.18, rubber_to_plate=feet * FOOT)) for feet in (60.5, 46.0)
    )
    shares = [float(np.divide(*breaks(bundle, 0.15)[:, 0])) for bundle in (full, short)]
    assert shares[1] > 1.5 * shares[0]
