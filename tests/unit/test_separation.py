"""Same-line separation against a second implementation, in plain loops over flights of another solver."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import acos, atan2, ceil, cos, exp, hypot, log, sin

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from latebreak.engine.aim import aimed, mean_pitches
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, prepare
from latebreak.engine.flight import PLATE_FRONT
from latebreak.engine.pitch import LEVERS, Pitch, Spread
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND, STANDARD_GRAVITY
from latebreak.perception import separation as module
from latebreak.perception import view as view_module
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import TRAITS, Hitter, Traits, preset
from latebreak.perception.separation import Separation, same_line_separation

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]

CONDITIONS = Conditions(air_density=1.19)
RIGHT, LEFT = preset("professional", Eye(bats="right"), 0.150), preset("college", Eye(bats="left"), 0.160)
#: theta in the order of `LEVERS`: speed, side, height, elevation, azimuth.
THETA = [
    LEVERS.index(name) for name in ("speed", "release_side", "release_height", "launch_elevation", "launch_azimuth")
]


def with_traits(hitter: Hitter, **values: float) -> Hitter:
    """A hitter who differs in some traits."""
    return replace(hitter, traits=hitter.traits.with_(**values))


def separate(
    pitch: Bundle, fastball: Bundle, hitter: Hitter, factor: Array | None = None, traits: Traits | None = None
) -> Separation:
    return same_line_separation(
        pitch.mean,
        pitch.flight,
        fastball.mean,
        fastball.flight,
        pitch.factor if factor is None else factor,
        hitter.eye.place,
        hitter.traits if traits is None else traits,
    )


# --- the second implementation --------------------------------------------------------------------------------------
def flown(levers: Array, times: Array) -> tuple[Array, float]:
    """Places and velocities (looks, 6) and arrival time by DOP853, from the equation of the flight model."""
    speed, rate, clock, gyro, side, height, extension, elevation, azimuth = levers
    e = np.array([cos(elevation) * sin(azimuth), -cos(elevation) * cos(azimuth), sin(elevation)])
    right = np.array([-cos(azimuth), -sin(azimuth), 0.0])  # the pitcher's
    push = cos(clock) * np.cross(right, e) + sin(clock) * right
    spin = rate * (cos(gyro) * np.cross(e, push) + sin(gyro) * e)
    ball = CONDITIONS.ball
    k = CONDITIONS.air_density * np.pi * ball.radius**2 / (2.0 * ball.mass)

    def slope(t: float, state: Array) -> Array:
        v = state[3:]
        fast = float(np.linalg.norm(v))
        w = spin * exp(-t / ball.spin_decay_time)
        lift_direction = np.cross(w, v)
        s = ball.radius * float(np.linalg.norm(lift_direction)) / fast**2
        a = np.array([0.0, 0.0, -STANDARD_GRAVITY]) - k * 0.345 * fast * v
        if s > 0.0:
            a += k * s / (0.74 + 1.29 * s) * fast**2 * lift_direction / np.linalg.norm(lift_direction)
        return np.concatenate([v, a])

    def to_the_plate(_: float, state: Array) -> float:
        return float(state[1]) - PLATE_FRONT

    to_the_plate.terminal = True  # type: ignore[attr-defined]
    start = np.concatenate([[side, CONDITIONS.rubber_to_plate - extension, height], speed * e])
    path = solve_ivp(slope, (0.0, 3.0), start, "DOP853", rtol=1e-9, atol=1e-9, events=to_the_plate, dense_output=True)
    assert path.sol is not None
    assert path.t_events is not None
    arrival = float(path.t_events[0][0])
    return path.sol(np.minimum(times, arrival)).T, arrival


def seen(place: Array, eye: Array) -> Array:
    """Angles to the right and up of a hitter who faces the mound, and log size."""
    x, y, z = place - eye
    return np.array([atan2(x, y), atan2(z, hypot(x, y)), -log(float(np.linalg.norm(place - eye)))])


def seen_change(place: Array, change: Array, eye: Array) -> Array:
    """What a small change of the ball's place changes in the eye, by differences of exact angles."""
    step = 1e-6 * change / max(float(np.linalg.norm(change)), 1e-12)
    slope = (seen(place + step, eye) - seen(place - step, eye)) / 2e-6 * float(np.linalg.norm(change))
    slope[0] *= cos(seen(place, eye)[1])
    return slope


