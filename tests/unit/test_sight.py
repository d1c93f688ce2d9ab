"""The line of sight against known triangles."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE, FOOT, INCH
from latebreak.perception.eye import Eye
from latebreak.perception.sight import angle_between, angular_size, distance_to

Array = NDArray[np.float64]

RIGHT_HANDER, LEFT_HANDER = Eye(bats="right").place, Eye(bats="left").place
#: Along an ordinary pitch, from the hand to a foot before the plate, m.
PLACES = np.array([[-0.6, 16.5, 1.8], [-0.4, 12.0, 1.9], [-0.2, 6.0, 1.5], [0.1, 2.0, 1.0], [0.2, 0.75, 0.6]])
MIRROR = np.diag([-1.0, 1.0, 1.0])
BALL = 9.125 * INCH / (2 * np.pi)


def test_a_left_handed_hitter_sees_the_mirror_image() -> None:
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


def test_the_angle_that_a_ball_fills() -> None:
    """At twice its radius a ball fills 60 degrees; when it touches the eye, half of the field; never more."""
    eye = np.zeros(3)
    places = np.array([[0.0, 2 * BALL, 0.0], [0.0, BALL, 0.0], [0.0, 0.5 * BALL, 0.0], [0.0, 100.0, 0.0]])
    sizes = angular_size(places, eye, BALL)
    np.testing.assert_allclose(sizes, [np.pi / 3, np.pi, np.pi, 2 * BALL / 100.0], rtol=1e-6)
