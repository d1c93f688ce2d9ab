"""Laws of what a hitter can see, for any pitch, eye and hitter.

Every law follows from the definitions (computed); none is a fit.
"""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from latebreak.engine.ball import Conditions
from latebreak.engine.bundle import Bundle, covariance_factor, prepare
from latebreak.engine.flight import PLATE_FRONT
from latebreak.engine.kernel import AT_TIME, Y
from latebreak.engine.late_break import late_and_whole_break
from latebreak.engine.pitch import Launch, Pitch, Spread
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, Hitter, preset
from latebreak.perception.measures import THROW_MEASURES, throw_measures
from latebreak.perception.separation import Separation, same_line_separation
from latebreak.perception.sight import angle_between, angular_speed, sight_matrix

Array = NDArray[np.float64]

CONDITIONS = Conditions(air_density=1.2)
#: Mirrored levers: break clock, gyro, release side, launch azimuth.
MIRRORED = [2, 3, 4, 8]
#: A promise of the engine: an arrival is exact to this.
PROMISE = 0.005 * INCH

few = settings(max_examples=25, deadline=None, derandomize=True)
many = settings(few, max_examples=100)


@st.composite
def pitches(draw: st.DrawFn) -> Pitch:
    """Any pitch that a pitcher of any level may throw, thrown flat enough to reach the plate."""
    scale = draw(st.floats(0.2, 3.0))
    return Pitch(
        speed=draw(st.floats(55.0, 105.0)) * MPH,
        spin_rate=draw(st.floats(0.0, 3500.0)) * RPM,
        break_clock=draw(st.floats(0.0, 360.0)) * DEGREE,
        gyro=draw(st.floats(-89.0, 89.0)) * DEGREE,
        release_side=draw(st.floats(-3.5, 3.5)) * FOOT,
        release_height=draw(st.floats(3.0, 7.5)) * FOOT,
        extension=draw(st.floats(4.0, 7.5)) * FOOT,
        aim=Launch(draw(st.floats(1.0, 3.0)) * DEGREE, draw(st.floats(-4.0, 4.0)) * DEGREE),
        spread=Spread(
            scale * np.array([0.47, 8.5, 0.09, 0.09, 0.03, 0.02, 0.033, 0.015, 0.013])  # SI; a professional's
        ),
    )


@st.composite
def hitters(draw: st.DrawFn) -> Hitter:
    """Any hitter of any level on either side."""
    eye = Eye(
        side=draw(st.floats(0.5, 1.1)),
        height=draw(st.floats(1.0, 1.8)),
        depth=draw(st.floats(-0.3, 0.8)),
        bats=draw(st.sampled_from(["right", "left"])),
    )
    return preset(draw(st.sampled_from(LEVELS)), eye, draw(st.floats(0.1, 0.2)))


def mirrored(pitch: Pitch) -> Pitch:
    assert isinstance(pitch.aim, Launch)
    aim = Launch(pitch.aim.elevation, -pitch.aim.azimuth)
    return replace(pitch, break_clock=-pitch.break_clock, gyro=-pitch.gyro, release_side=-pitch.release_side, aim=aim)


def in_the_mirror(hitter: Hitter) -> Hitter:
    return replace(hitter, eye=replace(hitter.eye, bats="left" if hitter.eye.bats == "right" else "right"))


def with_traits(hitter: Hitter, **values: float) -> Hitter:
    """A hitter who differs in some traits."""
    return replace(hitter, traits=hitter.traits.with_(**values))


def separate(pitch: Bundle, fastball: Bundle, hitter: Hitter, scale: float = 1.0) -> Separation:
    return same_line_separation(
        pitch.mean,
        pitch.flight,
        fastball.mean,
        fastball.flight,
        scale * pitch.factor,
        hitter.eye.place,
        hitter.traits,
    )


def measured(pitch: Bundle, fastball: Bundle, hitter: Hitter, normals: Array) -> Array:
    values, _ = throw_measures(
        pitch.flight,
        pitch.releases(normals),
        fastball.flight,
        fastball.releases(normals),
        hitter.eye.place,
        hitter.commit_before_arrival,
    )
    return values


@few
@given(pitches(), pitches(), hitters())
def test_a_mirror_changes_nothing(pitch: Pitch, fastball: Pitch, hitter: Hitter) -> None:
    """Pitcher and hitter in the mirror: every throw shows the same. Rounding grows with the flights: 1e-7."""
    normals = np.random.default_rng(1).standard_normal((9, 16))
    turned = normals.copy()
    turned[MIRRORED] *= -1.0

    def ready(each: Pitch) -> Bundle:
        # prepared by its mean alone: the sample that a bundle's step count rests on has no mirror image
        return replace(prepare(replace(each, spread=Spread()), CONDITIONS), factor=covariance_factor(each.spread))

    pair = ready(pitch), ready(fastball)
    other = ready(mirrored(pitch)), ready(mirrored(fastball))
    np.testing.assert_allclose(
        measured(*other, in_the_mirror(hitter), turned), measured(*pair, hitter, normals), rtol=1e-7, atol=1e-10
    )
    here, there = separate(*pair, hitter), separate(*other, in_the_mirror(hitter))
    assert here.reached[0] == there.reached[0]
    np.testing.assert_allclose(there.distance, here.distance, rtol=1e-7, atol=1e-7)


