"""The line of sight against exact angles, known triangles, and numerical derivatives."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE, FOOT, INCH
from latebreak.perception.eye import Eye
from latebreak.perception.sight import angle_between, angular_size, angular_speed, distance_to, sight_matrix

Array = NDArray[np.float64]

RIGHT_HANDER, LEFT_HANDER = Eye(bats="right").place, Eye(bats="left").place
EYES = [RIGHT_HANDER, LEFT_HANDER]
#: Along an ordinary pitch, from the hand to a foot before the plate, m.
PLACES = np.array([[-0.6, 16.5, 1.8], [-0.4, 12.0, 1.9], [-0.2, 6.0, 1.5], [0.1, 2.0, 1.0], [0.2, 0.75, 0.6]])
MIRROR = np.diag([-1.0, 1.0, 1.0])
BALL = 9.125 * INCH / (2 * np.pi)


def azimuth_elevation_size(place: Array, eye: Array) -> Array:
    """Exact angles of a hitter who faces the mound (to the right, up), and the log size of a small ball."""
    x, y, z = place - eye
    return np.array([np.arctan2(x, y), np.arctan2(z, np.hypot(x, y)), -0.5 * np.log(x**2 + y**2 + z**2)])


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("place", PLACES)
def test_the_matrix_is_the_derivative_of_exact_angles(place: Array, eye: Array) -> None:
    """A turn of the azimuth moves the line of sight by its cosine of the elevation; the rest is direct.

    Central differences of 1e-5 m leave an error of the third derivative: 1e-10 relative, and 1e-10 of rounding.
    """
    nudge = 1e-5
    slopes = np.stack(
        [
            (azimuth_elevation_size(place + step, eye) - azimuth_elevation_size(place - step, eye)) / (2 * nudge)
            for step in nudge * np.eye(3)
        ],
        axis=1,
    )
    slopes[0] *= np.cos(azimuth_elevation_size(place, eye)[1])
    np.testing.assert_allclose(sight_matrix(place, eye), slopes, rtol=1e-7, atol=1e-8)


@pytest.mark.parametrize("eye", EYES)
def test_the_size_row_is_the_derivative_of_the_angle_that_the_ball_fills(eye: Array) -> None:
    """From 1 m on the ball fills under 5 degrees, so that sine and angle differ by (R/d)^2 < 0.2 %."""
    nudge = 1e-5 * np.eye(3)
    for place in PLACES[distance_to(PLACES, eye) > 1.0]:
        there, back = (np.log(angular_size(place + sign * nudge, eye, BALL)) for sign in (1.0, -1.0))
        np.testing.assert_allclose(sight_matrix(place, eye)[2], (there - back) / 2e-5, rtol=2e-3, atol=1e-6)


def test_the_size_tells_the_time_to_contact() -> None:
    """Size over its rate of growth is the time left.

    Lee (1976), A theory of visual control of braking based on information about time-to-collision, Perception
    5:437-459; value from memory. Computed here: 16 m at 40 m/s straight at the eye leave 0.4 s.
    """
    place, velocity = RIGHT_HANDER + np.array([0.0, 16.0, 0.0]), np.array([0.0, -40.0, 0.0])
    growth = (sight_matrix(place, RIGHT_HANDER) @ velocity)[2]
    assert 1.0 / growth == pytest.approx(0.4, rel=1e-12)


def test_the_rows_stand_across_each_other_and_shrink_with_distance() -> None:
    matrix = sight_matrix(PLACES, RIGHT_HANDER)
    d = distance_to(PLACES, RIGHT_HANDER)
    np.testing.assert_allclose(
        matrix @ matrix.transpose(0, 2, 1) * d[:, None, None] ** 2, np.tile(np.eye(3), (5, 1, 1)), atol=1e-12
    )


def test_a_left_handed_hitter_sees_the_mirror_image() -> None:
    mirrored = sight_matrix(PLACES @ MIRROR, LEFT_HANDER)
    np.testing.assert_allclose(mirrored, MIRROR @ sight_matrix(PLACES, RIGHT_HANDER) @ MIRROR, rtol=1e-13, atol=1e-15)
    np.testing.assert_allclose(distance_to(PLACES @ MIRROR, LEFT_HANDER), distance_to(PLACES, RIGHT_HANDER), rtol=1e-15)


def test_hitters_stand_on_their_own_side_behind_the_front_of_the_plate() -> None:
    """The right-hander's box is on the catcher's left (Official Baseball Rules, field diagram; value from memory)."""
    np.testing.assert_array_equal(LEFT_HANDER, MIRROR @ RIGHT_HANDER)
    assert RIGHT_HANDER[0] < 0.0
    assert RIGHT_HANDER[1] == pytest.approx(17.0 / 12.0 * FOOT - 0.30)
    assert Eye(side=0.5, height=1.2, depth=-0.1).place == pytest.approx([-0.5, 17.0 * INCH + 0.1, 1.2])


@pytest.mark.parametrize(
    ("first", "second", "angle"),
    [
        ([0.0, 4.0, 0.0], [3.0, 4.0, 0.0], np.arctan(3 / 4)),  # the triangle of sides 3, 4, 5
        ([1.0, 0.0, 0.0], [0.0, 0.0, 7.0], np.pi / 2),
        ([0.0, 2.0, 0.0], [0.0, -3.0, 0.0], np.pi),
        ([1.0, 2.0, 3.0], [2.0, 4.0, 6.0], 0.0),  # one behind the other
        ([0.0, 1.0, 0.0], [0.0, np.cos(DEGREE), np.sin(DEGREE)], DEGREE),
        ([0.0, 10.0, 0.0], [1e-8, 10.0, 0.0], 1e-9),  # an arccosine of the dot product would say 0
    ],
)
def test_angles_of_known_triangles(first: list[float], second: list[float], angle: float) -> None:
    eye = np.array([0.3, -1.0, 1.5])
    found = angle_between(np.array(first) + eye, np.array(second) + eye, eye)
    # the eye's own place costs 1e-16 m of rounding, in 1 m
    assert found == pytest.approx(angle, rel=1e-12, abs=1e-15) or abs(found - angle) < 5e-16
    assert angle_between(np.array(second) + eye, np.array(first) + eye, eye) == pytest.approx(found, rel=1e-12)


def test_half_an_inch_at_fifty_feet_is_under_three_minutes_of_arc() -> None:
    """Computed: 0.5 in / 600 in = 2.865 arcmin."""
    eye = RIGHT_HANDER
    places = eye + np.array([[0.0, 50 * FOOT, 0.0], [0.0, 50 * FOOT, 0.5 * INCH]])
    assert angle_between(places[0], places[1], eye) / ARCMIN == pytest.approx(2.865, abs=0.001)


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("place", PLACES)
def test_the_angular_speed_is_the_derivative_of_the_angle(place: Array, eye: Array) -> None:
    """Over 2 microseconds the path is straight, and the angle known to 1e-16 of 1e-5 rad or more."""
    velocity, dt = np.array([1.3, -38.0, -4.0]), 1e-6
    turned = angle_between(place - velocity * dt, place + velocity * dt, eye)
    assert angular_speed(place, velocity, eye) == pytest.approx(turned / (2 * dt), rel=1e-6)


def test_a_ball_that_comes_straight_at_the_eye_does_not_move_in_it() -> None:
    place = RIGHT_HANDER + np.array([0.0, 10.0, 0.0])
    assert angular_speed(place, np.array([0.0, -40.0, 0.0]), RIGHT_HANDER) == 0.0
    assert angular_speed(place, np.array([40.0, 0.0, 0.0]), RIGHT_HANDER) == pytest.approx(4.0)


def test_the_angle_that_a_ball_fills() -> None:
    """At twice its radius a ball fills 60 degrees; when it touches the eye, half of the field; never more."""
    eye = np.zeros(3)
    places = np.array([[0.0, 2 * BALL, 0.0], [0.0, BALL, 0.0], [0.0, 0.5 * BALL, 0.0], [0.0, 100.0, 0.0]])
    sizes = angular_size(places, eye, BALL)
    np.testing.assert_allclose(sizes, [np.pi / 3, np.pi, np.pi, 2 * BALL / 100.0], rtol=1e-6)
