"""Sobol points against scipy's, digit by digit, and what scrambling must keep."""

import numpy as np
import pytest
from scipy.stats import qmc

from latebreak.engine.bundle import sobol


def test_every_digit_is_scipys() -> None:
    # scipy 1.13 ff. uses the table of Joe and Kuo 2008 (read in its documentation).
    theirs = qmc.Sobol(sobol.DIMENSIONS, scramble=False, bits=sobol.BITS).random(4096)
    ours = sobol.points(4096, sobol.direction_numbers())
    np.testing.assert_array_equal(ours, (theirs.T * 2.0**sobol.BITS).astype(np.uint64))


@pytest.mark.parametrize("count", [1, 2, 3, 500, 1000])
def test_fewer_points_are_the_first_ones(count: int) -> None:
    directions = sobol.scrambled(sobol.direction_numbers(), np.random.default_rng(3))
    np.testing.assert_array_equal(sobol.points(count, directions), sobol.points(4096, directions)[:, :count])


@pytest.mark.parametrize("seed", range(5))
def test_scrambled_points_keep_one_point_in_each_stratum(seed: int) -> None:
    directions = sobol.scrambled(sobol.direction_numbers(), np.random.default_rng(seed))
    points = sobol.points(4096, directions) ^ np.uint32(0x9E3779B9)  # and a digital shift, as every block has
    for count in (64, 4096):
        for row in points[:, :count]:
            stratum = row.astype(np.uint64) * count >> np.uint64(32)
            np.testing.assert_array_equal(np.sort(stratum), np.arange(count))


def test_scrambled_points_keep_the_strata_of_two_dimensions() -> None:
    # The first two dimensions are a (0, 2)-sequence: 4096 points fill every one of 2^a x 2^(12-a) boxes once.
    directions = sobol.scrambled(sobol.direction_numbers(), np.random.default_rng(8))
    x, y = sobol.points(4096, directions)[:2].astype(np.uint64)
    for a in range(13):
        box = ((x >> np.uint64(32 - a)) << np.uint64(12 - a)) | (y >> np.uint64(20 + a))
        assert np.unique(box).size == 4096


def test_scrambling_differs_by_generator_and_from_the_plain_points() -> None:
    plain = sobol.direction_numbers()
    one, same, other = (sobol.scrambled(plain, np.random.default_rng(seed)) for seed in (1, 1, 2))
    np.testing.assert_array_equal(one, same)
    for a, b in ((one, other), (one, plain)):
        assert (a != b).any(axis=1).all()