@few
@given(pitches(), pitches(), hitters())
def test_a_separation_lies_on_the_flight(pitch: Pitch, fastball: Pitch, hitter: Hitter) -> None:
    thrown = prepare(pitch, CONDITIONS)
    found = separate(thrown, prepare(fastball, CONDITIONS), hitter)
    release = thrown.mean.releases()
    flight_time = thrown.flight.arrivals(release)[AT_TIME, 0]
    assert 0.0 <= found.distance[0] <= release[Y, 0] - PLATE_FRONT
    assert 0.0 <= found.after_release[0] <= flight_time + 1e-6
    np.testing.assert_allclose(found.after_release + found.before_arrival, flight_time, rtol=1e-5)
    if not found.reached[0]:
        assert found.distance[0] == 0.0
        assert found.before_arrival[0] == 0.0


@few
@given(pitches(), hitters())
def test_a_pitch_never_separates_from_itself(pitch: Pitch, hitter: Hitter) -> None:
    thrown = prepare(pitch, CONDITIONS)
    assert not separate(thrown, thrown, with_traits(hitter, evidence_efficiency=1.0)).reached[0]


@few
@given(pitches(), pitches(), hitters(), st.floats(1.1, 5.0))
def test_more_evidence_tells_no_later(pitch: Pitch, fastball: Pitch, hitter: Hitter, factor: float) -> None:
    """More evidence, less noise, a narrower scatter: none of them makes the separation later."""
    pair = prepare(pitch, CONDITIONS), prepare(fastball, CONDITIONS)
    time = separate(*pair, hitter).after_release[0] + 1e-9
    own = hitter.traits
    keener = with_traits(hitter, evidence_efficiency=min(factor * float(own.evidence_efficiency[0]), 1.0))
    sharper = with_traits(hitter, position_noise=float(own.position_noise[0]) / factor)
    assert separate(*pair, keener).after_release[0] <= time
    assert separate(*pair, sharper).after_release[0] <= time
    assert separate(*pair, hitter, 1.0 / factor).after_release[0] <= time


@few
@given(pitches(), hitters(), st.floats(0.0, 0.3), st.floats(0.01, 0.2))
def test_late_break_grows_with_the_time_left(pitch: Pitch, hitter: Hitter, left: float, more: float) -> None:
    """An earlier commit point leaves no less to come, and never more than the whole.

    A gyro ball's push may turn in flight, so late and whole can point apart; then the late part may be the longer one
    for a pitch of little break. So this is asked of spin that lies across the flight.
    """
    across = replace(pitch, gyro=0.0)
    bundle = prepare(across, CONDITIONS)
    paths = bundle.flight.paths(bundle.mean.releases(), 8)
    (late, whole), (earlier, _) = (late_and_whole_break(bundle.flight, paths, t)[:, 0] for t in (left, left + more))
    assert late <= earlier + 2 * PROMISE
    assert earlier <= whole + 2 * PROMISE


@few
@given(pitches(), pitches(), hitters())
def test_gaps_and_breaks_are_sizes(pitch: Pitch, fastball: Pitch, hitter: Hitter) -> None:
    normals = np.random.default_rng(2).standard_normal((9, 16))
    values = measured(prepare(pitch, CONDITIONS), prepare(fastball, CONDITIONS), hitter, normals)
    assert values.shape == (len(THROW_MEASURES), 16)
    assert np.isfinite(values).all()
    assert (values >= 0.0).all()
    assert (values[[0, 2]] <= np.pi).all()


places = st.tuples(st.floats(-1.5, 1.5), st.floats(1.0, 17.0), st.floats(0.1, 2.5)).map(np.array)
velocities = st.tuples(st.floats(-5.0, 5.0), st.floats(-45.0, -20.0), st.floats(-8.0, 8.0)).map(np.array)


@many
@given(places, velocities, hitters(), st.floats(0.5, 4.0))
def test_sight_scales_with_the_scene(place: Array, velocity: Array, hitter: Hitter, scale: float) -> None:
    """Twice as far and twice as fast looks the same: angles know no lengths."""
    eye = hitter.eye.place
    far, fast = eye + scale * (place - eye), scale * velocity
    np.testing.assert_allclose(
        sight_matrix(far, eye) @ fast, sight_matrix(place, eye) @ velocity, rtol=1e-9, atol=1e-12
    )
    np.testing.assert_allclose(angular_speed(far, fast, eye), angular_speed(place, velocity, eye), rtol=1e-9)


@many
@given(places, velocities, hitters())
def test_the_matrix_and_the_angular_speed_agree(place: Array, velocity: Array, hitter: Hitter) -> None:
    """The line of sight turns by what its right and up parts turn together."""
    right, up, _ = sight_matrix(place, hitter.eye.place) @ velocity
    np.testing.assert_allclose(np.hypot(right, up), angular_speed(place, velocity, hitter.eye.place), rtol=1e-9)


@many
@given(places, places, places, hitters())
def test_angles_obey_the_triangle_inequality(one: Array, two: Array, three: Array, hitter: Hitter) -> None:
    eye = hitter.eye.place
    detour = angle_between(one, two, eye) + angle_between(two, three, eye)
    assert angle_between(one, three, eye) <= detour + 1e-12
