"""Nine-number tracks as measured throws: a published one, and parabolas laid through flights of the engine."""

from dataclasses import replace

import numpy as np
import pytest
from simulated_throws import AIR, EFFICIENCY_NOISE, PITCHES, SPREAD, bullpen, prior

from latebreak.engine.air.ball import Conditions
from latebreak.engine.flight.flying import EXACT_STEPS, PLATE_FRONT, Paths, without_spin
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VZ, AT_X, AT_Z
from latebreak.engine.inverse.constant_acceleration import ConstantAccelerationTrack, PlaneCrossing
from latebreak.engine.inverse.fading_track import CubicTrack, drag_only
from latebreak.engine.inverse.fitted import Prior
from latebreak.engine.inverse.observed import Observed, unobserved, with_track
from latebreak.engine.inverse.solving import fit_pitch
from latebreak.engine.laws.lift import saturating_lift
from latebreak.engine.pitch.pitch import LEVERS
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH

RUBBER, REFERENCE = 60.5 * FOOT, 50.0 * FOOT
EXTENSION = LEVERS.index("extension")

# Kagan 2009, The anatomy of a pitch, Phys. Teach. 47:412-416: the nine numbers (read in his slides), ft and s.
KAGAN = ConstantAccelerationTrack(
    np.array([[1.664, 50.00, 6.597]]) * FOOT,
    np.array([[-6.791, -123.055, -5.721]]) * FOOT,
    np.array([[13.233, 25.802, -17.540]]) * FOOT,
)
KAGAN_K = 5.383e-3 / FOOT
KAGAN_AIR = Conditions(air_density=1.2 * KAGAN_K / Conditions(air_density=1.2).force_constant)


def parabolas(paths: Paths, start: float) -> ConstantAccelerationTrack:
    """Least-squares parabolas through flights from the plane `start` (m) on, given at y = 50 ft."""
    numbers = []
    for i, total in enumerate(paths.arrivals[AT_TIME]):
        times = np.linspace(0.0, total, 80)
        places = paths.at(np.repeat(times[:, None], paths.releases.shape[1], axis=1))[:, :3, i]
        seen = places[:, 1] <= start
        numbers.append(np.linalg.lstsq(np.vander(times[seen], 3, increasing=True), places[seen])[0])
    c = np.array(numbers)
    track = ConstantAccelerationTrack(c[:, 0], c[:, 1], 2.0 * c[:, 2])
    crossing = track.at_plane(REFERENCE)
    return ConstantAccelerationTrack(crossing.position, crossing.velocity, track.acceleration)


def tracked(name: str, start: float = REFERENCE, *, with_spin: bool = True) -> tuple[Observed, Observed]:
    """20 throws of a pitch as they were, and as their tracks and (without noise) spin measurements tell."""
    throws = bullpen(PITCHES[name])
    normals = np.random.default_rng(13).standard_normal((9, 20))
    truth = throws.thrown(normals)
    track = parabolas(throws.bundle.flight.paths(throws.bundle.releases(normals), EXACT_STEPS), start)
    seen = unobserved(20)
    seen.levers[EXTENSION] = truth.levers[EXTENSION]
    if with_spin:
        seen.levers[[1, 2]] = truth.levers[[1, 2]]
        seen = replace(seen, efficiency=truth.efficiency)
    return truth, with_track(seen, track, RUBBER, 6.0 * FOOT, np.sign(PITCHES[name].gyro))