@dataclass
class Reference:
    """What the second implementation finds: s after release, m from the plate, and d' after each look."""

    time: float
    distance: float
    detectability: list[float]


def reference(pitch: Bundle, fastball: Bundle, hitter: Hitter, covariance: Array, dt: float = 0.010) -> Reference:
    """Loop over the looks; `covariance` (5, 5) of theta; all zeros = nothing about the release is in doubt."""
    here, there = pitch.mean.levers[:, 0], fastball.mean.levers[:, 0].copy()
    there[4:] = here[4:]  # release point and launch direction of the pitch; speed and spin of the fastball
    _, arrival = flown(here, np.zeros(1))
    times: Array = (np.arange(ceil(arrival / dt), dtype=np.float64) + 0.5) * dt
    path, (other, _) = flown(here, times)[0], flown(there, times)
    slopes = np.zeros((2, len(THETA), times.size, 3))
    for which, levers in enumerate((here, there)):
        for number, lever in enumerate(THETA):
            step = np.zeros(9)
            step[lever] = 1e-3
            slopes[which, number] = (flown(levers + step, times)[0] - flown(levers - step, times)[0])[:, :3] / 2e-3

    eye = hitter.eye.place
    e = {name: float(getattr(hitter.traits, name)[0]) for name in TRAITS}
    told, u, information, away = 0.0, np.zeros(5), np.zeros((5, 5)), 0.0
    found = []
    for k, time in enumerate(times):
        place, velocity = path[k, :3], path[k, 3:]
        r = place - eye
        omega = float(np.linalg.norm(velocity - (velocity @ r) * r / (r @ r)) / np.linalg.norm(r))
        away += max(0.0, omega - e["pursuit_limit"]) * dt
        noise = np.array([e["position_noise"], e["position_noise"], e["size_noise"]])
        noise *= 1.0 + away / e["eccentricity_scale"]
        w = np.diag(e["evidence_efficiency"] * dt / noise**2) * (time < arrival)
        d = seen_change(place, place - other[k, :3], eye)
        j = np.stack([seen_change(place, 0.5 * (slopes[0, n, k] + slopes[1, n, k]), eye) for n in range(5)], axis=1)
        told += float(d @ w @ d)
        u = u + j.T @ w @ d
        information = information + j.T @ w @ j
        explained = u @ np.linalg.inv(np.linalg.inv(covariance) + information) @ u if covariance.any() else 0.0
        found.append(float(np.sqrt(told - explained)))
    first = next((k for k, value in enumerate(found) if value >= 1.0), None)
    if first is None:
        return Reference(arrival, 0.0, found)
    before = found[first - 1] if first else 0.0
    time = min((first + (1.0 - before) / (found[first] - before)) * dt, arrival)
    return Reference(time, float(flown(here, np.array([time]))[0][0, 1]) - PLATE_FRONT, found)


def covariance_of_theta(factor: Array) -> Array:
    """C of the 5 quantities that vision updates."""
    return (factor @ factor.T)[np.ix_(THETA, THETA)]


def gyro_of(efficiency_percent: float) -> float:
    return acos(efficiency_percent / 100.0) / DEGREE


