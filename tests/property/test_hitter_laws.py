"""Laws of a hitter who decides at one glance: true of any parameters, or in means over the standard mix.

Every law follows from the definitions (computed); none is a fit. Means are held to three standard errors of the
difference on the same throws.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from batting import (
    CHANGEUP,
    CURVE,
    FASTBALL,
    MIX,
    PROFESSIONAL,
    SLIDER,
    Mean,
    Thrown,
    face,
    in_mind,
    misses,
    mix_misses,
    moments_of,
    noise_of,
    with_pitch,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VZ, AT_X, AT_Z
from latebreak.engine.units import INCH
from latebreak.perception.forecast import FORECAST_ROWS, FORECAST_X, LOOKS_X
from latebreak.perception.model import Situation, keen_eye, one_glance, speed_alone
from latebreak.perception.moments import MOMENTS
from latebreak.perception.parameters import LEVELS, Parameters, preset, uncertain
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, TIME
from latebreak.perception.timing import moment

Array = NDArray[np.float64]

few = settings(max_examples=8, deadline=None, derandomize=True)
many = settings(max_examples=300, deadline=None, derandomize=True)
TUNNEL_EXIT, RECOGNITION, BREAK_ONSET = range(len(MOMENTS))


@st.composite
def pitches(draw: st.DrawFn) -> Thrown:
    """Any pitch that a pitcher of any level may throw."""
    return Thrown(
        speed=draw(st.floats(60.0, 102.0)),
        rate=draw(st.floats(300.0, 3400.0)),
        clock=draw(st.floats(0.0, 359.0)),
        efficiency=draw(st.floats(5.0, 100.0)),
        side=draw(st.floats(-1.2, 1.2)),
        height=draw(st.floats(1.0, 4.0)),
        hand=draw(st.sampled_from(["right", "left"])),
        scatter=draw(st.floats(0.0, 2.0)),
    )


@st.composite
def hitters(draw: st.DrawFn) -> Parameters:
    """Any hitter: of a level and familiarity, or drawn from what is not known about one."""
    own = preset(draw(st.sampled_from(LEVELS)), draw(st.floats(0.0, 1.0)))
    drawn = uncertain(own, 1, np.random.default_rng(draw(st.integers(0, 10_000))))
    return drawn.columns(np.array([draw(st.integers(0, 1))]))


@st.composite
def situations(draw: st.DrawFn) -> Situation:
    sides = st.sampled_from(["right", "left"])
    count = draw(st.none() | st.tuples(st.integers(0, 3), st.integers(0, 2)))
    return Situation(draw(sides), draw(sides), count=count)


def beliefs_sum_to_one(one: Thrown, other: Thrown, p: Parameters, situation: Situation) -> None:
    """And every chance lies in 0..1, for whoever hits."""
    mix = {"one": (one, 0.6), "other": (other, 0.4)}
    for model in (one_glance, keen_eye, speed_alone):
        seen = face("other", mix, p, situation, model, throws=64)
        np.testing.assert_allclose(seen.belief.sum(axis=0), 1.0, rtol=1e-12)
        for chances in (seen.belief, seen.swing, seen.contact):
            assert (chances >= 0.0).all()
            assert (chances <= 1.0).all()
        assert np.isfinite(seen.forecast).all()
        assert (seen.contact[1] <= seen.contact[0] + 1e-6).all()


def a_mirror_changes_nothing(one: Thrown, other: Thrown, p: Parameters, situation: Situation) -> None:
    """Pitcher, hitter and draws in the mirror. Rounding grows with the flights: 1e-7."""
    other_side = {"right": "left", "left": "right"}
    turned = Situation(other_side[situation.bats], other_side[situation.throws], count=situation.count)
    # step counts are chosen from a sample that has no mirror image, so pitches are thrown without scatter
    mix = {name: (replace(each, scatter=0.0), 0.5) for name, each in (("one", one), ("other", other))}
    mirror = {name: (each.mirrored, share) for name, (each, share) in mix.items()}
    here, there = face("other", mix, p, situation, throws=64), face("other", mirror, p, turned, throws=64)
    for name in ("belief", "swing", "contact"):
        np.testing.assert_allclose(getattr(there, name), getattr(here, name), rtol=1e-6, atol=1e-7, err_msg=name)
    sign = np.ones(FORECAST_ROWS)
    sign[[FORECAST_X, LOOKS_X]] = -1.0
    np.testing.assert_allclose(there.forecast, sign[:, None, None] * here.forecast, rtol=1e-6, atol=1e-8)


def a_twin_keeps_its_prior(fastball: Thrown, p: Parameters, situation: Situation, share: float) -> None:
    """Whatever is seen of it: two types that are the same are told by nothing."""
    mix = {"fastball": (fastball, 1.0 - share), "twin": (fastball, share)}
    seen = face("twin", mix, p, situation, throws=64)
    np.testing.assert_allclose(seen.belief[1], share, rtol=1e-9)


def test_beliefs_sum_to_one_and_chances_are_chances_of_the_mix() -> None:
    for one, _ in MIX.values():
        beliefs_sum_to_one(FASTBALL, one, PROFESSIONAL, Situation())


@few
@given(pitches(), pitches(), hitters(), situations())
def test_beliefs_sum_to_one(one: Thrown, other: Thrown, p: Parameters, situation: Situation) -> None:
    beliefs_sum_to_one(one, other, p, situation)


@few
@given(pitches(), pitches(), hitters(), situations())
def test_a_mirror_changes_nothing(one: Thrown, other: Thrown, p: Parameters, situation: Situation) -> None:
    a_mirror_changes_nothing(one, other, p, situation)


@few
@given(pitches(), hitters(), situations(), st.floats(0.01, 0.99))
def test_a_twin_keeps_its_prior(fastball: Thrown, p: Parameters, situation: Situation, share: float) -> None:
    a_twin_keeps_its_prior(fastball, p, situation, share)


@pytest.mark.slow
@many
@given(pitches(), pitches(), hitters(), situations(), st.floats(0.01, 0.99))
def test_laws_of_any_pitch_and_hitter_many_times(
    one: Thrown, other: Thrown, p: Parameters, situation: Situation, share: float
) -> None:
    beliefs_sum_to_one(one, other, p, situation)
    a_mirror_changes_nothing(one, other, p, situation)
    a_twin_keeps_its_prior(one, p, situation, share)


@pytest.mark.parametrize("fastball", [FASTBALL, FASTBALL.mirrored, replace(FASTBALL, speed=97.0)])
def test_a_twin_of_the_fastball_never_leaves_its_tunnel(fastball: Thrown) -> None:
    """At the scatter of a professional, some throws stand out by their line alone; of 256 a twentieth at most."""
    found = moments_of("twin", {"fastball": (fastball, 0.6), "twin": (fastball, 0.4)})
    assert found.reached[TUNNEL_EXIT].mean() <= 0.05
    still = replace(fastball, scatter=0.0)
    found = moments_of("twin", {"fastball": (still, 0.6), "twin": (still, 0.4)})
    assert not found.reached[TUNNEL_EXIT].any()
    assert not found.reached[RECOGNITION].any()


@pytest.mark.parametrize("name", MIX)
def test_nothing_is_known_before_its_light(name: str) -> None:
    """A ball that turns aside after the decision is swung at all the same, and then missed.

    The time of arrival is kept: how long the ball still takes is part of what is seen.
    """
    thrown, _ = MIX[name]
    paths = thrown.bundle.flight.paths(thrown.paths(64).releases, 16)
    types, noise, p = in_mind(MIX, PROFESSIONAL), noise_of(64), PROFESSIONAL
    before = one_glance.judge(paths, types, p, Situation(), noise)
    # places between two nodes depend on both: only what comes after the second one is altered
    after = paths.nodes[:-1, AT_TIME] > before.glance[TIME]
    later = np.concatenate([np.zeros_like(after[:1]), after])
    nodes = paths.nodes.copy()
    for row in (AT_X, AT_Z, AT_VX, AT_VZ):
        nodes[:, row] += np.where(later, 1.0, 0.0)
    altered = one_glance.judge(Paths(paths.releases, nodes, paths.plate), types, p, Situation(), noise)
    seen = [row for row in range(before.glance.shape[0]) if row not in (ARRIVAL_X, ARRIVAL_Z)]
    np.testing.assert_array_equal(altered.glance[seen], before.glance[seen])
    for part in ("belief", "forecast", "swing"):
        np.testing.assert_array_equal(getattr(altered, part), getattr(before, part), err_msg=part)
    np.testing.assert_allclose(altered.glance[ARRIVAL_X], before.glance[ARRIVAL_X] + 1.0)
    assert altered.contact[0].max() < 0.1 < before.contact[0].mean()


@pytest.mark.parametrize("name", MIX)
@pytest.mark.parametrize("level", LEVELS)
def test_without_noise_the_forecast_of_a_known_mean_pitch_is_exact(name: str, level: str) -> None:
    """Both are read off the same path, with A set so that the path ends where it does: rounding is left, 1e-9 m."""
    thrown, _ = MIX[name]
    still = replace(thrown, scatter=0.0)
    p = preset(level)
    types = in_mind({name: (still, 1.0)}, p)
    seen = one_glance.judge(still.mean, types, p, Situation(), 0.0 * noise_of(1))
    np.testing.assert_allclose(seen.forecast[:2], seen.glance[[ARRIVAL_X, ARRIVAL_Z]], rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(seen.forecast[2, :, 0], p.commit + p.latency, rtol=1e-9)


@pytest.mark.parametrize("name", MIX)
def test_without_noise_only_the_scatter_of_movement_surprises(name: str) -> None:
    """A keen eye that knows the type has the mean movement in mind, not this throw's. Spin, axis and speed scatter by
    4 to 9 % of the movement that is left, half a foot at most: half an inch.
    """
    p = keen_eye.parameters(PROFESSIONAL).with_(speed_noise=1e-9, direction_noise=1e-9)
    one = {name: (MIX[name][0], 1.0)}
    seen = face(name, one, p)
    off = (seen.glance[[ARRIVAL_X, ARRIVAL_Z]] - seen.forecast[:2]) / INCH
    assert np.sqrt((off**2).mean()) < 1.0
    assert np.abs(off.mean(axis=(1, 2))).max() < 0.1


# --- in means over the standard mix ---------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def usual() -> Mean:
    return mix_misses()


def scaled(name: str, factor: float) -> Parameters:
    return PROFESSIONAL.with_(**{name: factor * float(getattr(PROFESSIONAL, name)[0])})


@pytest.mark.parametrize(
    ("name", "steps"),
    [
        ("view_start", (0.0, 0.5, 1.0, 2.0, 3.0)),
        ("latency", (0.6, 0.8, 1.0, 1.2, 1.5)),
        ("direction_noise", (0.1, 0.3, 1.0, 2.0, 4.0)),
        ("speed_noise", (0.1, 0.5, 1.0, 1.5, 2.0)),
        ("noise_window", (0.5, 1.0, 2.0)),
        ("memory_error", (0.0, 1.0, 2.0, 4.0)),
        ("speed_scatter", (0.3, 1.0, 2.0)),
        ("motor_height", (0.5, 0.8, 1.0, 1.2, 2.0)),
        ("motor_growth", (0.5, 1.0, 2.0)),
        ("motor_time", (0.5, 1.0, 2.0)),
        ("lapse", (0.0, 1.0, 3.0)),
    ],
)
@pytest.mark.parametrize("bats", ["right", "left"])
def test_seeing_less_or_swinging_worse_never_helps(name: str, steps: tuple[float, ...], bats: str) -> None:
    """A later view, more latency, noise, scatter of belief or of the bat: none of them lowers the misses."""
    found = [mix_misses(scaled(name, step), Situation(bats)) for step in steps]
    for less, more in pairwise(found):
        assert less.below(more), (name, found)
    assert found[-1].exceeds(found[0]), (name, found)


@pytest.mark.parametrize("name", ["line_efficiency", "bend_efficiency"])
def test_better_cues_never_hurt(name: str) -> None:
    found = [mix_misses(PROFESSIONAL.with_(**{name: value})) for value in (1e-4, 0.01, 0.1, 0.3, 0.6, 1.0)]
    for less, more in pairwise(found):
        assert more.below(less), (name, found)
    assert found[0].exceeds(found[-1]), (name, found)


@pytest.mark.parametrize("name", MIX)
def test_who_expects_a_pitch_misses_it_less(name: str) -> None:
    found = []
    for share in (0.02, 0.2, 0.5, 0.8, 0.95):
        rest = 1.0 - MIX[name][1]
        shares = [share if one == name else each * (1.0 - share) / rest for one, (_, each) in MIX.items()]
        found.append(misses(face(name, shares=shares)))
    for less, more in pairwise(found):
        assert less.exceeds(more), found


def test_a_harder_fastball_is_missed_more() -> None:
    """Professional four-seams: about one point of misses per mph from 90 to 96 (league rates); here only the sign."""
    faster = [with_pitch("fastball", replace(FASTBALL, speed=speed)) for speed in (86.0, 89.0, 92.0, 95.0, 98.0)]
    own = [misses(face("fastball", mix)) for mix in faster]
    behind = [misses(face("curve", mix)) for mix in faster]
    for found in (own, behind):
        for slow, fast in pairwise(found):
            assert fast.exceeds(slow), found


@pytest.mark.parametrize("bats", ["right", "left"])
def test_a_good_curve_is_missed_by_who_knows_it_well(bats: str) -> None:
    """Movement remembered without error, familiarity 1: scouted curves are missed too (common practice, no source)."""
    good = with_pitch("curve", replace(CURVE, efficiency=90.0))
    assert misses(face("curve", good, preset("professional", 1.0), Situation(bats))).value > 0.12


@pytest.mark.parametrize("name", MIX)
def test_familiarity_never_hurts(name: str) -> None:
    first, known = (misses(face(name, p=preset("professional", f))) for f in (0.0, 1.0))
    assert known.below(first), (known, first)


def test_bounds_of_the_built_in_hitters() -> None:
    """Who sees all misses least; who tells types by speed alone misses no less than who has more to go by."""
    faced = {
        model: misses(*(face(name, model=model) for name in MIX), weights=[share for _, share in MIX.values()])
        for model in (keen_eye, one_glance, speed_alone)
    }
    assert faced[one_glance].exceeds(faced[keen_eye])
    assert faced[one_glance].below(faced[speed_alone])


def test_the_decision_waits_for_no_slower_pitch_longer_than_it_takes() -> None:
    """s = T - L for the fastball and whatever is faster; later for a slower one, by a share of what it takes longer."""
    p = PROFESSIONAL.with_(waiting_share=0.25)
    ahead = p.commit + p.latency
    for longer, waits in ((-0.02, -0.02), (0.0, 0.0), (0.08, 0.02)):
        found = moment(np.array([0.4 + longer]), np.array([0.4]), p)
        np.testing.assert_allclose(found, 0.4 - ahead + waits, rtol=1e-12)


@pytest.mark.parametrize("thrown", [SLIDER, CHANGEUP, CURVE])
def test_moments_lie_on_the_flight_and_do_not_hang_on_the_step(thrown: Thrown) -> None:
    """Halving the spacing of the grid moves no median by 2 ms."""
    mix = {"fastball": (FASTBALL, 0.6), "own": (thrown, 0.4)}
    coarse, fine = (moments_of("own", mix, spacing=spacing) for spacing in (0.010, 0.005))
    np.testing.assert_array_less(np.abs(np.median(coarse.time - fine.time, axis=2)), 0.002)
    np.testing.assert_array_less(np.abs(np.median(coarse.time, axis=2) - np.median(fine.time, axis=2)), 0.002)
    flight = thrown.paths(256).arrivals[AT_TIME]
    assert (coarse.time >= 0.0).all()
    assert (coarse.time <= flight).all()
    assert (coarse.time[~coarse.reached] == np.broadcast_to(flight, coarse.time.shape)[~coarse.reached]).all()
