"""Random draws of a bundle: scrambled Sobol points in fixed blocks.

The draws depend on the seed and the number of throws alone. Two pitches that are compared share them (common random
numbers), so a difference of means settles with few throws. Every block is a digital shift of one scrambled set of
points, each its own, so that the scatter of block means gives an honest sampling error.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle import sobol
from latebreak.engine.elementary import normal_quantile
from latebreak.engine.flight.kernel import LANES, store
from latebreak.engine.jit import SOURCES, kernel, lane_loop, wide_vectors

LARGEST_BLOCK = 4096
FEWEST_BLOCKS = 8


@lane_loop
def draw(
    points: NDArray[np.uint32], shift: NDArray[np.uint32], first: int, lanes: int, w: NDArray[np.float64], offset: int
) -> None:
    """Standard normal draws of a pass into work rows, one a dimension: quantiles at the shifted points."""
    for d in range(points.shape[0]):
        row, goal, moved = points[d, first : first + lanes], w[offset + d * LANES : offset + (d + 1) * LANES], shift[d]
        for i in range(lanes):
            # 31 bits: signed integers become doubles in vector code, unsigned ones don't
            goal[i] = normal_quantile((np.float64(np.int32((row[i] ^ moved) >> 1)) + 0.5) * 2.0**-31)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_normals(points: NDArray[np.uint32], shift: NDArray[np.uint32], normals: NDArray[np.float64]) -> None:
        _ = sources
        wide_vectors()
        throws = normals.shape[1]
        w = np.empty(sobol.DIMENSIONS * LANES)
        for first in range(0, throws, LANES):
            lanes = min(LANES, throws - first)
            draw(points, shift, first, lanes, w, 0)
            store(w, 0, normals, first, lanes)

    return fill_normals


_fill_normals = _compile(SOURCES)


@lru_cache(maxsize=16)
def _scrambled_points(seed: int, count: int) -> NDArray[np.uint32]:
    generator = np.random.Generator(np.random.Philox(seed))
    return sobol.points(count, sobol.scrambled(sobol.direction_numbers(), generator))


@lru_cache(maxsize=16)
def _shifts(seed: int, blocks: int) -> NDArray[np.uint32]:
    generator = np.random.Generator(np.random.Philox(seed).jumped())
    return generator.integers(0, 2**32, size=(blocks, sobol.DIMENSIONS), dtype=np.uint32)


class Draws:
    """The normal draws of a bundle, block by block.

    Parameters
    ----------
    seed : int
        0 to 2^63 - 1.
    throws : int
        Throws of each pitch, at least 1.

    Attributes
    ----------
    block : int
        Throws of a block: min(4096, ceil(throws / 8)); the last block may hold fewer.
    blocks : int
        Number of blocks.
    points : uint32 array, shape (13, block)
        Sobol points in units of 2^-32.
    shifts : uint32 array, shape (blocks, 13)
        Digital shift of each block.
    """

    def __init__(self, seed: int, throws: int) -> None:
        self.seed = seed
        self.throws = throws
        self.block = min(LARGEST_BLOCK, -(-throws // FEWEST_BLOCKS))
        self.blocks = -(-throws // self.block)
        self.points = _scrambled_points(seed, self.block)
        self.shifts = _shifts(seed, self.blocks)

    def size(self, block: int) -> int:
        """Throws of block number `block`."""
        return min(self.block, self.throws - block * self.block)

    def normals(self, block: int) -> NDArray[np.float64]:
        """Standard normal draws of a block.

        Parameters
        ----------
        block : int
            0 to `blocks` - 1.

        Returns
        -------
        float64 array, shape (13, size(block))
            One row a lever, in the order of `pitch.LEVERS`, then those of the ball, in the order of
            `pitch.BALL`.
        """
        normals = np.empty((sobol.DIMENSIONS, self.size(block)))
        _fill_normals(self.points, self.shifts[block], normals)
        return normals
