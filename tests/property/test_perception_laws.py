"""Laws of what a hitter can see, for any pitch and eye.

Every law follows from the definitions (computed); none is a fit.
"""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, covariance_factor, prepare
from latebreak.engine.flight.late_break import late_and_whole_break
from latebreak.engine.pitch.pitch import Launch, Pitch, Spread
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.eye import Eye
from latebreak.perception.measures import THROW_MEASURES, throw_measures
from latebreak.perception.sight import angle_between

Array = NDArray[np.float64]

CONDITIONS = Conditions(air_density=1.2)
#: Mirrored levers: break clock, gyro, release side, launch azimuth.
MIRRORED = [2, 3, 4, 8]
#: A promise of the engine: an arrival is exact to this.
PROMISE = 0.005 * INCH

few = settings(max_examples=10, deadline=None, derandomize=True)
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
            scale * np.array([0.47, 8.5, 0.09, 0.09, 0.03, 0.02, 0.033, 0.015, 0.013])  # SI; as in conftest
        ),
    )


@st.composite
def eyes(draw: st.DrawFn) -> Eye:
    """Any hitter's on either side."""
    return Eye(
        side=draw(st.floats(0.5, 1.1)),
        height=draw(st.floats(1.0, 1.8)),
        depth=draw(st.floats(-0.3, 0.8)),
        bats=draw(st.sampled_from(["right", "left"])),
    )


def mirrored(pitch: Pitch) -> Pitch:
    assert isinstance(pitch.aim, Launch)
    aim = Launch(pitch.aim.elevation, -pitch.aim.azimuth)
    return replace(pitch, break_clock=-pitch.break_clock, gyro=-pitch.gyro, release_side=-pitch.release_side, aim=aim)


def in_the_mirror(eye: Eye) -> Eye:
    return replace(eye, bats="left" if eye.bats == "right" else "right")


def measured(pitch: Bundle, fastball: Bundle, eye: Eye, normals: Array, commit: float = 0.15) -> Array:
    own, other = (each.flight.paths(each.releases(normals)) for each in (pitch, fastball))
    start, news = (np.full(normals.shape[1], before) for before in (commit, commit + 0.1))
    return throw_measures(pitch.flight, own, other, eye.place, start, news)


@few
@given(pitches(), pitches(), eyes())
def test_a_mirror_changes_nothing(pitch: Pitch, fastball: Pitch, eye: Eye) -> None:
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
        measured(*other, in_the_mirror(eye), turned), measured(*pair, eye, normals), rtol=1e-7, atol=1e-10
    )


@few
@given(pitches(), st.floats(0.0, 0.3), st.floats(0.01, 0.2))
def test_late_break_grows_with_the_time_left(pitch: Pitch, left: float, more: float) -> None:
    """An earlier commit point leaves no less to come, and never more than the whole.

    A gyro ball's push may turn in flight, so late and whole can point apart; then the late part may be the longer one
    for a pitch of little break. So this is asked of spin that lies across the flight.
    """
    across = replace(pitch, gyro=0.0)
    bundle = prepare(across, CONDITIONS)
    paths = bundle.flight.paths(bundle.mean.releases(), 8)
    late, earlier, whole = late_and_whole_break(bundle.flight, paths, np.array([[left], [left + more]]))[:, 0]
    assert late <= earlier + 2 * PROMISE
    assert earlier <= whole + 2 * PROMISE


@few
@given(pitches(), pitches(), eyes())
def test_gaps_and_breaks_are_sizes(pitch: Pitch, fastball: Pitch, eye: Eye) -> None:
    normals = np.random.default_rng(2).standard_normal((9, 16))
    values = measured(prepare(pitch, CONDITIONS), prepare(fastball, CONDITIONS), eye, normals)
    assert values.shape == (len(THROW_MEASURES), 16)
    assert np.isfinite(values).all()
    assert (values >= 0.0).all()
    assert (values[[0, 2]] <= np.pi).all()


places = st.tuples(st.floats(-1.5, 1.5), st.floats(1.0, 17.0), st.floats(0.1, 2.5)).map(np.array)


@many
@given(places, places, places, eyes())
def test_angles_obey_the_triangle_inequality(one: Array, two: Array, three: Array, eye: Eye) -> None:
    at = eye.place
    detour = angle_between(one, two, at) + angle_between(two, three, at)
    assert angle_between(one, three, at) <= detour + 1e-12