#: A curve; a slow loose one; a hard gyro ball; a changeup; a left-hander's curve. As in `make_pitch`.
CURVE = {"speed_mph": 78.0, "spin_rpm": 2500.0, "break_clock_deg": 200.0, "gyro_deg": gyro_of(75.0)}
LOOSE = {"speed_mph": 68.0, "spin_rpm": 1900.0, "break_clock_deg": 220.0, "gyro_deg": 50.0, "spread_scale": 2.0}
GYRO = {"speed_mph": 86.0, "spin_rpm": 2400.0, "break_clock_deg": 250.0, "gyro_deg": 70.0}
CHANGEUP = {"speed_mph": 83.0, "spin_rpm": 1700.0, "break_clock_deg": 55.0, "gyro_deg": -25.0}
LEFT_CURVE = {
    "speed_mph": 80.0,
    "spin_rpm": 2520.0,
    "break_clock_deg": 150.0,
    "gyro_deg": -39.6,
    "release_side_ft": 1.9,
}
LEFT_FASTBALL = {"break_clock_deg": -25.0, "gyro_deg": -15.0, "release_side_ft": 2.0}
#: Who uses so little of the evidence that gaze has left the ball before he can tell.
CARELESS = with_traits(RIGHT, evidence_efficiency=4e-6)
#: Fastball, pitch, hitter.
CASES = [
    ({}, CURVE, RIGHT),
    ({}, LOOSE, LEFT),
    ({}, CURVE, CARELESS),
    ({}, GYRO, RIGHT),
    ({}, CHANGEUP, LEFT),
    (LEFT_FASTBALL, LEFT_CURVE, LEFT),
]


def bundles(make_pitch: MakePitch, fastball: dict[str, float], pitch: dict[str, float]) -> tuple[Bundle, Bundle]:
    both = ({"spread_scale": 1.0} | pitch, {"spread_scale": 1.0} | fastball)
    first, second = (prepare(make_pitch(**entry), CONDITIONS) for entry in both)
    return first, second


@pytest.fixture(scope="module")
def ordinary(make_pitch: MakePitch) -> tuple[Bundle, Bundle]:
    """A curve and the fastball it is thrown behind."""
    return bundles(make_pitch, {}, CURVE)


@pytest.mark.parametrize(("fastball", "pitch", "hitter"), CASES)
def test_against_the_second_implementation(
    make_pitch: MakePitch, fastball: dict[str, float], pitch: dict[str, float], hitter: Hitter
) -> None:
    """Agreement to 0.01 ft, a 25th of the ball: fitted laws and cubic paths are promised to within 0.005 in."""
    thrown, behind = bundles(make_pitch, fastball, pitch)
    found = separate(thrown, behind, hitter)
    expected = reference(thrown, behind, hitter, covariance_of_theta(thrown.factor))
    assert expected.distance > 0.0
    # the law that lets the crossing be searched by halves: more looks never tell less
    assert (np.diff(expected.detectability) >= 0.0).all()
    assert found.reached[0]
    assert found.distance[0] / FOOT == pytest.approx(expected.distance / FOOT, abs=0.01)
    assert found.after_release[0] / MILLISECOND == pytest.approx(expected.time / MILLISECOND, abs=0.1)


def test_correlated_scatter_counts(make_pitch: MakePitch) -> None:
    """A pitcher whose hard throws start lower: the correlation belongs to C."""
    thrown = make_pitch(**CURVE, spread_scale=1.5)
    correlation = np.eye(9)
    correlation[0, 7] = correlation[7, 0] = -0.8
    pitch = prepare(replace(thrown, spread=Spread(thrown.spread.standard_deviations, correlation)), CONDITIONS)
    behind = prepare(make_pitch(), CONDITIONS)
    found = separate(pitch, behind, RIGHT)
    expected = reference(pitch, behind, RIGHT, covariance_of_theta(pitch.factor))
    assert found.distance[0] / FOOT == pytest.approx(expected.distance / FOOT, abs=0.01)
    uncorrelated = separate(prepare(thrown, CONDITIONS), behind, RIGHT)
    assert abs(found.distance[0] - uncorrelated.distance[0]) / FOOT > 0.1  # the case can tell


def test_no_spread_at_all(ordinary: tuple[Bundle, Bundle]) -> None:
    """Nothing about the release is in doubt, so nothing of the difference can be explained away: d'^2 = D'WD."""
    found = separate(*ordinary, RIGHT, factor=np.zeros((9, 9)))
    expected = reference(*ordinary, RIGHT, np.zeros((5, 5)))
    assert found.distance[0] / FOOT == pytest.approx(expected.distance / FOOT, abs=0.01)
    assert found.distance[0] > separate(*ordinary, RIGHT).distance[0]


