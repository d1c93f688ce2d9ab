"""Path gap: the angle between pitch and fastball at a moment, and what that is across the line of sight."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z
from latebreak.engine.flight.late_break import late_and_whole_break
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import ARCMIN, FOOT
from latebreak.perception.eye import Eye
from latebreak.perception.measures import THROW_MEASURES, throw_measures
from latebreak.perception.path_gap import path_gap_at_distance, path_gap_at_time

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]

EYE = Eye().place
CONDITIONS = Conditions(air_density=1.19)
CURVE = {"speed_mph": 78.0, "spin_rpm": 2500.0, "break_clock_deg": 200.0, "gyro_deg": 41.0, "target_ft": (0.3, 1.8)}
THROWS = 40


def thrown(bundle: Bundle) -> Paths:
    return bundle.flight.paths(bundle.releases(Draws(3, 8 * THROWS).normals(0)), 8)


@pytest.fixture(scope="module")
def both(make_pitch: MakePitch) -> tuple[Paths, Paths]:
    curve, fastball = (prepare(make_pitch(**entry, spread_scale=1.0), CONDITIONS) for entry in (CURVE, {}))
    return thrown(curve), thrown(fastball)


def at(time: float) -> Array:
    return np.full((1, THROWS), time)


def test_a_pitch_has_no_gap_to_itself(both: tuple[Paths, Paths]) -> None:
    times = np.concatenate([at(0.0), at(0.1), at(0.4), at(9.0)])
    for gap in (path_gap_at_time, path_gap_at_distance):
        np.testing.assert_array_equal(gap(both[0], both[0], times, EYE), np.zeros((2, 4, THROWS)))


def test_against_the_law_of_cosines(both: tuple[Paths, Paths]) -> None:
    """The triangle of eye, pitch and fastball has all its sides; at an arccosine's accuracy, 1e-8 rad."""
    times = np.concatenate([at(0.05), at(0.1), at(0.3)])
    angle, across = path_gap_at_time(*both, times, EYE)
    here, there = (paths.at(times)[:, :3].transpose(0, 2, 1) for paths in both)
    a, b, c = (np.sqrt((x**2).sum(axis=-1)) for x in (here - EYE, there - EYE, here - there))
    np.testing.assert_allclose(angle, np.arccos((a**2 + b**2 - c**2) / (2 * a * b)), atol=1e-7)
    np.testing.assert_allclose(across, angle * a, rtol=1e-13)


def test_the_gap_starts_between_the_release_points(make_pitch: MakePitch) -> None:
    """From one point of release the gap is 0 at first, whatever the direction."""
    curve, fastball = (thrown(prepare(make_pitch(**entry), CONDITIONS)) for entry in (CURVE, {}))
    assert (path_gap_at_time(curve, fastball, at(0.0), EYE) < 1e-12).all()
    assert (path_gap_at_time(curve, fastball, at(0.1), EYE)[0] > ARCMIN).all()


def test_a_fastball_that_is_there_stays_there(both: tuple[Paths, Paths]) -> None:
    """The curve takes longer: late in its flight it is set against the place where the fastball arrived."""
    curve, fastball = both
    time = 0.5 * (fastball.arrivals[AT_TIME].max() + curve.arrivals[AT_TIME].min())
    angle = path_gap_at_time(curve, fastball, at(float(time)), EYE)[0, 0]
    last = fastball.arrivals
    waiting = np.stack([last[AT_X], np.full(THROWS, fastball.plate), last[AT_Z]], axis=1) - EYE
    here = curve.at(at(float(time)))[0, :3].T - EYE
    cosine = (here * waiting).sum(axis=1) / np.linalg.norm(here, axis=1) / np.linalg.norm(waiting, axis=1)
    np.testing.assert_allclose(angle, np.arccos(cosine), atol=1e-7)


def test_what_is_far_apart_at_the_plate_is_minutes_of_arc_at_first(make_pitch: MakePitch) -> None:
    """Two paths from one point in one direction, under a constant push, are (0.1 s/flight time)^2 of their distance
    at the plate apart after 0.1 s (computed); the ball is then 40 ft away. The push falls with the square of the
    speed, so early it is larger than its mean: 10 %.
    """
    line = {"speed_mph": 95.0, "gyro_deg": 0.0, "launch_deg": (-1.0, 2.0)}
    up, down = (
        thrown(prepare(make_pitch(**line, spin_rpm=rate, break_clock_deg=0.0), CONDITIONS)) for rate in (1500.0, 400.0)
    )
    apart = float(np.hypot(*(up.arrivals[[AT_X, AT_Z]] - down.arrivals[[AT_X, AT_Z]])[:, 0]))
    flight_time = float(up.arrivals[AT_TIME, 0])
    early = path_gap_at_time(up, down, at(0.1), EYE)[0, 0, 0]
    assert early == pytest.approx(apart * (0.1 / flight_time) ** 2 / (40.0 * FOOT), rel=0.10)
    assert 4.0 * ARCMIN < early < 5.0 * ARCMIN


