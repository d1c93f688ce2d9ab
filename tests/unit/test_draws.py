"""Draws of a bundle: blocks, seeds, and normal in law."""

import numpy as np
import pytest
from scipy import stats

from latebreak.engine.bundle.draws import Draws


@pytest.mark.parametrize(
    ("throws", "block", "blocks"), [(1, 1, 1), (7, 1, 7), (8, 1, 8), (100, 13, 8), (4000, 500, 8), (40_000, 4096, 10)]
)
def test_blocks(throws: int, block: int, blocks: int) -> None:
    draws = Draws(1, throws)
    assert (draws.block, draws.blocks) == (block, blocks)  # min(4096, ceil(throws / 8))
    shapes = [draws.normals(i).shape for i in range(draws.blocks)]
    assert shapes == [(13, draws.size(i)) for i in range(draws.blocks)]
    assert sum(columns for _, columns in shapes) == throws


def test_draws_are_those_of_the_seed() -> None:
    np.testing.assert_array_equal(Draws(5, 1000).normals(3), Draws(5, 1000).normals(3))
    assert (Draws(5, 1000).normals(3) != Draws(6, 1000).normals(3)).all()
    assert (Draws(5, 1000).normals(3) != Draws(5, 1000).normals(4)).all()
    assert np.isfinite(Draws(2**63 - 1, 100).normals(0)).all()


def test_more_throws_begin_with_the_same_blocks() -> None:
    # From 8 full blocks on; so a longer run only adds to a shorter one.
    short, long = Draws(9, 8 * 4096 + 100), Draws(9, 20 * 4096)
    for block in range(8):
        np.testing.assert_array_equal(long.normals(block), short.normals(block))
    np.testing.assert_array_equal(long.normals(8)[:, :100], short.normals(8))


def test_all_at_once_or_block_by_block_in_any_order() -> None:
    draws = Draws(4, 5000)
    backwards = [draws.normals(i) for i in reversed(range(draws.blocks))][::-1]
    for i, block in enumerate(backwards):
        np.testing.assert_array_equal(block, Draws(4, 5000).normals(i))


def test_normal_and_uncorrelated() -> None:
    draws = Draws(17, 32_768)
    normals = np.concatenate([draws.normals(i) for i in range(draws.blocks)], axis=1)
    for row in normals:
        # Kolmogorov-Smirnov distance: the 1 % bound of independent draws, 1.63 / sqrt(n); a Sobol block is far below.
        assert stats.kstest(row, "norm").statistic < 1.63 / np.sqrt(32_768)
    # five standard errors of a correlation between independent draws
    assert np.abs(np.corrcoef(normals) - np.eye(13)).max() < 5.0 / np.sqrt(32_768)
    assert np.abs(normals).max() > 3.5  # of 426,000 draws some are far out


def test_a_block_mean_is_much_closer_than_that_of_independent_draws() -> None:
    # The point of Sobol draws. Independent ones scatter by 1/sqrt(500); a tenth of that is asked for, over 64 blocks.
    means = np.array([Draws(seed, 4000).normals(block).mean(axis=1) for seed in range(8) for block in range(8)])
    assert (means.std(axis=0) < 0.1 / np.sqrt(500)).all()
    # unbiased: within five standard errors
    assert (np.abs(means.mean(axis=0)) < 5.0 * means.std(axis=0) / np.sqrt(len(means))).all()
