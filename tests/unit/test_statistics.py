"""Running statistics against numpy on everything at once."""

from collections.abc import Callable
from typing import cast

import numba
import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.arrival import arrive
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.bundle.statistics import BINS, BlockMeans, QuantileSketch, add_up, count_up
from latebreak.engine.flight.kernel import LANES, load
from latebreak.engine.pitch.pitch import Pitch

Array = NDArray[np.float64]

N = 100_000
SHARES = (0.001, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 0.999)


def samples() -> dict[str, Array]:
    rng = np.random.default_rng(7)
    normal = rng.normal(40.0, 0.5, N)
    return {
        "normal": normal,
        "far from zero": 1e6 + normal,
        "skewed": rng.lognormal(0.0, 0.5, N),
        "two humps": np.where(rng.random(N) < 0.3, normal, normal + 8.0),
    }


def _put_in(
    values: Array, keep: NDArray[np.bool_], centre: Array, sums: Array, squares: Array, low: Array, per_width: Array,
    counts: NDArray[np.int32], least: Array, most: Array,
) -> None:  # fmt: skip
    """Pass by pass, as the kernel of an arrival does."""
    kept = values.shape[0] * LANES
    w, bins = np.empty(kept + LANES), np.empty(LANES, np.int32)
    for first in range(0, keep.size, LANES):
        lanes = min(LANES, keep.size - first)
        load(values, values.shape[0], first, lanes, w, 0)
        for i in range(lanes):
            w[kept + i] = 1.0 if keep[first + i] else 0.0
        add_up(w, 0, kept, lanes, centre, sums, squares)
        count_up(w, 0, kept, lanes, low, per_width, bins, counts, least, most)


put_in = cast("Callable[..., None]", numba.njit(_put_in))


def add(
    values: Array, keep: NDArray[np.bool_], sketch: QuantileSketch, means: BlockMeans | None = None, block: int = 0
) -> None:
    """Put values (quantities, n) into a sketch and into a block of means, of those throws that `keep` names."""
    means = means or BlockMeans(len(values), block + 1)
    means.counts[block] += keep.sum()
    put_in(
        np.ascontiguousarray(values), keep, means.centre, means.sums[block], means.squares[block], sketch.low,
        1.0 / sketch.width, sketch.counts, sketch.least, sketch.most,
    )  # fmt: skip


def sketch_of(values: Array, low: float, high: float, parts: int = 1) -> QuantileSketch:
    sketch = QuantileSketch(np.array([low]), np.array([high]))
    for part in np.array_split(values, parts):
        add(part[None, :], np.ones(part.size, dtype=bool), sketch)
    return sketch


@pytest.mark.parametrize("name", samples())
def test_quantiles_to_a_thousandth_in_rank(name: str) -> None:
    values = samples()[name]
    # the pilot: few draws, scattered 1.5 times wider about the median
    pilot = np.median(values) + 1.5 * (values[:256] - np.median(values))
    sketch = sketch_of(values, pilot.min(), pilot.max(), parts=7)
    for share in SHARES:
        rank = (values <= sketch.quantile(share)[0]).mean()
        assert rank == pytest.approx(share, abs=1e-3)


@pytest.mark.parametrize(
    ("values", "low", "high"),
    [
        (np.random.default_rng(1).integers(0, 10, N).astype(float), -2.0, 12.0),
        (np.full(N, 3.25), 3.25, 3.25),
        (np.full(N, 0.0), 0.0, 0.0),
        (np.where(np.arange(N) % 10 == 0, 5.0, 1.0), 0.0, 6.0),
    ],
    ids=["whole numbers", "all the same", "all zero", "two values"],
)
def test_quantiles_of_few_values_are_within_a_bin(values: Array, low: float, high: float) -> None:
    # Between equal values a rank says nothing; the value has to be right to the width of a bin.
    sketch = sketch_of(values, low, high)
    width = max((high - low) / BINS, 1e-8)
    for share in SHARES:
        value = sketch.quantile(share)[0]
        below, upto = (values < value - width).mean(), (values <= value + width).mean()
        assert below - 1e-3 <= share <= upto + 1e-3


def test_quantiles_beyond_the_pilot_stay_within_the_data() -> None:
    values = np.random.default_rng(3).normal(0.0, 1.0, 5000)
    sketch = sketch_of(values, -0.5, 0.5)
    assert sketch.quantile(0.0)[0] == values.min()
    assert sketch.quantile(1.0)[0] == values.max()
    quantiles = [sketch.quantile(share)[0] for share in np.linspace(0.0, 1.0, 51)]
    assert (np.diff(quantiles) >= 0.0).all()


