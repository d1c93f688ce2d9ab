"""Quantities of an arrival, and their statistics."""

from collections.abc import Callable

import numpy as np
import pytest
from arrived import arrived

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.arrival import QUANTITIES, arrive, block_quantities
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.outcome import OUTCOMES, outcomes
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import DEGREE, FOOT, MPH

MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)


def test_definitions(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=1.0), AIR)
    draws = Draws(1, 8000)
    expected = arrived(bundle, bundle.releases(draws.normals(3)))
    got = block_quantities(bundle, draws, 3)
    np.testing.assert_allclose(got, list(expected.values()), rtol=0.0, atol=1e-9)


def test_signs(make_pitch: MakePitch) -> None:
    # A right-hander's fastball with backspin and arm-side run: up and towards -x, falling, launched downwards.
    got = block_quantities(prepare(make_pitch(93.0, 2300.0, 40.0, 10.0), AIR), Draws(1, 1), 0)
    value = dict(zip(QUANTITIES, got[:, 0].tolist(), strict=True))
    assert value["induced_vertical_break"] > 0.0
    assert value["induced_side_break"] < 0.0
    assert value["vertical_approach"] < value["launch_elevation"] < 0.0
    assert value["side_approach"] < value["launch_azimuth"]
    # the aim, and the 0.0025 in (6e-5 m) that the step rule allows
    assert value["arrival_side"] == pytest.approx(0.0, abs=1e-4)
    assert value["arrival_height"] == pytest.approx(2.6 * FOOT, abs=1e-4)
    assert 80.0 * MPH < value["arrival_speed"] < 90.0 * MPH
    assert 0.36 < value["flight_time"] < 0.42


@pytest.mark.parametrize("spread_scale", [1.0, 30.0])
def test_outcomes_are_those_of_the_throws_themselves(make_pitch: MakePitch, spread_scale: float) -> None:
    bundle = prepare(make_pitch(spread_scale=spread_scale), AIR)
    draws = Draws(4, 20_000)
    found = np.zeros(len(OUTCOMES), np.int64)
    for block in range(draws.blocks):
        releases = bundle.releases(draws.normals(block))
        codes = outcomes(releases, bundle.flight.arrivals(releases), bundle.flight.constants.radius)
        found += np.bincount(codes, minlength=len(OUTCOMES))
    assert (found > 0).sum() >= (2 if spread_scale == 1.0 else 4)
    assert list(arrive(bundle, draws).outcomes.values()) == found.tolist()


def test_threads_change_nothing_to_the_last_bit(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=1.0), AIR)
    draws = Draws(5, 300_000)
    one, three = (arrive(bundle, draws, threads) for threads in (1, 3))
    assert one.outcomes == three.outcomes
    for name in ("mean", "sd", "low", "high", "sampling_error"):
        np.testing.assert_array_equal(getattr(one.summary, name), getattr(three.summary, name))


def test_statistics_are_those_of_all_throws_at_once(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(spread_scale=0.5), AIR)
    draws = Draws(2, 40_000)
    summary = arrive(bundle, draws).summary
    blocks = [block_quantities(bundle, draws, i) for i in range(draws.blocks)]
    everything = np.concatenate(blocks, axis=1)
    height = everything[QUANTITIES.index("arrival_height")]
    assert height.min() > 0.0369  # no throw bounces: all of them count
    assert summary.count == 40_000
    np.testing.assert_allclose(summary.mean, everything.mean(axis=1), rtol=0.0, atol=1e-12)
    np.testing.assert_allclose(summary.sd, everything.std(axis=1), rtol=1e-9)
    for share, quantile in ((0.05, summary.low), (0.95, summary.high)):
        rank = (everything <= quantile[:, None]).mean(axis=1)
        np.testing.assert_allclose(rank, share, rtol=0.0, atol=1e-3)
    # well below what independent draws of this number give
    assert (summary.sampling_error < 0.5 * summary.sd / np.sqrt(40_000)).all()


def test_scatter_at_the_plate_is_that_of_the_launch(make_pitch: MakePitch) -> None:
    # Professionals scatter by 8.9 in sideways and 9.4 in in height at the plate (own analysis of public tracked
    # pitches, medians over 71 pitcher and pitch types), at launch by 0.74 and 0.87 degrees; there the errors of angle
    # and of release place go together, here they are independent: within a fifth.
    summary = arrive(prepare(make_pitch(spread_scale=1.0), AIR), Draws(1, 8192)).summary
    sd = dict(zip(QUANTITIES, (summary.sd / 0.0254).tolist(), strict=True))
    assert sd["arrival_side"] == pytest.approx(8.9, rel=0.2)
    assert sd["arrival_height"] == pytest.approx(9.4, rel=0.2)


def test_without_spread_every_throw_is_the_mean_pitch(make_pitch: MakePitch) -> None:
    summary = arrive(prepare(make_pitch(), AIR), Draws(1, 1000)).summary
    assert summary.count == 1000
    np.testing.assert_allclose(summary.sd, 0.0, atol=1e-5)  # a difference of squares: 37 m/s times the root of rounding
    np.testing.assert_allclose(summary.low, summary.mean, atol=1e-8)
    np.testing.assert_allclose(summary.high, summary.mean, atol=1e-8)


def test_launch_angles_of_the_summary_are_the_solved_ones(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(launch_deg=(-1.5, 2.0), spread_scale=1.0), AIR)
    summary = arrive(bundle, Draws(1, 8192)).summary
    mean = dict(zip(QUANTITIES, summary.mean.tolist(), strict=True))
    error = dict(zip(QUANTITIES, summary.sampling_error.tolist(), strict=True))
    for name, angle in (("launch_elevation", -1.5 * DEGREE), ("launch_azimuth", 2.0 * DEGREE)):
        assert abs(mean[name] - angle) < 5.0 * error[name]


def test_progress_counts_every_throw(make_pitch: MakePitch) -> None:
    told: list[int] = []
    arrive(prepare(make_pitch(spread_scale=1.0), AIR), Draws(1, 5000), threads=2, progress=told.append)
    assert sum(told) == 5000


@pytest.mark.parametrize("throws", [1, 2, 7, 9])
def test_few_throws(make_pitch: MakePitch, throws: int) -> None:
    summary = arrive(prepare(make_pitch(spread_scale=1.0), AIR), Draws(1, throws), threads=4).summary
    assert summary.count == throws
    assert np.isfinite(summary.mean).all()
    assert (np.isfinite(summary.sampling_error) == (throws > 1)).all()
