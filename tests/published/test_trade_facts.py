"""What every pitching coach knows. Common practice, no source."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.flight.equation import acceleration
from latebreak.engine.flight.flying import without_spin
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, LIFT_SCALE, SPIN_X
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import INCH

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)


def induced_break_in(pitch: Pitch) -> Array:
    """Side and vertical induced break of the mean pitch, in."""
    bundle = prepare(pitch, AIR)
    release = bundle.releases(np.zeros((9, 1)))
    full, bare = (bundle.flight.arrivals(r)[[AT_X, AT_Z], 0] for r in (release, without_spin(release)))
    broken: Array = (full - bare) / INCH
    return broken


def hour(break_in: Array) -> float:
    """Hour towards which the ball breaks, as the pitcher sees it: his right is -x."""
    return float(np.arctan2(-break_in[0], break_in[1]) / (2.0 * np.pi) * 12.0 % 12.0)


# 0.2 of an hour is 6 degrees: the pitch is thrown a few degrees off the straight line, and the clock turns with it.
@pytest.mark.parametrize(
    ("break_clock_deg", "to"),
    [(180.0, 6.0), (210.0, 7.0), (150.0, 5.0), (0.0, 12.0), (270.0, 9.0), (90.0, 3.0)],
    ids=["12 to 6", "1 to 7", "11 to 5", "backspin", "sweeping to his left", "sweeping to his right"],
)
@pytest.mark.parametrize("release_side_ft", [-2.0, 2.0])
def test_a_curve_breaks_the_way_it_is_named(
    make_pitch: MakePitch, break_clock_deg: float, to: float, release_side_ft: float
) -> None:
    pitch = make_pitch(78.0, 2500.0, break_clock_deg, 0.0, release_side_ft=release_side_ft)
    broken = induced_break_in(pitch)
    assert np.linalg.norm(broken) > 10.0
    assert np.cos((hour(broken) - to) * 2.0 * np.pi / 12.0) > np.cos(np.radians(6.0))


def test_topspin_falls_and_stays_on_line(make_pitch: MakePitch) -> None:
    side, vertical = induced_break_in(make_pitch(78.0, 2500.0, 180.0, 0.0, release_side_ft=0.0))
    assert vertical < -10.0
    assert side == pytest.approx(0.0, abs=1e-6)


def test_a_right_handers_slider_goes_glove_side_and_a_left_handers_the_other_way(make_pitch: MakePitch) -> None:
    # Glove side of a right-hander is his left, to the catcher's right: positive.
    right, _ = induced_break_in(make_pitch(85.0, 2500.0, 280.0, 50.0))
    left, _ = induced_break_in(make_pitch(85.0, 2500.0, 80.0, -50.0, release_side_ft=1.9))
    assert right > 3.0
    assert left < -3.0


def test_spin_along_the_flight_makes_no_useful_break(make_pitch: MakePitch) -> None:
    # A bullet spin of 2,500 rpm moves an 85-mph pitch by less than the width of a ball (2.9 in: Official Baseball
    # Rules, as quoted by others), through the little lift that comes as the flight bends down; the same spin across the
    # flight, by more than a foot.
    for sense in (90.0, -90.0):
        assert np.linalg.norm(induced_break_in(make_pitch(85.0, 2500.0, 0.0, sense))) < 2.9
    assert np.linalg.norm(induced_break_in(make_pitch(85.0, 2500.0, 0.0, 0.0))) > 12.0


@pytest.mark.parametrize("break_clock_deg", [15.0, 100.0, 200.0, 290.0])
def test_more_spin_and_a_cleaner_axis_break_more(make_pitch: MakePitch, break_clock_deg: float) -> None:
    by_spin = [
        np.linalg.norm(induced_break_in(make_pitch(80.0, rpm, break_clock_deg, 20.0))) for rpm in range(1000, 3501, 500)
    ]
    assert (np.diff(by_spin) > 0.5).all()
    by_gyro = [
        np.linalg.norm(induced_break_in(make_pitch(80.0, 2400.0, break_clock_deg, gyro))) for gyro in range(0, 76, 15)
    ]
    assert (np.diff(by_gyro) < 0.0).all()


@pytest.mark.parametrize("gyro_deg", [0.0, 30.0, 60.0])
def test_the_break_is_gradual_all_the_way(make_pitch: MakePitch, gyro_deg: float) -> None:
    # No late kink: the acceleration is continuous, so its largest jump between samples halves with their distance.
    bundle = prepare(make_pitch(78.0, 2500.0, 200.0, gyro_deg), AIR)
    release = bundle.releases(np.zeros((9, 1)))
    paths = bundle.flight.paths(release, 32)
    constants, laws = bundle.flight.constants, bundle.flight.laws.table

    def largest_jump(samples: int) -> float:
        times = np.linspace(0.0, paths.arrivals[AT_TIME, 0], samples + 1)
        velocities = paths.at(times[:, None])[:, 3:, 0]
        felt = []
        for velocity, time in zip(velocities, times, strict=True):
            arguments: list[Any] = [*velocity, time, *release[SPIN_X : LIFT_SCALE + 1, 0], constants, laws]
            felt.append(acceleration(*arguments))
        return float(np.linalg.norm(np.diff(felt, axis=0), axis=1).max())

    for samples in (50, 100, 200):
        assert largest_jump(samples) / largest_jump(2 * samples) == pytest.approx(2.0, rel=0.05)


def test_most_of_the_break_comes_in_the_last_third_of_the_way(make_pitch: MakePitch) -> None:
    # Under a steady push the departure grows with the square of the time: after two thirds of the way it is less than
    # half of what it is at the plate. That is why it looks late.
    bundle = prepare(make_pitch(78.0, 2500.0, 200.0, 10.0), AIR)
    release = bundle.releases(np.zeros((9, 1)))
    full, bare = (bundle.flight.paths(r, 16) for r in (release, without_spin(release)))
    times = np.array([[2.0 / 3.0], [1.0]]) * full.arrivals[AT_TIME]
    early, late = np.linalg.norm((full.at(times) - bare.at(times))[:, [0, 2], 0], axis=1)
    assert early == pytest.approx(4.0 / 9.0 * late, rel=0.1)
