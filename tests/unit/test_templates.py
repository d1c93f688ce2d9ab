"""What a hitter remembers of a type of pitch."""

from collections.abc import Callable
from dataclasses import replace
from math import acos, cos, sin, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.aim import BREAK_CLOCK, GYRO, SPEED, SPIN_RATE, mean_pitches
from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, prepare
from latebreak.engine.flight import rough_flight, without_spin
from latebreak.engine.kernel import AT_X, AT_Z
from latebreak.engine.pitch import Launch, Pitch
from latebreak.engine.units import DEGREE, INCH, MPH, RPM
from latebreak.perception.hitter import LEVELS
from latebreak.perception.kinds import Role
from latebreak.perception.templates import Template, remember
from latebreak.perception.typical_throw import typical_throw

Array = NDArray[np.float64]
MakePitch = Callable[..., Pitch]
CONDITIONS = Conditions(air_density=1.2)
LOOKS = np.arange(0.05, 0.4, 0.05)[:, None]
#: A slider-like pitch far from every usual one.
ODD = {"speed_mph": 80.0, "spin_rpm": 2900.0, "break_clock_deg": 225.0, "gyro_deg": 25.0}


def spin(rate: float, clock: float, efficiency: float) -> Array:
    """Spin across the flight pushing up, pushing to the pitcher's right, and along the flight: (3, 1), rad/s."""
    across, along = rate * RPM * efficiency, rate * RPM * sqrt(1.0 - efficiency**2)
    return np.array([[across * cos(clock * DEGREE)], [across * sin(clock * DEGREE)], [along]])


def spin_of(levers: Array) -> Array:
    rate, clock, gyro = levers[[SPIN_RATE, BREAK_CLOCK, GYRO]]
    vector: Array = rate * np.stack([np.cos(gyro) * np.cos(clock), np.cos(gyro) * np.sin(clock), np.sin(gyro)])
    return vector


def recall(bundle: Bundle, familiarity: float, role: Role = "breaking", hand: str = "right") -> Template:
    return remember("it", 0.3, bundle.mean, bundle.flight, CONDITIONS, "professional", role, hand, familiarity)


@pytest.fixture(scope="module")
def odd(make_pitch: MakePitch) -> Bundle:
    return prepare(make_pitch(**ODD, seam_force=0.03, seam_clock_deg=250.0), CONDITIONS)


@pytest.mark.parametrize(
    ("role", "mph", "rate", "clock", "efficiency"),
    [
        ("fastball", 92.0, 2300.0, 21.0, 0.95),
        ("breaking", 79.0, 2550.0, 198.0, 0.67),
        ("offspeed", 84.0, 1800.0, 48.0, 0.90),
    ],
)
def test_a_typical_pitch_is_its_own_usual_one(
    role: Role, mph: float, rate: float, clock: float, efficiency: float
) -> None:
    """Speed, rate, break clock 12:42 / 6:36 / 1:36 and efficiency of a professional right-hander: values from memory.

    Other kinds of the role still weigh a little: up to a tenth of the spin, a hundredth of the speed.
    """
    own = spin(rate, clock, efficiency)
    found = typical_throw("professional", role, "right", own)
    assert np.linalg.norm(found[:3] - own) < 0.1 * np.linalg.norm(own)
    assert found[3, 0] == pytest.approx(mph * MPH, rel=0.01)


@pytest.mark.parametrize(
    ("role", "factors"), [("fastball", (88 / 92, 2150 / 2300)), ("breaking", (76 / 79, 2350 / 2550)),
                          ("offspeed", (80 / 84, 1700 / 1800))]
)  # fmt: skip
def test_college_pitches_are_slower_and_spin_less(role: Role, factors: tuple[float, float]) -> None:
    """88, 76 and 80 mph; 2,150, 2,350 and 1,700 rpm against a professional's: values from memory, to half a percent.

    Of the offspeed there is one kind; of the other roles a spin far out makes one kind count alone.
    """
    far = {"fastball": spin(6000.0, 21.0, 1.0), "breaking": spin(6000.0, 180.0, 1.0), "offspeed": spin(1.0, 0.0, 1.0)}
    pro, college = (typical_throw(level, role, "right", far[role])[:, 0] for level in ("professional", "college"))
    assert college[3] / pro[3] == pytest.approx(factors[0], rel=5e-3)
    assert np.linalg.norm(college[:3]) / np.linalg.norm(pro[:3]) == pytest.approx(factors[1], rel=5e-3)


@pytest.mark.parametrize("role", ["fastball", "breaking", "offspeed"])
@pytest.mark.parametrize("level", LEVELS)
def test_a_left_hander_is_a_mirror_image(role: Role, level: str) -> None:
    own = spin(2300.0, 250.0, 0.6)
    turn = np.array([[1.0], [-1.0], [-1.0]])
    right, left = typical_throw(level, role, "right", own), typical_throw(level, role, "left", turn * own)
    np.testing.assert_allclose(left[:3], turn * right[:3], rtol=1e-12)
    np.testing.assert_allclose(left[3], right[3], rtol=1e-12)


@pytest.mark.parametrize("role", ["fastball", "breaking"])
def test_from_one_kind_to_the_next_there_is_no_jump(role: Role) -> None:
    """Round the clock in steps of a tenth of a degree: 4 rpm of the pitch's spin never move the usual spin by 40."""
    clocks = np.arange(0.0, 360.1, 0.1)
    own = np.concatenate([spin(2300.0, clock, 0.8) for clock in clocks], axis=1)
    usual = typical_throw("professional", role, "right", own)
    assert np.linalg.norm(np.diff(usual[:3], axis=1), axis=0).max() < 40.0 * RPM
    assert np.linalg.norm(usual[:3].max(axis=1) - usual[:3].min(axis=1)) > 800.0 * RPM  # the kinds do differ