def test_looks_of_another_length(ordinary: tuple[Bundle, Bundle], monkeypatch: pytest.MonkeyPatch) -> None:
    """Noise is a density: looks of 5 and of 10 ms find the same place to 0.15 ft.

    What is left is the line between two looks that stands in for the curve of d', which grows with the third power of
    time: at 115 ms under 0.4 ms, or 0.05 ft, each way.
    """
    ten = separate(*ordinary, RIGHT)
    for each in (module, view_module):
        monkeypatch.setattr(each, "LOOK", 0.005)
    five = separate(*ordinary, RIGHT)
    assert five.distance[0] != ten.distance[0]
    assert five.distance[0] / FOOT == pytest.approx(ten.distance[0] / FOOT, abs=0.15)
    expected = reference(*ordinary, RIGHT, covariance_of_theta(ordinary[0].factor), dt=0.005)
    assert five.distance[0] / FOOT == pytest.approx(expected.distance / FOOT, abs=0.01)


def test_a_pitch_like_the_fastball_never_separates(ordinary: tuple[Bundle, Bundle]) -> None:
    _, fastball = ordinary
    found = separate(fastball, fastball, RIGHT)
    flight_time = flown(fastball.mean.levers[:, 0], np.zeros(1))[1]
    assert not found.reached[0]
    assert found.distance[0] == 0.0
    assert found.before_arrival[0] == 0.0
    assert found.after_release[0] == pytest.approx(flight_time, abs=1e-5)  # a thousandth of a look


@pytest.mark.parametrize("efficiency", [0.01, 0.1, 1.0])
def test_time_and_place_belong_together(ordinary: tuple[Bundle, Bundle], efficiency: float) -> None:
    """The place is where the pitch is at that time, and the two times share out its flight."""
    found = separate(*ordinary, with_traits(RIGHT, evidence_efficiency=efficiency))
    levers = ordinary[0].mean.levers[:, 0]
    states, arrival = flown(levers, found.after_release)
    assert found.distance[0] == pytest.approx(states[0, 1] - PLATE_FRONT, abs=0.002)  # m, of 16
    assert found.after_release[0] + found.before_arrival[0] == pytest.approx(arrival, abs=1e-5)


def varied(hitter: Hitter, **factors: float) -> Hitter:
    """A hitter some of whose traits are multiplied."""
    return with_traits(hitter, **{name: float(getattr(hitter.traits, name)[0]) * f for name, f in factors.items()})


def test_a_hitter_who_uses_more_of_the_evidence_tells_sooner(ordinary: tuple[Bundle, Bundle]) -> None:
    shares = (0.005, 0.02, 0.06, 0.2, 1.0)
    distances = [separate(*ordinary, with_traits(RIGHT, evidence_efficiency=share)).distance[0] for share in shares]
    assert (np.diff(distances) > 0.1 * FOOT).all()


@pytest.mark.parametrize(("name", "at_least_ft"), [("position_noise", 3.0), ("size_noise", 0.2)])
def test_a_noisier_eye_tells_later(ordinary: tuple[Bundle, Bundle], name: str, at_least_ft: float) -> None:
    """Direction tells most of a curve, size little: it is some 40 ft away."""
    distances = [separate(*ordinary, varied(RIGHT, **{name: factor})).distance[0] for factor in (0.5, 1.0, 2.0, 4.0)]
    assert (np.diff(distances) < 0.0).all()
    assert distances[0] - distances[-1] > at_least_ft * FOOT


def test_noise_and_evidence_trade_off(ordinary: tuple[Bundle, Bundle]) -> None:
    """W = F/R: twice the noise in all that is seen is a quarter of the evidence."""
    noisy = separate(*ordinary, varied(RIGHT, position_noise=2.0, size_noise=2.0))
    careless = separate(
        *ordinary, with_traits(RIGHT, evidence_efficiency=float(RIGHT.traits.evidence_efficiency[0]) / 4.0)
    )
    assert noisy.distance[0] == pytest.approx(careless.distance[0], rel=1e-9)


