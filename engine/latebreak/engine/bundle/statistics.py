"""Running statistics: means with their sampling error, and quantiles, in bounded memory and fixed order.

Sums are kept by block and combined in the order of the blocks, counts are integers; so the result does not depend on
which thread did which block.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import LANES
from latebreak.engine.jit import lane_loop

Array = NDArray[np.float64]

#: Bins of a quantile sketch between the pilot's extremes. The pilot spans some 8 standard deviations, so a bin holds at
#: most 0.1 % of the throws even where they are densest, and quantiles are interpolated inside it.
BINS = 4096


@lane_loop
def add_up(w: Array, values: int, keep: int, lanes: int, centre: Array, sums: Array, squares: Array) -> None:
    """Add the values of a pass about their centre, and the squares of that, where the row at offset `keep` holds 1."""
    for q in range(centre.size):
        row, kept, middle = w[values + q * LANES :], w[keep : keep + LANES], centre[q]
        total, square = 0.0, 0.0
        for i in range(lanes):
            about = row[i] - middle if kept[i] > 0.0 else 0.0
            total += about
            square += about * about
        sums[q] += total
        squares[q] += square


@lane_loop
def count_up(
    w: Array, values: int, keep: int, lanes: int, low: Array, per_width: Array, bins: NDArray[np.int32],
    counts: NDArray[np.int32], least: Array, most: Array,
) -> None:  # fmt: skip
    """Count the values of a pass in bins, and keep the least and the most of each lane; `bins` is a work row."""
    outside = float(counts.shape[1] - 1)  # counts the throws that are not kept
    for q in range(low.size):
        row, kept, count, start, scale = (
            w[values + q * LANES :],
            w[keep : keep + LANES],
            counts[q],
            low[q],
            per_width[q],
        )
        smallest, largest = least[q], most[q]
        for i in range(lanes):
            value, stays = row[i], kept[i] > 0.0
            smallest[i] = value if stays and value < smallest[i] else smallest[i]
            largest[i] = value if stays and value > largest[i] else largest[i]
            bins[i] = np.int32(min(max((value - start) * scale + 1.0, 0.0), outside - 1.0) if stays else outside)
        for i in range(lanes):
            count[np.uint32(bins[i])] += 1


class BlockMeans:
    """Means of several quantities, with the sampling error from the scatter of the blocks.

    Parameters
    ----------
    quantities : int
        Number of quantities.
    blocks : int
        Number of blocks, each an independent scrambling of the draws.
    centre : float64 array, shape (quantities,), optional
        Near the means; keeps sums of squares accurate.
    """

    def __init__(self, quantities: int, blocks: int, centre: Array | None = None) -> None:
        self.centre = np.zeros(quantities) if centre is None else centre
        self.counts = np.zeros(blocks)
        self.sums = np.zeros((blocks, quantities))
        self.squares = np.zeros((blocks, quantities))

    @property
    def count(self) -> int:
        """Values put in."""
        return int(self.counts.sum())

    @property
    def mean(self) -> Array:
        """Means; NaN where nothing was put in (the caller says so in words)."""
        total = self.counts.sum()
        about: Array = self.sums.sum(axis=0) / total if total else np.full(self.centre.shape, np.nan)
        mean: Array = self.centre + about
        return mean

    @property
    def sd(self) -> Array:
        """Standard deviations over the values."""
        total = self.counts.sum()
        if not total:
            return np.full(self.centre.shape, np.nan)
        about = self.mean - self.centre
        sd: Array = np.sqrt((self.squares.sum(axis=0) / total - about**2).clip(0.0))
        return sd

    @property
    def sampling_error(self) -> Array:
        """Monte Carlo standard errors of the means, from the scatter of the blocks; NaN for fewer than two blocks."""
        return _ratio_error(self.sums, self.counts[:, None], self.mean - self.centre)

    def ratio(self, over: int, under: int) -> tuple[float, float]:
        """Ratio of the means of two quantities, and its Monte Carlo standard error; for a centre of 0."""
        top, bottom = self.sums[:, over], self.sums[:, under]
        total = float(bottom.sum())
        ratio = float(top.sum()) / total if total else float("nan")
        return ratio, float(_ratio_error(top, bottom, np.array(ratio)))


def _ratio_error(top: Array, bottom: Array, ratio: Array) -> Array:
    """Standard error of sum(top)/sum(bottom) over independent blocks (ratio estimator)."""
    blocks = top.shape[0]
    if blocks < 2:
        return np.full(np.shape(ratio), np.nan)
    residual = top - ratio * bottom
    with np.errstate(invalid="ignore", divide="ignore"):
        error: Array = np.sqrt((residual**2).sum(axis=0) * blocks / (blocks - 1.0)) / bottom.sum(axis=0)
    return error


class QuantileSketch:
    """Quantiles of several quantities from counts in equal bins.

    Parameters
    ----------
    low, high : float64 array, shape (quantities,)
        Range of the bins, from a pilot that is scattered wider; what lies outside is counted in two outer bins.
    """

    def __init__(self, low: Array, high: Array) -> None:
        self.low = low
        self.width = np.maximum((high - low) / BINS, 1e-9 * np.maximum(np.abs(low), 1.0))
        # Room for 2^31 values in a bin: half the memory, which stays in the second-level cache. The last bin is waste.
        self.counts = np.zeros((low.size, BINS + 3), np.int32)
        self.least = np.full((low.size, LANES), np.inf)
        self.most = np.full((low.size, LANES), -np.inf)

    def merge(self, other: QuantileSketch) -> None:
        """Put in what another sketch of the same range has counted."""
        self.counts += other.counts
        self.least = np.minimum(self.least, other.least)
        self.most = np.maximum(self.most, other.most)

    def quantile(self, share: float) -> Array:
        """Quantiles (quantities,) at a share between 0 and 1; NaN where nothing was counted."""
        result = np.full(self.low.size, np.nan)
        for q, counts in enumerate(self.counts[:, :-1]):
            total = counts.sum(dtype=np.int64)
            if total == 0:
                continue
            least, most = self.least[q].min(), self.most[q].max()
            edges = np.concatenate([[least], self.low[q] + self.width[q] * np.arange(BINS + 1), [most]])
            edges = np.clip(edges, least, most)
            below = np.concatenate([[0], np.cumsum(counts, dtype=np.int64)])
            result[q] = np.interp(share * total, below, edges)
        return result


@dataclass(frozen=True, eq=False)
class Summary:
    """Statistics over throws of several quantities, each array of shape (quantities,)."""

    count: int
    mean: Array
    sd: Array
    low: Array  # 5 %
    high: Array  # 95 %
    sampling_error: Array  # of the mean
