"""Where a bundle arrives: flight time, place, induced breaks, approach angles, and how they scatter.

Induced break = arrival minus the arrival of the same release with gravity, drag and wind only, each at its own time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.blocks import over_blocks
from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.bundle.statistics import BlockMeans, QuantileSketch, Summary
from latebreak.engine.elementary import arctangent
from latebreak.engine.flight.flying import without_spin
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VY, AT_VZ, AT_X, AT_Z, LANES, VX, VY, VZ
from latebreak.engine.flight.outcome import OUTCOMES, has_arrived, outcomes
from latebreak.engine.jit import SOURCES, kernel

Array = NDArray[np.float64]

#: Quantities of an arrival, in the order of their rows; SI units and rad.
QUANTITIES = (
    "flight_time",
    "arrival_speed",
    "arrival_side",
    "arrival_height",
    "induced_vertical_break",
    "induced_side_break",
    "vertical_approach",
    "side_approach",
    "launch_elevation",
    "launch_azimuth",
)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_quantities(release: Array, full: Array, bare: Array, quantities: Array) -> None:
        _ = sources
        n = release.shape[1]
        r, f, b = release.reshape(release.size), full.reshape(full.size), bare.reshape(bare.size)
        w = np.empty(10 * LANES)
        for first in range(0, n, LANES):
            lanes = min(LANES, n - first)
            for i in range(lanes):
                j = first + i
                vx, vy, vz = f[j + AT_VX * n], f[j + AT_VY * n], f[j + AT_VZ * n]
                ux, uy, uz = r[j + VX * n], r[j + VY * n], r[j + VZ * n]
                x, z = f[j + AT_X * n], f[j + AT_Z * n]
                w[i] = f[j + AT_TIME * n]
                w[i + LANES] = sqrt(vx * vx + vy * vy + vz * vz)
                w[i + 2 * LANES] = x
                w[i + 3 * LANES] = z
                w[i + 4 * LANES] = z - b[j + AT_Z * n]
                w[i + 5 * LANES] = x - b[j + AT_X * n]
                w[i + 6 * LANES] = arctangent(vz / -vy)
                w[i + 7 * LANES] = arctangent(vx / -vy)
                w[i + 8 * LANES] = arctangent(uz / sqrt(ux * ux + uy * uy))
                w[i + 9 * LANES] = arctangent(ux / -uy)
            for row in range(10):
                goal = quantities[row]
                for i in range(lanes):
                    goal[first + i] = w[row * LANES + i]

    return fill_quantities


_fill_quantities = _compile(SOURCES)


@dataclass(frozen=True, eq=False)
class Arrivals:
    """Statistics of a bundle at the plate.

    Attributes
    ----------
    summary : Summary
        Over the throws that arrived, in the order of `QUANTITIES`.
    outcomes : dict of str to int
        How many throws ended how; all of `latebreak.engine.flight.outcome.OUTCOMES`.
    """

    summary: Summary
    outcomes: dict[str, int]


def arrival_quantities(releases: Array, full: Array, bare: Array) -> Array:
    """Quantities of throws.

    Parameters
    ----------
    releases : float64 array, shape (15, n)
        Releases.
    full, bare : float64 array, shape (7, n)
        States at the plate with all forces, and without spin-made and seam-made force.

    Returns
    -------
    float64 array, shape (10, n)
        Rows as in `QUANTITIES`.
    """
    quantities = np.empty((len(QUANTITIES), releases.shape[1]))
    _fill_quantities(releases, full, bare, quantities)
    return quantities


def arrive(
    bundle: Bundle, draws: Draws, threads: int = 1, progress: Callable[[int], None] = lambda throws: None
) -> Arrivals:
    """Throw a bundle and say where it goes.

    Parameters
    ----------
    bundle : Bundle
        What is thrown.
    draws : Draws
        Seed and number of throws.
    threads : int
        Threads to use; the answer does not depend on it.
    progress : callable
        Told the number of throws done, block by block.

    Returns
    -------
    Arrivals
        Statistics and outcomes.
    """
    pilot, _ = _block(bundle, bundle.pilots)
    finite = np.isfinite(pilot)
    low = np.where(finite, pilot, np.inf).min(axis=1)
    high = np.where(finite, pilot, -np.inf).max(axis=1)
    low, high = np.where(np.isfinite(low), (low, high), 0.0)  # a pilot without a flight: any range will do
    means = BlockMeans(len(QUANTITIES), draws.blocks, 0.5 * (low + high))
    codes = np.zeros((draws.blocks, len(OUTCOMES)), np.int64)

    def work(blocks: Iterator[int]) -> QuantileSketch:
        sketch = QuantileSketch(low, high)
        for block in blocks:
            quantities, code = _block(bundle, bundle.releases(draws.normals(block)))
            keep = has_arrived(code)
            means.add(block, quantities, keep)
            sketch.add(quantities, keep)
            codes[block] = np.bincount(code, minlength=len(OUTCOMES))
            progress(code.size)
        return sketch

    sketches = over_blocks(draws.blocks, threads, work)
    total = sketches[0]
    for other in sketches[1:]:
        total.merge(other)
    summary = Summary(
        means.count, means.mean, means.sd, total.quantile(0.05), total.quantile(0.95), means.sampling_error
    )
    return Arrivals(summary, {name: int(count) for name, count in zip(OUTCOMES, codes.sum(axis=0), strict=True)})


def _block(bundle: Bundle, releases: Array) -> tuple[Array, NDArray[np.int8]]:
    full = bundle.flight.arrivals(releases)
    bare = bundle.flight.arrivals(without_spin(releases))
    radius = bundle.flight.constants.radius
    return arrival_quantities(releases, full, bare), outcomes(releases, full, radius)
