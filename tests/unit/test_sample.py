"""Statistics of a handful of throws against scipy, by simulation, and in cases that can be done by hand."""

import numpy as np
import pytest
from scipy import stats

from latebreak.engine.inverse.sample import (
    Z95,
    circular_mean,
    mean_error,
    pooled_sd,
    sample_sd,
    shrunk_correlation,
    spread_error,
    student_factor,
    uncapped,
    wrapped,
)


def test_normal_quantile() -> None:
    assert pytest.approx(stats.norm.ppf(0.95), rel=1e-12) == Z95


@pytest.mark.parametrize("dof", [2.0, 2.5, 3.0, 4.0, 5.5, 9.0, 15.0, 44.0, 1000.0])
def test_student_factor(dof: float) -> None:
    assert student_factor(dof) == pytest.approx(stats.t.ppf(0.95, dof) / stats.norm.ppf(0.95), rel=1e-9)


def test_circular_mean_across_twelve_o_clock() -> None:
    angles = np.radians([350.0, 5.0, np.nan, 20.0])
    assert np.degrees(circular_mean(angles)) == pytest.approx(5.0, abs=1e-9)
    np.testing.assert_allclose(wrapped(np.radians([190.0, -190.0, 370.0])), np.radians([-170.0, 170.0, 10.0]))


def test_pooling() -> None:
    # By hand: (11 * 2^2 + 4 * 1^2) / 15 = 3.2
    assert pooled_sd(2.0, 12.0, 1.0, 4.0) == pytest.approx(np.sqrt(3.2))
    # a single throw: the prior's spread alone
    assert pooled_sd(0.0, 1.0, 1.5, 4.0) == 1.5
    assert pooled_sd(0.0, 1.0, 1.5, 0.0) == 1.5
    assert sample_sd(np.array([-1.0, np.nan, 1.0])) == pytest.approx(np.sqrt(2.0))
    assert sample_sd(np.array([0.0])) == 0.0


@pytest.mark.parametrize("count", [2, 6, 12, 40])
def test_interval_of_a_mean_covers(count: int) -> None:
    # The prior's spread is right on average, scattered as its weight of 4 throws says: s_prior^2 = 4 / chi2(4) scaled.
    rng = np.random.default_rng(11)
    trials, weight = 4000, 4.0
    prior = np.sqrt(rng.chisquare(weight, trials) / weight)
    throws = rng.standard_normal((trials, count))
    hits = 0
    for x, p in zip(throws, prior, strict=True):
        hits += abs(x.mean()) <= Z95 * mean_error(sample_sd(x - x.mean()), count, p, weight)
    # 90 %, within 4 standard errors of 4,000 trials: 1.9 points
    assert hits / trials == pytest.approx(0.9, abs=4.0 * np.sqrt(0.09 / trials))


def test_error_of_a_spread() -> None:
    # sd / sqrt(2 (n - 1)) for many throws: checked on the scatter of 2,000 sample values of 200 throws, which is itself
    # known to 1.6 %.
    rng = np.random.default_rng(5)
    values = rng.standard_normal((2000, 200)).std(axis=1, ddof=1)
    assert spread_error(1.0, 200.0, 0.0) == pytest.approx(values.std(), rel=0.05)


def test_cap_is_undone() -> None:
    # 60,000 normal values about 0.97 with SD 0.03, 16 % of them cut at 1. The mean of the cut ones is 0.0025 low;
    # undone, it is known to 0.03 / sqrt(60000) = 0.00012, and 3 of these are allowed.
    rng = np.random.default_rng(2)
    x = 0.97 + 0.03 * rng.standard_normal(60_000)
    cut = np.minimum(x, 1.0)
    cut[::50] = np.nan
    assert np.nanmean(cut) < 0.968
    assert np.nanmean(uncapped(cut, 1.0, 0.05, 4.0)) == pytest.approx(0.97, abs=0.0004)


def test_cap_of_a_few() -> None:
    values = np.array([0.95, 0.97, np.nan])
    assert uncapped(values, 1.0, 0.03, 4.0) is values  # none at the cap
    all_capped = uncapped(np.ones(3), 1.0, 0.03, 4.0)
    assert np.isfinite(all_capped).all()
    assert (all_capped > 1.0).all()


def test_correlations_by_chance_are_drawn_to_zero() -> None:
    # 12 throws of independent levers: the sample correlation has an SD of 1 / sqrt(11) = 0.30. Most of that must go,
    # and a real 0.8 must stay.
    rng = np.random.default_rng(3)
    chance, real = [], []
    for _ in range(300):
        x = rng.standard_normal((9, 12))
        x[1] = 0.8 * x[0] + 0.6 * x[1]
        r = shrunk_correlation(x - x.mean(axis=1, keepdims=True))
        real.append(r[0, 1])
        chance.append(r[2:, 2:][np.triu_indices(7, 1)])
    assert np.sqrt(np.mean(np.square(chance))) < 0.25
    assert np.median(np.abs(chance)) < 0.05
    assert np.mean(real) == pytest.approx(0.8, abs=0.06)


def test_correlation_is_positive_semidefinite_whatever_the_gaps() -> None:
    rng = np.random.default_rng(4)
    for _ in range(100):
        x = rng.standard_normal((9, 7))
        x[1], x[2] = x[0] + 0.01 * x[1], -x[0] + 0.01 * x[2]
        x[rng.random(x.shape) < 0.4] = np.nan
        x[8] = np.nan
        r = shrunk_correlation(x)
        assert np.linalg.eigvalsh(r)[0] > -1e-12
        np.testing.assert_allclose(np.diag(r), 1.0)
        np.testing.assert_allclose(r, r.T, atol=1e-15)
        np.testing.assert_array_equal(r[8, :8], 0.0)


def test_correlation_without_shrinkage_is_numpys() -> None:
    # 20,000 throws: the kept share of a correlation of 0.5 is 1 - 0.56 / 5000
    rng = np.random.default_rng(6)
    x = rng.standard_normal((2, 20_000))
    x[1] = 0.5 * x[0] + np.sqrt(0.75) * x[1]
    x -= x.mean(axis=1, keepdims=True)
    assert shrunk_correlation(x)[0, 1] == pytest.approx(np.asarray(np.corrcoef(x))[0, 1], rel=2e-4)