def test_a_mirrored_pair_has_the_same_gap(make_pitch: MakePitch) -> None:
    def paths(sign: float, entry: dict[str, float]) -> Paths:
        full = {"break_clock_deg": 20.0, "gyro_deg": 18.0} | entry
        mirrored = full | {name: sign * full[name] for name in ("break_clock_deg", "gyro_deg")}
        pitch = make_pitch(**mirrored, release_side_ft=sign * -1.9, target_ft=(sign * 0.3, 2.0))
        return thrown(prepare(pitch, CONDITIONS))

    curve = {"speed_mph": 78.0, "spin_rpm": 2500.0, "break_clock_deg": 200.0, "gyro_deg": 41.0}
    right = path_gap_at_time(paths(1.0, curve), paths(1.0, {}), at(0.2), EYE)
    left = path_gap_at_time(paths(-1.0, curve), paths(-1.0, {}), at(0.2), Eye(bats="left").place)
    np.testing.assert_allclose(left, right, rtol=1e-9)


def test_equal_distance_is_equal_distance(both: tuple[Paths, Paths]) -> None:
    """The time at which the fastball crosses is searched by bisection, to 1e-12 s; places then come from the cubics in
    time, which agree with those in distance to 0.1 mm in eight steps.
    """
    curve, fastball = both
    times = np.concatenate([at(0.05), at(0.2), at(0.35)])
    y = curve.at(times)[:, 1]
    low, high = np.zeros_like(y), np.broadcast_to(fastball.arrivals[AT_TIME], y.shape).copy()
    for _ in range(40):
        middle = 0.5 * (low + high)
        beyond = fastball.at(middle)[:, 1] > y
        low, high = np.where(beyond, middle, low), np.where(beyond, high, middle)
    here, there = (paths.at(t)[:, :3].transpose(0, 2, 1) - EYE for paths, t in ((curve, times), (fastball, low)))
    np.testing.assert_allclose(here[..., 1], there[..., 1], atol=1e-9)
    a, b, c = (np.linalg.norm(x, axis=-1) for x in (here, there, here - there))
    angle, across = path_gap_at_distance(curve, fastball, times, EYE)
    np.testing.assert_allclose(across, a * np.arccos((a**2 + b**2 - c**2) / (2 * a * b)), atol=2e-4)
    np.testing.assert_allclose(across, angle * a, rtol=1e-4)


def test_speed_alone_opens_no_gap_at_equal_distance(make_pitch: MakePitch) -> None:
    """Without spin, and launched to the same place, a slower ball differs by its fall alone, and that shows later; at
    equal time it is nearly two metres behind. So its gap at equal distance is the smaller one.
    """
    slow, fast = (thrown(prepare(make_pitch(speed_mph=speed, spin_rpm=0.0), CONDITIONS)) for speed in (86.0, 92.0))
    time = slow.arrivals[AT_TIME][None] - 0.150
    apart, level = (gap(slow, fast, time, EYE)[0, 0] for gap in (path_gap_at_time, path_gap_at_distance))
    assert (level < 0.5 * apart).all()


def test_a_fastball_that_is_released_nearer_the_plate_waits_in_the_hand(make_pitch: MakePitch) -> None:
    far, near = (thrown(prepare(make_pitch(extension_ft=extension), CONDITIONS)) for extension in (5.0, 7.0))
    places = near.crossing(far.at(at(0.0))[:, 1])
    np.testing.assert_allclose(places[0], near.releases[:3], rtol=1e-12)


def test_the_measures_count_from_the_pitchs_own_arrival(make_pitch: MakePitch) -> None:
    """The hitter starts his swing in time for the ball that comes, 150 ms before it arrives; a curve takes 80 ms longer
    than the fastball, so the fastball's arrival would be another moment. His last news is a latency older.
    """
    curve, fastball = (prepare(make_pitch(**entry, spread_scale=1.0), CONDITIONS) for entry in (CURVE, {}))
    normals = Draws(3, 8 * THROWS).normals(0)
    pitch, other = (each.flight.paths(each.releases(normals)) for each in (curve, fastball))
    values = throw_measures(curve.flight, pitch, other, EYE, np.full(THROWS, 0.150), np.full(THROWS, 0.250))
    paths, others = thrown(curve), thrown(fastball)
    early = path_gap_at_time(paths, others, at(0.100), EYE)[:, 0]
    commit = path_gap_at_distance(paths, others, paths.arrivals[AT_TIME][None] - 0.150, EYE)[:, 0]
    breaks = late_and_whole_break(curve.flight, paths, np.repeat([[0.150], [0.250]], THROWS, axis=1))
    found = dict(zip(THROW_MEASURES, values, strict=True))
    # flown with other numbers of steps: to 0.005 in at the plate, of some inches
    for name, expected in zip(THROW_MEASURES, (*early, *commit, *breaks), strict=True):
        np.testing.assert_allclose(found[name], expected, rtol=2e-3, err_msg=name)
    assert (found["late_break"] < found["blind_break"]).all()
    assert (found["blind_break"] < found["whole_break"]).all()