def test_a_pitcher_who_scatters_more_is_told_later(ordinary: tuple[Bundle, Bundle]) -> None:
    """A wider scatter lets another release of the fastball explain more of what differs."""
    factors = [scale * ordinary[0].factor for scale in (0.0, 0.3, 1.0, 3.0, 10.0)]
    distances = [separate(*ordinary, RIGHT, factor=factor).distance[0] for factor in factors]
    assert (np.diff(distances) < 0.0).all()
    assert distances[0] - distances[-1] > 1.0 * FOOT


def test_spin_scatter_is_no_part_of_it(ordinary: tuple[Bundle, Bundle]) -> None:
    """C holds what vision updates: speed, release point, launch angles; spin rate, clock and gyro are not among it."""
    factor = ordinary[0].factor.copy()
    factor[1:4] *= 5.0
    assert separate(*ordinary, RIGHT, factor=factor).distance[0] == separate(*ordinary, RIGHT).distance[0]


def test_sets_of_parameters_do_not_mix(ordinary: tuple[Bundle, Bundle]) -> None:
    """Three sets side by side, of which one never separates, against one after the other."""
    pitch, fastball = ordinary
    hitters = [RIGHT, with_traits(RIGHT, evidence_efficiency=1e-9), varied(RIGHT, position_noise=3.0)]
    singles = [separate(pitch, fastball, hitter) for hitter in hitters]
    together = Traits(**{name: np.concatenate([getattr(h.traits, name) for h in hitters]) for name in TRAITS})

    def three(bundle: Bundle) -> Bundle:
        mean, reached = aimed(mean_pitches(bundle.pitch, CONDITIONS.rubber_to_plate, columns=3), bundle.flight)
        assert reached.all()
        return replace(bundle, mean=mean)

    found = separate(three(pitch), three(fastball), RIGHT, factor=pitch.factor, traits=together)
    assert list(found.reached) == [True, False, True]
    for name in ("distance", "after_release", "before_arrival"):
        expected = [getattr(single, name)[0] for single in singles]
        np.testing.assert_allclose(getattr(found, name), expected, rtol=1e-10, atol=1e-12)


def test_nothing_is_seen_after_the_arrival(ordinary: tuple[Bundle, Bundle]) -> None:
    """Beside a slower set of parameters the looks go on; a pitch that just fails to separate must not gain by them.

    Without scatter d'^2 is proportional to the evidence; so its threshold is found by halves, and 97 % of it are taken.
    """
    pitch, fastball = ordinary
    still = np.zeros((9, 9))
    tireless = varied(RIGHT, pursuit_limit=1e6)  # gaze that follows everything: every look would tell as much

    def reached(share: float) -> bool:
        hitter = with_traits(tireless, evidence_efficiency=share)
        return bool(separate(pitch, fastball, hitter, factor=still).reached[0])

    low, high = 1e-9, 1.0
    assert not reached(low)
    for _ in range(40):
        middle = np.sqrt(low * high)
        low, high = (low, middle) if reached(middle) else (middle, high)

    def beside_a_lob(bundle: Bundle) -> Bundle:
        mean = mean_pitches(bundle.pitch, CONDITIONS.rubber_to_plate, columns=2)
        mean.levers[0, 1] *= 0.6
        mean, is_hit = aimed(mean, bundle.flight)
        assert is_hit.all()
        return replace(bundle, mean=mean)

    own = with_traits(tireless, evidence_efficiency=0.97 * low).traits
    two = Traits(**{name: np.repeat(getattr(own, name), 2) for name in TRAITS})
    found = separate(beside_a_lob(pitch), beside_a_lob(fastball), RIGHT, factor=still, traits=two)
    assert not found.reached[0]


def test_the_same_line_starts_where_the_pitch_starts(ordinary: tuple[Bundle, Bundle]) -> None:
    pitch, fastball = (bundle.mean for bundle in ordinary)
    line = module.same_line(pitch, fastball)
    np.testing.assert_array_equal(line.levers[4:], pitch.levers[4:])
    np.testing.assert_array_equal(line.levers[:4], fastball.levers[:4])
    assert fastball.levers[7, 0] != pitch.levers[7, 0]  # the fastball's own line is another