def test_merging_in_any_order_is_the_same() -> None:
    values = samples()["skewed"]
    parts = [sketch_of(part, 0.0, 8.0) for part in np.array_split(values, 5)]
    whole = sketch_of(values, 0.0, 8.0)
    for order in ((0, 1, 2, 3, 4), (4, 2, 0, 3, 1)):
        total = QuantileSketch(np.array([0.0]), np.array([8.0]))
        for i in order:
            total.merge(parts[i])
        for share in SHARES:
            np.testing.assert_array_equal(total.quantile(share), whole.quantile(share))


def test_only_what_is_kept_counts() -> None:
    values = np.random.default_rng(3).normal(0.0, 1.0, (2, 4000))
    keep = values[0] > 0.0
    spoilt = np.where(keep, values, np.nan)
    sketch = QuantileSketch(np.full(2, -6.0), np.full(2, 6.0))
    means = BlockMeans(2, 1)
    add(spoilt, keep, sketch, means)
    np.testing.assert_allclose(sketch.quantile(0.5), np.median(values[:, keep], axis=1), atol=12.0 / BINS)
    np.testing.assert_allclose(means.mean, values[:, keep].mean(axis=1), rtol=1e-12)
    assert means.count == keep.sum()


def test_nothing_kept_is_nan_in_the_summary_alone() -> None:
    sketch, means = QuantileSketch(np.zeros(1), np.ones(1)), BlockMeans(1, 2)
    for block in range(2):
        add(np.zeros((1, 5)), np.zeros(5, dtype=bool), sketch, means, block)
    assert means.count == 0
    for value in (sketch.quantile(0.5), means.mean, means.sd, means.sampling_error):
        np.testing.assert_array_equal(value, np.nan)


def test_means_of_blocks_of_unequal_size() -> None:
    values = 1e6 + np.random.default_rng(5).normal(0.0, 1.0, (3, 10_000))
    sizes = [4000, 4000, 2000]
    means = BlockMeans(3, 3, np.full(3, 1e6))
    for block in (2, 0, 1):  # whatever thread comes first
        part = values[:, sum(sizes[:block]) : sum(sizes[: block + 1])]
        add(part, np.ones(part.shape[1], dtype=bool), QuantileSketch(np.zeros(3), np.ones(3)), means, block)
    np.testing.assert_allclose(means.mean, values.mean(axis=1), rtol=1e-14)
    np.testing.assert_allclose(means.sd, values.std(axis=1), rtol=1e-9)  # 1e-9: squares about the centre
    means_of_blocks = np.stack([b.mean(axis=1) for b in np.split(values, [4000, 8000], axis=1)])
    weights = np.array(sizes) / 10_000.0
    about = weights[:, None] * (means_of_blocks - values.mean(axis=1))
    expected = np.sqrt((about**2).sum(axis=0) * 3.0 / 2.0)  # ratio estimator: each block weighted by its count
    np.testing.assert_allclose(means.sampling_error, expected, rtol=1e-6)


def test_sampling_error_is_honest(make_pitch: Callable[..., Pitch]) -> None:
    # Means of 200 seeds about that of very many throws. Half the usual spread: no throw bounces, the counts are fixed.
    bundle = prepare(make_pitch(spread_scale=0.5), Conditions(air_density=1.2))
    truth = arrive(bundle, Draws(1_000_000, 40 * 4096)).summary
    summaries = [arrive(bundle, Draws(seed, 400)).summary for seed in range(200)]
    assert {summary.count for summary in summaries} == {400}
    error = np.array([summary.mean - truth.mean for summary in summaries])
    reported = np.array([summary.sampling_error for summary in summaries])
    # Right on average: the root mean squares agree; each is known to 1/sqrt(2 x 200) = 5 %, five times that allowed.
    ratio = np.sqrt((error**2).mean(axis=0) / (reported**2).mean(axis=0))
    np.testing.assert_allclose(ratio, 1.0, rtol=0.25)
    # And one by one: from 8 blocks a standardised mean follows Student's law with 7 degrees of freedom, 10 % beyond
    # 1.895; five standard errors of a count among 200. (Its SD, 1.18, would hang on single seeds with small errors.)
    beyond = (np.abs(error / reported) > 1.895).mean(axis=0)
    np.testing.assert_allclose(beyond, 0.1, atol=5.0 * np.sqrt(0.1 * 0.9 / 200))
    # and unbiased: within five standard errors of a mean over the seeds
    assert (np.abs(error.mean(axis=0)) < 5.0 * error.std(axis=0) / np.sqrt(200)).all()
