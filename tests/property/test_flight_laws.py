"""Laws that every flight obeys, whatever the pitch."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight import kernel
from latebreak.engine.flight.flying import PLATE_FRONT, without_spin
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z
from latebreak.engine.pitch.pitch import Pitch, Target
from latebreak.engine.units import INCH, STANDARD_GRAVITY

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)

#: Arguments of `make_pitch`.
PITCHES = st.fixed_dictionaries(
    {
        "speed_mph": st.floats(50.0, 108.0),
        "spin_rpm": st.floats(0.0, 3500.0),
        "break_clock_deg": st.floats(0.0, 360.0),
        "gyro_deg": st.floats(-90.0, 90.0),
        "release_side_ft": st.floats(-4.0, 4.0),
        "release_height_ft": st.floats(2.0, 7.0),
        "extension_ft": st.floats(4.0, 7.5),
        "target_ft": st.tuples(st.floats(-2.0, 2.0), st.floats(0.5, 5.0)),
        "seam_force": st.floats(0.0, 0.08),
        "seam_clock_deg": st.floats(0.0, 360.0),
    }
)


def mean_release(bundle: Bundle) -> Array:
    return bundle.releases(np.zeros((9, 1)))


@given(kwargs=PITCHES)
def test_vacuum_flight_is_a_parabola(make_pitch: MakePitch, kwargs: dict[str, float]) -> None:
    bundle = prepare(make_pitch(**kwargs), Conditions(air_density=0.0))
    release = mean_release(bundle)
    x, y, z, vx, vy, vz = release[:6, 0]
    time = (y - PLATE_FRONT) / -vy
    parabola = [
        x + vx * time,
        z + vz * time - 0.5 * STANDARD_GRAVITY * time**2,
        time,
        vx,
        vy,
        vz - STANDARD_GRAVITY * time,
    ]
    for steps in (1, 3):  # a Runge-Kutta step of order four is exact for it
        arrival = bundle.flight.arrivals(release, steps)[: AT_VZ + 1, 0]
        np.testing.assert_allclose(arrival, parabola, rtol=1e-12, atol=1e-12)


@given(kwargs=PITCHES, wind_to_right=st.floats(-8.0, 8.0))
def test_mirrored_release_flies_the_mirror_image(
    make_pitch: MakePitch, kwargs: dict[str, float], wind_to_right: float
) -> None:
    # x -> -x; a spin is an axial vector: its x keeps the sign, y and z change it. To the last bit.
    bundle = prepare(make_pitch(**kwargs, spread_scale=1.0), replace(AIR, wind_to_right=wind_to_right))
    release = bundle.releases(Draws(1, 512).normals(0))
    mirrored = release.copy()
    mirrored[[kernel.X, kernel.VX, kernel.SPIN_Y, kernel.SPIN_Z, kernel.SEAM_X]] *= -1.0
    constants = bundle.flight.constants._replace(wind_x=-bundle.flight.constants.wind_x)
    there = bundle.flight.arrivals(release)
    here = replace(bundle.flight, constants=constants).arrivals(mirrored)
    there[[AT_X, AT_VX]] *= -1.0
    np.testing.assert_array_equal(here, there)


@given(kwargs=PITCHES)
def test_mirrored_pitch_arrives_mirrored(make_pitch: MakePitch, kwargs: dict[str, float]) -> None:
    pitch = make_pitch(**kwargs)
    assert isinstance(pitch.aim, Target)
    mirrored = replace(
        pitch,
        break_clock=2.0 * np.pi - pitch.break_clock,
        gyro=-pitch.gyro,
        seam_clock=2.0 * np.pi - pitch.seam_clock,
        release_side=-pitch.release_side,
        aim=Target(-pitch.aim.side, pitch.aim.height),
    )
    arrivals = []
    for one in (pitch, mirrored):
        bundle = prepare(one, AIR)
        arrivals.append(bundle.flight.arrivals(mean_release(bundle))[: AT_VZ + 1, 0])
    arrivals[1][[AT_X, AT_VX]] *= -1.0
    # the aim stops within 1e-4 in of the target (at different last bits, if it stops a step apart), and the clock of
    # the mirror image is rounded
    np.testing.assert_allclose(arrivals[1], arrivals[0], rtol=0.0, atol=2e-4 * INCH)


@given(kwargs=PITCHES)
def test_no_spin_no_induced_break(make_pitch: MakePitch, kwargs: dict[str, float]) -> None:
    bundle = prepare(make_pitch(**{**kwargs, "spin_rpm": 0.0, "seam_force": 0.0}), AIR)
    release = mean_release(bundle)
    np.testing.assert_array_equal(bundle.flight.arrivals(release), bundle.flight.arrivals(without_spin(release)))


@given(kwargs=PITCHES)
def test_energy_never_rises_in_still_air(make_pitch: MakePitch, kwargs: dict[str, float]) -> None:
    # Lift and the seam-made force stand across the flight and do no work; drag takes energy all the way.
    bundle = prepare(make_pitch(**kwargs), AIR)
    nodes = bundle.flight.paths(mean_release(bundle), 32).nodes[:, :, 0]
    energy = 0.5 * (nodes[:, [AT_VX, AT_VY, AT_VZ]] ** 2).sum(axis=1) + STANDARD_GRAVITY * nodes[:, AT_Z]
    assert (np.diff(energy) < 0.0).all()


@given(kwargs=PITCHES)
def test_aim_hits_the_target(make_pitch: MakePitch, kwargs: dict[str, float]) -> None:
    bundle = prepare(make_pitch(**kwargs), AIR)
    arrival = bundle.flight.arrivals(mean_release(bundle), 32)[[AT_X, AT_Z], 0]
    target = bundle.pitch.aim
    assert isinstance(target, Target)
    np.testing.assert_allclose(arrival, [target.side, target.height], rtol=0.0, atol=1e-4 * INCH)


@pytest.mark.parametrize("mph", [50.0, 80.0])
def test_order_of_convergence(make_pitch: MakePitch, mph: float) -> None:
    # Runge-Kutta of order four: halving the step divides the error by 16 where it is small and still above rounding.
    bundle = prepare(make_pitch(mph, 2800.0, 200.0, 30.0, seam_force=0.05), AIR)
    release = mean_release(bundle)
    exact = bundle.flight.arrivals(release, 512)
    error = [np.hypot(*(bundle.flight.arrivals(release, n) - exact)[[AT_X, AT_Z], 0]) for n in (4, 8, 16)]
    for coarse, fine in pairwise(error):
        assert 12.0 < coarse / fine < 22.0


def test_same_seed_same_digits_for_any_number_of_threads(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=1.0), AIR)
    draws = Draws(11, 40_000)  # ten blocks: uneven shares for three threads
    one = arrive(bundle, draws, 1)
    for threads in (1, 2, 3, 5):
        other = arrive(bundle, Draws(11, 40_000), threads)
        assert other.outcomes == one.outcomes
        assert other.summary.count == one.summary.count
        for name in ("mean", "sd", "low", "high", "sampling_error"):
            np.testing.assert_array_equal(getattr(other.summary, name), getattr(one.summary, name))


def test_other_seeds_other_digits(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=1.0), AIR)
    one, other = (arrive(bundle, Draws(seed, 4000)).summary for seed in (11, 12))
    assert (one.mean != other.mean).all()
    # and yet the same within five standard errors of the difference
    error = np.hypot(one.sampling_error, other.sampling_error)
    assert (np.abs(one.mean - other.mean) < 5.0 * error).all()


def test_compared_pitches_share_their_draws(make_pitch: MakePitch) -> None:
    # Common random numbers: of two pitches whose means differ by 0.1 mph, every single throw is the quicker one.
    slow, quick = (prepare(make_pitch(mph, launch_deg=(-1.0, 1.0), spread_scale=1.0), AIR) for mph in (90.0, 90.1))
    normals = Draws(5, 800).normals(0)
    times = [bundle.flight.arrivals(bundle.releases(normals), 16)[AT_TIME] for bundle in (slow, quick)]
    assert (times[1] < times[0]).all()


def test_flight_ends_at_the_plate_from_any_extension(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=1.0), AIR)
    releases = bundle.releases(Draws(5, 800).normals(0))
    paths = bundle.flight.paths(releases)
    end = paths.at(paths.arrivals[AT_TIME][None, :])[0]
    np.testing.assert_allclose(end[1], PLATE_FRONT, rtol=0.0, atol=1e-9)
