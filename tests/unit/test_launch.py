"""Launch directions: many pitches at once, some of which can't be thrown to their target."""

from collections.abc import Callable

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.flight.kernel import LANES
from latebreak.engine.pitch.aim import SPEED, aimed, mean_pitches
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.stopping import StoppedError, stoppable

MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)
# A pass flies `LANES` throws, three of each pitch: several calls, the last of them short.
COUNT = LANES + 3


def test_each_pitch_is_aimed_as_if_alone(make_pitch: MakePitch) -> None:
    """Speeds from 12 to 90 mph: the slowest fall short, and change nothing about the others; to 1e-12 rad."""
    pitch = make_pitch()
    flight = prepare(pitch, AIR).flight
    many = mean_pitches(pitch, AIR.rubber_to_plate, COUNT)
    many.levers[SPEED] = np.linspace(12.0, 90.0, COUNT) * 0.44704  # m/s in a mph
    solved, reached = aimed(many, flight)
    assert not reached[0]
    assert reached[COUNT // 2 :].all()
    for column in (0, 1, COUNT // 2, LANES // 3, COUNT - 1):
        alone, hit = aimed(many.columns(np.array([column])), flight)
        assert hit[0] == reached[column]
        np.testing.assert_allclose(solved.levers[:, column], alone.levers[:, 0], atol=1e-12)


def test_what_is_given_stays_as_it_is(make_pitch: MakePitch) -> None:
    pitch = make_pitch()
    before = mean_pitches(pitch, AIR.rubber_to_plate)
    kept = before.levers.copy()
    aimed(before, prepare(pitch, AIR).flight)
    np.testing.assert_array_equal(before.levers, kept)


def test_aiming_can_be_stopped(make_pitch: MakePitch) -> None:
    pitch = make_pitch()
    flight = prepare(pitch, AIR).flight
    with stoppable(lambda: True), pytest.raises(StoppedError):
        aimed(mean_pitches(pitch, AIR.rubber_to_plate), flight)