def test_columns_do_not_mix_in_what_is_typical() -> None:
    own = np.concatenate([spin(2300.0, clock, 0.8) for clock in (10.0, 200.0, 300.0)], axis=1)
    together = typical_throw("college", "fastball", "right", own)
    alone = [typical_throw("college", "fastball", "right", own[:, [column]]) for column in range(3)]
    np.testing.assert_allclose(together, np.concatenate(alone, axis=1), rtol=1e-12)


def test_a_thoroughly_scouted_pitch_is_remembered_as_it_is(odd: Bundle) -> None:
    """The same path to 0.1 mm: both are aimed to 1e-4 in, with laws fitted on slightly other ranges."""
    known = recall(odd, 1.0)
    here, there = (
        flight.paths(mean.releases(), 8).at(LOOKS)[:, :3]
        for mean, flight in ((odd.mean, odd.flight), (known.mean, known.flight))
    )
    np.testing.assert_allclose(there, here, atol=1e-4)
    assert known.flight.steps == odd.flight.steps


def test_an_unknown_pitch_is_remembered_as_the_usual_one(odd: Bundle) -> None:
    unknown = recall(odd, 0.0)
    usual = typical_throw("professional", "breaking", "right", spin_of(odd.mean.levers))
    np.testing.assert_allclose(spin_of(unknown.mean.levers), usual[:3], rtol=1e-12)
    assert (unknown.mean.seam == 0.0).all()


@pytest.mark.parametrize("familiarity", [0.25, 0.5, 0.9])
def test_in_between_the_spin_vector_lies_in_between(odd: Bundle, familiarity: float) -> None:
    own, none, part = (spin_of(recall(odd, f).mean.levers) for f in (1.0, 0.0, familiarity))
    np.testing.assert_allclose(part, none + familiarity * (own - none), rtol=1e-10)
    np.testing.assert_allclose(recall(odd, familiarity).mean.seam, familiarity * 0.03, rtol=1e-12)


@pytest.mark.parametrize("familiarity", [0.0, 0.5, 1.0])
def test_the_rest_is_the_pitchers_own(odd: Bundle, familiarity: float) -> None:
    """Speed and release point; and the template flies to where the pitch itself flies, to the 1e-4 in of an aim."""
    template = recall(odd, familiarity)
    same = [SPEED, 4, 5, 6]
    np.testing.assert_array_equal(template.mean.levers[same], odd.mean.levers[same])
    there = template.flight.arrivals(template.mean.releases(), 32)[[AT_X, AT_Z]]
    here = odd.flight.arrivals(odd.mean.releases())[[AT_X, AT_Z]]
    np.testing.assert_allclose(there, here, atol=1e-4 * INCH)
    assert (template.name, template.share) == ("it", 0.3)


def test_a_pitch_that_is_launched_is_remembered_where_it_arrives(make_pitch: MakePitch) -> None:
    """Without a target the template still ends where the mean pitch does."""
    launched = prepare(make_pitch(**ODD, launch_deg=(2.5, 1.0)), CONDITIONS)
    template = recall(launched, 0.0)
    there = template.flight.arrivals(template.mean.releases(), 32)[[AT_X, AT_Z]]
    np.testing.assert_allclose(there, launched.flight.arrivals(launched.mean.releases())[[AT_X, AT_Z]], atol=1e-5)


def usual_pitch(own: Bundle) -> Pitch:
    """The usual pitch along the pitcher's own launch line."""
    up, right, along, speed = typical_throw("professional", "breaking", "right", spin_of(own.mean.levers))[:, 0]
    rate = float(np.linalg.norm([up, right, along]))
    return replace(
        own.pitch,
        speed=float(speed),
        spin_rate=rate,
        break_clock=float(np.arctan2(right, up)),
        gyro=float(np.copysign(acos(np.hypot(up, right) / rate), along)),
        aim=Launch(*map(float, own.mean.levers[7:, 0])),
        seam_force=0.0,
    )


@pytest.mark.parametrize("familiarity", [0.0, 1.0])
def test_usual_movement_is_the_induced_break_of_the_usual_pitch(make_pitch: MakePitch, familiarity: float) -> None:
    own = prepare(make_pitch(**ODD), CONDITIONS)
    releases = mean_pitches(usual_pitch(own), CONDITIONS.rubber_to_plate).releases()
    flight = rough_flight(CONDITIONS)
    there, straight = (flight.arrivals(r)[[AT_X, AT_Z], 0] for r in (releases, without_spin(releases)))
    expected = float(np.linalg.norm(there - straight))
    assert 10.0 * INCH < expected < 25.0 * INCH
    assert recall(own, familiarity).usual_movement[0] == pytest.approx(expected, rel=1e-6)


def test_usual_movement_knows_nothing_of_this_pitchers_seams(make_pitch: MakePitch) -> None:
    """It is what is typical of the level; the template itself has no seam-made force at familiarity 0 either."""
    plain, seamy = (
        recall(prepare(make_pitch(**ODD, launch_deg=(2.5, 1.0), seam_force=force), CONDITIONS), 0.0)
        for force in (0.0, 0.1)
    )
    assert seamy.usual_movement[0] == pytest.approx(plain.usual_movement[0], rel=1e-9)
