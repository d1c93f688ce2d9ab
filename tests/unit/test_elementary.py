"""Elementary functions against numpy and scipy."""

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from latebreak.engine.elementary import (
    arctangent,
    exponential,
    inverse_root,
    logarithm,
    normal_distribution,
    normal_interval,
    normal_quantile,
    sine_cosine,
)


def test_sine_and_cosine() -> None:
    angles = np.concatenate([np.linspace(-np.pi, np.pi, 2001), np.linspace(-40.0, 40.0, 2001), [0.0, 1e-300]])
    got = np.array([sine_cosine(angle) for angle in angles])
    # 1e-10 rad turns a direction by 2e-9 m over the way to the plate.
    np.testing.assert_allclose(got[:, 0], np.sin(angles), rtol=0.0, atol=1e-10)
    np.testing.assert_allclose(got[:, 1], np.cos(angles), rtol=0.0, atol=1e-10)


def test_arctangent() -> None:
    y = np.concatenate([np.linspace(-3.0, 3.0, 3001), [1e-310, 1e8, -1e8, 1e300, np.inf, -np.inf, 0.0]])
    for x in (1.0, 40.0, 1e-300):
        np.testing.assert_allclose([arctangent(one, x) for one in y], np.arctan2(y, x), rtol=0.0, atol=1e-10)


def test_inverse_root() -> None:
    x = np.concatenate([np.geomspace(1e-300, 1e300, 4001), np.linspace(1.0, 4.0, 4001)])
    np.testing.assert_allclose([inverse_root(one) for one in x], 1.0 / np.sqrt(x), rtol=1e-15)


def test_nan_stays_nan() -> None:
    # A throw that blows up must stay visible until it gets its outcome.
    assert np.isnan(arctangent(np.nan, 1.0))
    assert np.isnan(inverse_root(np.nan))
    assert np.isnan(sine_cosine(np.nan)).all()


def test_normal_quantile() -> None:
    # The argument of a draw is (i + 1/2) 2^-31 or 2^-32: from the first one to the last.
    steps = np.concatenate([np.arange(50), np.geomspace(50, 2**31, 2000).round(), np.linspace(0.02, 0.03, 500) * 2**32])
    p = (np.floor(steps) + 0.5) * 2.0**-32
    p = np.concatenate([p, 1.0 - p])
    got = np.array([normal_quantile(one) for one in p])
    # A draw that is 2e-9 standard deviations off moves nothing; the largest is 6.3.
    np.testing.assert_allclose(got, ndtri(p), rtol=0.0, atol=2e-9)
    assert got.max() == pytest.approx(6.3379, abs=1e-3)  # ndtri(1 - 2^-33), computed


def test_normal_quantile_is_odd_and_rises() -> None:
    p = (np.linspace(0, 2**31 - 1, 5001).round() + 0.5) * 2.0**-32
    lower = np.array([normal_quantile(one) for one in p])
    upper = np.array([normal_quantile(1.0 - one) for one in p])
    # 1 - p has lost the last bits of p: at the far end, where the quantile is steepest, 1e-7 of its value
    np.testing.assert_allclose(upper, -lower, rtol=1e-7)
    assert (np.diff(lower) > 0.0).all()


def test_exponential() -> None:
    x = np.concatenate([np.linspace(-700.0, 700.0, 4001), np.linspace(-1.0, 1.0, 2001), [0.0, -1e-300, 1e-17]])
    np.testing.assert_allclose([exponential(one) for one in x], np.exp(x), rtol=2e-11)
    # beyond, it stays at the ends: no infinity, no denormal
    assert exponential(1e9) == pytest.approx(np.exp(700.0), rel=1e-10)
    assert exponential(-1e9) == pytest.approx(np.exp(-700.0), rel=1e-10)


def test_logarithm() -> None:
    x = np.concatenate([np.geomspace(1e-300, 1e300, 4001), np.linspace(0.5, 2.0, 2001), 2.0 ** np.arange(-5.0, 6.0)])
    np.testing.assert_allclose([logarithm(one) for one in x], np.log(x), rtol=1e-12, atol=1e-12)


def test_normal_distribution() -> None:
    x = np.concatenate([np.linspace(-9.0, 9.0, 4001), [-1e9, 1e9, 0.0]])
    np.testing.assert_allclose([normal_distribution(one) for one in x], ndtr(x), rtol=0.0, atol=1e-7)


def test_normal_interval() -> None:
    low = np.random.default_rng(1).uniform(-8.0, 8.0, 4000)
    high = low + np.random.default_rng(2).exponential(2.0, 4000)
    found = np.array([normal_interval(a, b) for a, b in zip(low, high, strict=True)])
    np.testing.assert_allclose(found, ndtr(high) - ndtr(low), rtol=0.0, atol=2e-7)
    both = [normal_distribution(b) - normal_distribution(a) for a, b in zip(low, high, strict=True)]
    np.testing.assert_allclose(found, both, rtol=0.0, atol=1e-15)
    assert normal_interval(-1e9, 1e9) == 1.0