def test_published_track() -> None:
    # C_D 0.3634, C_L 0.2338 and a 2-D spin axis of 135.4 deg, which is 315.4 on the break clock (computed from the nine
    # numbers by the mean-velocity projection with his K). The fit lets the forces fade along the flight, which the
    # projection does not: 0.5 % of drag and 2 % of lift are allowed for that, and for the speed at which each holds.
    observed = with_track(unobserved(1), KAGAN, RUBBER, 6.0 * FOOT)
    # Kagan 2009, p. 412 (read): 84.71 mph at a release plane that is not stated, 54 to 55 ft; 77.2 mph at the plate
    assert observed.levers[0, 0] / MPH == pytest.approx(84.71, abs=0.3)
    assert observed.arrival_speed[0] / MPH == pytest.approx(77.2, abs=0.15)
    assert observed.arrival[1, 0] == pytest.approx(2.743 * FOOT, abs=0.1 * INCH)
    # No spin rate is published: it is inferred, so that the lift law gives the lift coefficient that was measured.
    levers = np.where(np.arange(9) == EXTENSION, 6.0 * FOOT, np.nan)
    fit = fit_pitch(observed, KAGAN_AIR, Prior(SPREAD, levers))
    assert fit.drag_coefficient.value == pytest.approx(0.3634, rel=0.005)
    spin, mean_speed = fit.levers[1], KAGAN.mean_forces(PLATE_FRONT).speed[0]
    assert spin.origin == "inferred"
    lift = saturating_lift(spin.value * KAGAN_AIR.ball.radius / mean_speed)
    assert float(lift) == pytest.approx(0.2338, rel=0.02)
    assert fit.levers[2].value / DEGREE == pytest.approx(315.4, abs=0.3)
    assert fit.aim is not None
    assert abs(fit.aim[0].value) < 0.2 * INCH  # Kagan 2009 (read): |x| < 0.2 in
    assert "spin_rate_or_lift_scale" in fit.undecidable
    assert "drag_coefficient" not in fit.undecidable
    assert "seam_force" in fit.undecidable


@pytest.mark.parametrize("name", PITCHES)
def test_parabola_through_a_flight_is_read_back(name: str) -> None:
    # What a first-order jerk leaves: 0.05 in and 0.03 deg where the ball leaves the hand, 0.02 mph, 0.3 in of movement.
    truth, seen = tracked(name)
    np.testing.assert_allclose(seen.levers[0], truth.levers[0], atol=0.02 * MPH)
    np.testing.assert_allclose(seen.levers[4:6], truth.levers[4:6], atol=0.05 * INCH)
    np.testing.assert_allclose(seen.levers[7:9], truth.levers[7:9], atol=0.05 * DEGREE)
    np.testing.assert_allclose(seen.arrival, truth.arrival, atol=0.05 * INCH)
    np.testing.assert_allclose(seen.arrival_speed, truth.arrival_speed, atol=0.02 * MPH)
    np.testing.assert_allclose(seen.induced, truth.induced, atol=0.3 * INCH)


@pytest.mark.parametrize("start", [REFERENCE, 99.0], ids=["tracked from 50 ft", "tracked from the hand"])
@pytest.mark.parametrize("name", PITCHES)
def test_tracks_are_fitted(name: str, start: float) -> None:
    # Read as if tracked from 50 ft, also where the parabola was laid through the whole flight: 2 % of lift, 1 % of
    # drag, and a false seam-made force of 0.003 (0.3 in).
    _, seen = tracked(name, start)
    fit = fit_pitch(seen, AIR, prior(PITCHES[name]))
    assert fit.lift_scale.value == pytest.approx(1.0, abs=0.02)
    assert fit.drag_coefficient.value == pytest.approx(0.345, rel=0.01)
    assert fit.seam_force.value == pytest.approx(PITCHES[name].seam_force, abs=0.004)


def test_track_alone_tells_the_efficiency() -> None:
    # Spin rate from the prior, the rest from the track: gyro spin is not known when it is read (0.6 in of the curve's
    # side break: 0.03 of efficiency).
    truth, seen = tracked("curve", with_spin=False)
    levers = np.where(np.arange(9) == 1, truth.levers[1].mean(), np.nan)
    fit = fit_pitch(seen, AIR, replace(prior(PITCHES["curve"]), levers=levers))
    assert fit.efficiency.origin == "inferred"
    assert fit.efficiency.value == pytest.approx(np.mean(truth.efficiency), abs=EFFICIENCY_NOISE)
    assert fit.undecidable == ("gyro_sense", "efficiency_or_lift_scale", "spin_rate", "seam_force")


