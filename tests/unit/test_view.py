"""Paths as they can be looked at, against flights of changed pitches."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches, mean_pitches
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, prepare
from latebreak.engine.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z
from latebreak.engine.pitch import LEVERS, Launch, Pitch
from latebreak.perception.view import (
    ALL_LEVERS,
    EPS,
    HEIGHT_AT_PLATE,
    LOOK,
    MOVEMENT,
    SIDE_AT_PLATE,
    THETA,
    TIME,
    look_times,
    view,
)

Array = NDArray[np.float64]
CONDITIONS = Conditions(air_density=1.2)
LOOKS = look_times(0.42)
#: Half the width of the differences: smaller than those of the module, so that only a true slope gives the same.
SMALL = dict(zip(LEVERS, (0.02, 0.4, 1e-3, 1e-3, 1e-3, 1e-3, 1e-3, 1e-4, 1e-4), strict=True))


@pytest.fixture(scope="module")
def curve(make_pitch: Callable[..., Pitch]) -> Bundle:
    """A curve with a seam-made force too, launched along the line that takes it to the plate."""
    pitch = make_pitch(79.0, 2500.0, 205.0, 40.0, seam_force=0.03, seam_clock_deg=80.0)
    levers = prepare(pitch, CONDITIONS).mean.levers[:, 0]
    return prepare(replace(pitch, aim=Launch(float(levers[7]), float(levers[8]))), CONDITIONS)


def changed(pitch: Pitch, name: str, by: float) -> Pitch:
    assert isinstance(pitch.aim, Launch)
    if name == "launch_elevation":
        return replace(pitch, aim=Launch(pitch.aim.elevation + by, pitch.aim.azimuth))
    if name == "launch_azimuth":
        return replace(pitch, aim=Launch(pitch.aim.elevation, pitch.aim.azimuth + by))
    if name == "movement":
        return replace(pitch, seam_force=pitch.seam_force * (1.0 + by), lift_scale=pitch.lift_scale * (1.0 + by))
    return replace(pitch, **{name: getattr(pitch, name) + by})


def flown(bundle: Bundle, pitch: Pitch) -> tuple[Array, Array]:
    """Places at the looks (K, 3), and time, height and side at the plate, in 32 steps."""
    paths = bundle.flight.paths(mean_pitches(pitch, CONDITIONS.rubber_to_plate).releases(), 32)
    return paths.at(LOOKS[:, None])[:, :3, 0], paths.arrivals[[AT_TIME, AT_Z, AT_X], 0]


def test_looks_are_the_middles_of_equal_times() -> None:
    looks = look_times(0.4)
    np.testing.assert_allclose(looks, np.arange(0.005, 0.4, 0.01), rtol=1e-12)
    assert look_times(0.401).size == 41  # the last may be cut short
    assert look_times(0.0).size == 1
    assert LOOK == 0.010


def test_what_vision_updates_and_what_it_does_not() -> None:
    assert [LEVERS[i] for i in THETA] == [
        "speed", "release_side", "release_height", "launch_azimuth", "launch_elevation"
    ]  # fmt: skip
    assert (MOVEMENT, LEVERS.index("break_clock")) == EPS
    assert MOVEMENT not in ALL_LEVERS


@pytest.mark.parametrize("name", [*LEVERS, "movement"])
def test_slopes_are_those_of_flights(curve: Bundle, name: str) -> None:
    """To 0.2 % of the largest: a path of 4 steps is within 0.005 in, so is its slope's share."""
    coordinate = MOVEMENT if name == "movement" else LEVERS.index(name)
    found = view(curve.mean, curve.flight, LOOKS, (coordinate,))
    step = SMALL.get(name, 1e-3)
    more, less = (flown(curve, changed(curve.pitch, name, sign * step)) for sign in (1.0, -1.0))
    for slope, expected in (
        (found.slopes[0, :, :, 0], (more[0] - less[0]) / (2.0 * step)),
        (found.arrival_slopes[0, :, 0], (more[1] - less[1]) / (2.0 * step)),
    ):
        np.testing.assert_allclose(slope, expected, atol=2e-3 * np.abs(expected).max())


def test_the_path_and_the_arrival_are_those_of_the_flight(curve: Bundle) -> None:
    """Within 0.25 mm: the cubics between the nodes of 4 steps."""
    found = view(curve.mean, curve.flight, LOOKS, ())
    places, arrival = flown(curve, curve.pitch)
    np.testing.assert_allclose(found.place[0], places, atol=2.5e-4)
    np.testing.assert_allclose(found.arrival[0, [TIME, HEIGHT_AT_PLATE, SIDE_AT_PLATE]], arrival, atol=2.5e-4)
    np.testing.assert_allclose(np.gradient(places, LOOKS, axis=0)[1:-1], found.velocity[0, 1:-1], atol=0.02)
    assert found.slopes.shape == (1, LOOKS.size, 3, 0)


def test_what_has_arrived_goes_straight_on(curve: Bundle) -> None:
    late = np.array([0.3, 0.6, 0.7])
    found = view(curve.mean, curve.flight, late, (MOVEMENT,))
    arrived = curve.flight.paths(curve.mean.releases(), 32).arrivals[:, 0]
    assert late[0] < arrived[AT_TIME] < late[1]
    velocity = arrived[[AT_VX, AT_VY, AT_VZ]]
    start = np.array([arrived[AT_X], curve.flight.plate, arrived[AT_Z]])
    expected = start + velocity * (late[1:, None] - arrived[AT_TIME])
    np.testing.assert_allclose(found.place[0, 1:], expected, atol=1e-3)
    np.testing.assert_allclose(found.velocity[0, 1:], np.stack([velocity, velocity]), atol=1e-3)


def test_launch_angles_stay_when_something_else_changes(curve: Bundle) -> None:
    """A faster pitch is not aimed anew, though the mean pitch has a target: it arrives higher."""
    aimed_at: MeanPitches = replace(curve.mean, target=np.array([[0.0], [0.8]]))
    with_target = view(aimed_at, curve.flight, LOOKS, THETA)
    np.testing.assert_array_equal(with_target.slopes, view(curve.mean, curve.flight, LOOKS, THETA).slopes)
    assert with_target.arrival_slopes[0, HEIGHT_AT_PLATE, 0] > 0.02  # m per m/s


def test_columns_do_not_mix(curve: Bundle) -> None:
    levers = np.repeat(curve.mean.levers, 2, axis=1)
    levers[0, 1] += 3.0
    two = replace(
        curve.mean,
        levers=levers,
        seam=np.array([0.03, 0.0]),
        drag_scale=np.array([1.0, 1.1]),
        lift_scale=np.array([1.0, 0.8]),
    )
    together = view(two, curve.flight, LOOKS, THETA + EPS)
    for column in (0, 1):
        one = replace(
            two,
            levers=levers[:, [column]],
            seam=two.seam[[column]],
            drag_scale=two.drag_scale[[column]],
            lift_scale=two.lift_scale[[column]],
        )
        alone = view(one, curve.flight, LOOKS, THETA + EPS)
        for name, value in vars(alone).items():
            # differences of places, 1e-15 relative, over widths down to 2e-3
            np.testing.assert_allclose(getattr(together, name)[column], value[0], rtol=1e-10, atol=1e-10)
