"""Moments: their definitions on the glance, how they are found between times, and what ten pitches differ by."""

from itertools import combinations

import numpy as np
import pytest
from batting import CURVE, FASTBALL, PROFESSIONAL, SLIDER, Thrown, in_mind, moments_of, noise_of
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import AT_TIME
from latebreak.perception.belief import believe, distances
from latebreak.perception.model import Situation, one_glance
from latebreak.perception.moments import MOMENTS, OUT_OF_TUNNEL, RECOGNISED, moments
from latebreak.perception.seeing import see

Array = NDArray[np.float64]

TUNNEL_EXIT, RECOGNITION, BREAK_ONSET = range(len(MOMENTS))
#: mph, rpm, degrees of the clock, % efficiency. Usual ones of each kind, values from memory.
TEN = {
    "loose curve": Thrown(72.0, 2200.0, 198.0, 75.0),
    "curve": Thrown(79.0, 2550.0, 198.0, 67.0),
    "clean curve": Thrown(80.0, 2700.0, 198.0, 95.0),
    "hard curve": Thrown(84.0, 2700.0, 198.0, 95.0),
    "sweeper": Thrown(82.0, 2700.0, 265.0, 70.0),
    "slider": Thrown(84.0, 2450.0, 262.0, 35.0),
    "cutter": Thrown(89.0, 2390.0, 335.0, 45.0),
    "changeup": Thrown(84.0, 1800.0, 48.0, 90.0),
    "splitter": Thrown(85.0, 1350.0, 60.0, 85.0),
    "sinker": Thrown(91.0, 2150.0, 68.0, 90.0),
}


def behind_the_fastball(thrown: Thrown) -> dict[str, tuple[Thrown, float]]:
    return {"fastball": (FASTBALL, 0.6), "own": (thrown, 0.4)}


@pytest.fixture(scope="module")
def ten() -> Array:
    """Times (10, 3, n) in s."""
    return np.array([moments_of("own", behind_the_fastball(thrown)).time[:, 0] for thrown in TEN.values()])


def median_error(times: Array) -> float:
    """Standard error of a median, from 200 resamples."""
    rng = np.random.default_rng(1)
    return float(np.median(rng.choice(times, (200, times.size)), axis=1).std())


def test_at_its_moment_a_pitch_is_at_the_threshold() -> None:
    """Between the times of a fine grid by a line: d = 2 and a belief of 75 % within 5 % there, where it rises fast."""
    mix, p = behind_the_fastball(CURVE), PROFESSIONAL
    paths, types, noise = CURVE.paths(64), in_mind(mix, p), noise_of(64)
    found = moments(one_glance, paths, types, 1, p, Situation(), noise, 0.002)
    out, known = found.time[TUNNEL_EXIT], found.time[RECOGNITION] - p.latency[:, None]
    there = found.reached[TUNNEL_EXIT]
    d = distances(see(paths, out, p, True), types, p)[0]
    np.testing.assert_allclose(d[there], OUT_OF_TUNNEL, rtol=0.05)
    # who knows at once is past the threshold at the first time of the grid
    there = found.reached[RECOGNITION] & (known > 0.003)
    belief = believe(see(paths, known, p, True), types, p, noise)[1]
    np.testing.assert_allclose(belief[there], RECOGNISED, atol=0.05)
    assert there.sum() > 20


def test_recognition_is_for_good() -> None:
    """From what is seen at any later time the belief is above 75 %."""
    mix, p = behind_the_fastball(CURVE), PROFESSIONAL
    paths, types, noise = CURVE.paths(64), in_mind(mix, p), noise_of(64)
    found = moments(one_glance, paths, types, 1, p, Situation(), noise)
    known = found.time[RECOGNITION] - p.latency[:, None]
    for later in (0.011, 0.05, 0.1, 0.2):
        time = np.minimum(known + later, paths.arrivals[AT_TIME])
        belief = believe(see(paths, time, p, True), types, p, noise)[1]
        assert (belief[found.reached[RECOGNITION]] > RECOGNISED - 0.01).all()


def test_no_moment_before_there_is_anything_to_see(ten: Array) -> None:
    """A bend is told from motion over the last 100 ms, and known a latency after the light; all end with the flight."""
    assert (ten[:, BREAK_ONSET] >= float(PROFESSIONAL.motion_lag[0])).all()
    assert (ten[:, RECOGNITION] >= float(PROFESSIONAL.latency[0])).all()
    assert (ten[:, TUNNEL_EXIT] > float(PROFESSIONAL.view_start[0])).all()
    flight = np.array([thrown.paths(256).arrivals[AT_TIME] for thrown in TEN.values()])
    assert (ten <= flight[:, None]).all()


def test_moments_of_ten_pitches_lie_on_their_flight(ten: Array) -> None:
    """Medians: bends show and types are known 100 ms after release at the earliest, 50 ms before arrival at the latest.

    A curve leaves the tunnel before that: its line out of the hand and its speed are not a fastball's.
    """
    medians = np.median(ten, axis=2)
    flight = np.array([np.median(thrown.paths(256).arrivals[AT_TIME]) for thrown in TEN.values()])
    curves = np.array(["curve" in name for name in TEN])
    assert (medians[:, [RECOGNITION, BREAK_ONSET]] >= 0.1).all()
    assert (medians[~curves, TUNNEL_EXIT] >= 0.1).all()
    assert medians[curves, TUNNEL_EXIT].max() < medians[~curves, TUNNEL_EXIT].min()
    assert (medians < flight[:, None] - 0.05).all()


@pytest.mark.parametrize("moment", [TUNNEL_EXIT, BREAK_ONSET])
def test_ten_pitches_differ_by_more_than_their_sampling_error(ten: Array, moment: int) -> None:
    """Nine pairs of ten at least: their medians are three standard errors apart, from 256 throws each."""
    medians = np.median(ten[:, moment], axis=1)
    errors = np.array([median_error(times) for times in ten[:, moment]])
    apart = [
        abs(medians[a] - medians[b]) > 3.0 * np.hypot(errors[a], errors[b]) for a, b in combinations(range(len(TEN)), 2)
    ]
    assert np.mean(apart) >= 0.9
    assert np.ptp(medians) > 0.04


def test_what_never_happens_is_said() -> None:
    straight = Thrown(92.0, 50.0, 0.0, 5.0)
    found = moments_of("own", behind_the_fastball(straight))
    assert not found.reached[BREAK_ONSET].any()
    np.testing.assert_array_equal(found.time[BREAK_ONSET, 0], straight.paths(256).arrivals[AT_TIME])
    blurred = PROFESSIONAL.with_(speed_noise=0.3, line_efficiency=1e-3, bend_efficiency=1e-3)
    unknown = moments_of("own", {"fastball": (FASTBALL, 0.9), "own": (SLIDER, 0.1)}, blurred)
    assert not unknown.reached[RECOGNITION].any()