def test_columns_come_before_the_track() -> None:
    _, seen = tracked("fastball")
    column = np.full(20, 41.0)
    column[::2] = np.nan
    levers = np.full((9, 20), np.nan)
    levers[0] = column
    track = parabolas(_paths("fastball"), REFERENCE)
    mixed = with_track(replace(unobserved(20), levers=levers), track, RUBBER, 6.0 * FOOT)
    np.testing.assert_array_equal(mixed.levers[0, 1::2], 41.0)
    assert np.abs(mixed.levers[0, ::2] - seen.levers[0, ::2]).max() < 1.0 * MPH
    assert np.isnan(mixed.levers[[1, 2, 3, EXTENSION]]).all()  # a track tells neither spin nor extension


def test_throws_without_a_track_stay_empty() -> None:
    track = parabolas(_paths("fastball"), REFERENCE)
    position = track.position.copy()
    position[3] = np.nan
    broken = replace(track, position=position)
    velocity = track.velocity.copy()
    velocity[4] = [0.0, 1.0, 0.0]  # flies away from the plate, and falls
    broken = replace(broken, velocity=velocity)
    seen = with_track(unobserved(20), broken, RUBBER, 6.0 * FOOT)
    assert np.isnan(seen.levers[[0, 4, 5, 7, 8]][:, 3]).all()
    assert np.isnan(seen.induced[:, 3]).all()
    rest = [i for i in range(20) if i not in {3, 4}]
    np.testing.assert_array_equal(
        seen.induced[:, rest], with_track(unobserved(20), track, RUBBER, 6.0 * FOOT).induced[:, rest]
    )
    fit = fit_pitch(
        seen, AIR, replace(prior(PITCHES["fastball"]), levers=np.where(np.arange(9) == EXTENSION, 1.9, np.nan))
    )
    assert all(np.isfinite([f.value, f.error]).all() for f in fit.levers)


@pytest.mark.parametrize("name", ["curve", "fastball"])
def test_drag_alone_against_the_engine(name: str) -> None:
    # The cubic against Runge-Kutta: 0.05 in at the plate, and 0.02 mph.
    throws = bullpen(PITCHES[name])
    releases = throws.bundle.releases(np.random.default_rng(13).standard_normal((9, 20)))
    flown = throws.bundle.flight.arrivals(without_spin(releases), EXACT_STEPS)
    release = PlaneCrossing(np.zeros(20), releases[:3].T, releases[3:6].T)
    end = drag_only(release, np.full(20, 0.345 * AIR.force_constant), PLATE_FRONT).at_plane(PLATE_FRONT)
    np.testing.assert_allclose(end.position[:, [0, 2]].T, flown[[AT_X, AT_Z]], atol=0.05 * INCH)
    np.testing.assert_allclose(end.velocity.T, flown[AT_VX : AT_VZ + 1], atol=0.02 * MPH)


def test_cubic_crosses_planes() -> None:
    # x = 1 + 2 t - t^2 / 2 + t^3 / 6 and so on; the crossing time of y = 15 - 40 t + 3 t^2 / 2 - t^3 / 6 by numpy.
    track = CubicTrack(
        np.array([[1.0, 15.0, 2.0]]), np.array([[2.0, -40.0, 0.0]]), np.array([[-1.0, 3.0, -9.8]]),
        np.array([[1.0, -1.0, 0.0]]),
    )  # fmt: skip
    time = min(np.roots([-1.0 / 6.0, 1.5, -40.0, 14.0]).real, key=lambda t: abs(t - 0.35))
    crossing = track.at_plane(1.0)
    assert crossing.time[0] == pytest.approx(time, rel=1e-12)
    x = 1.0 + 2.0 * time - time**2 / 2.0 + time**3 / 6.0
    np.testing.assert_allclose(crossing.position[0], [x, 1.0, 2.0 - 4.9 * time**2], rtol=1e-12)
    np.testing.assert_allclose(crossing.velocity[0, 0], 2.0 - time + time**2 / 2.0, rtol=1e-12)


def _paths(name: str) -> Paths:
    throws = bullpen(PITCHES[name])
    return throws.bundle.flight.paths(
        throws.bundle.releases(np.random.default_rng(13).standard_normal((9, 20))), EXACT_STEPS
    )
