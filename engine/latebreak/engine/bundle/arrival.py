"""Where a bundle arrives: flight time, place, induced breaks, approach angles, and how they scatter.

Induced break = arrival minus the arrival of the same release with gravity, drag and wind only, each at its own time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import cos, sin
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.ball_scatter import vary_balls
from latebreak.engine.bundle.blocks import over_blocks
from latebreak.engine.bundle.bundle import PILOT_WIDTH, PILOTS, Bundle
from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws, draw
from latebreak.engine.bundle.statistics import BlockMeans, QuantileSketch, Summary, add_up, count_up
from latebreak.engine.elementary import arctangent, inverse_root
from latebreak.engine.flight.equation import FlightConstants
from latebreak.engine.flight.kernel import (
    AT_TIME,
    AT_VX,
    AT_VY,
    AT_VZ,
    AT_X,
    AT_Z,
    DRAG_SCALE,
    FLIGHT_ROWS,
    LANES,
    LIFT_SCALE,
    MAX_VY,
    SEAM,
    STATE,
    STATE_ROWS,
    VX,
    VY,
    VZ,
    advance,
    start,
    store,
)  # fmt: skip
from latebreak.engine.flight.outcome import ARRIVED_STEEP, OUTCOMES, code_of
from latebreak.engine.jit import SOURCES, inlined, kernel, lane_loop, wide_vectors
from latebreak.engine.laws.table import LawTable
from latebreak.engine.pitch.pitch import BALL, LEVERS
from latebreak.engine.pitch.release import release_throws

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


# Blocks of one call of the kernel, whose arguments cost as much as some hundred throws.
_BLOCKS = 8
# Work rows of a pass, after those of a flight.
_BARE = FLIGHT_ROWS * LANES
_NORMALS = _BARE + STATE_ROWS * LANES
_BALL = _NORMALS + len(LEVERS) * LANES  # the last of the normals
_VALUES = _NORMALS + (len(LEVERS) + len(BALL)) * LANES
_CODE = _VALUES + len(QUANTITIES) * LANES
_KEEP = _CODE + LANES
_ROWS = FLIGHT_ROWS + STATE_ROWS + len(LEVERS) + len(BALL) + len(QUANTITIES) + 2


class Thrown(NamedTuple):
    """Scalars of a bundle's releases, SI units and rad."""

    rubber: float
    seam_sine: float  # of the seam clock
    seam_cosine: float
    seam: float
    drag_scale: float
    lift_scale: float
    drag_deviation: float
    lift_deviation: float
    seam_deviation: float


_code_of = inlined(code_of)


@lane_loop
def _measure(w: Array, lanes: int, radius: float) -> None:
    """Quantities and outcome of a pass."""
    for i in range(lanes):
        vx, vy, vz = w[i + STATE + AT_VX * LANES], w[i + STATE + AT_VY * LANES], w[i + STATE + AT_VZ * LANES]
        ux, uy, uz = w[i + VX * LANES], w[i + VY * LANES], w[i + VZ * LANES]
        x, z = w[i + STATE + AT_X * LANES], w[i + STATE + AT_Z * LANES]
        speed2, release2 = vx * vx + vy * vy + vz * vz, ux * ux + uy * uy + uz * uz
        w[i + _VALUES] = w[i + STATE + AT_TIME * LANES]
        w[i + _VALUES + LANES] = speed2 * inverse_root(speed2)
        w[i + _VALUES + 2 * LANES] = x
        w[i + _VALUES + 3 * LANES] = z
        w[i + _VALUES + 4 * LANES] = z - w[i + _BARE + AT_Z * LANES]
        w[i + _VALUES + 5 * LANES] = x - w[i + _BARE + AT_X * LANES]
        w[i + _VALUES + 6 * LANES] = arctangent(vz, -vy)
        w[i + _VALUES + 7 * LANES] = arctangent(vx, -vy)
        w[i + _VALUES + 8 * LANES] = w[i + _NORMALS + 7 * LANES]  # the levers themselves
        w[i + _VALUES + 9 * LANES] = w[i + _NORMALS + 8 * LANES]
        code = _code_of(x, z, w[i + STATE + MAX_VY * LANES], release2 * inverse_root(release2), radius)
        w[i + _CODE] = code
        w[i + _KEEP] = 1.0 if code <= ARRIVED_STEEP else 0.0


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def throw(
        points: NDArray[np.uint32],
        shifts: NDArray[np.uint32],
        begin: int,
        end: int,
        last: int,
        thrown: Thrown,
        mean: Array,
        factor: Array,
        plate: float,
        steps: int,
        constants: FlightConstants,
        laws: LawTable,
        centre: Array,
        sums: Array,
        squares: Array,
        low: Array,
        per_width: Array,
        counts: NDArray[np.int32],
        least: Array,
        most: Array,
        ended: NDArray[np.int64],
        quantities: Array,
    ) -> None:
        _ = sources
        wide_vectors()
        w, bins = np.empty(_ROWS * LANES), np.empty(LANES, np.int32)
        for block in range(begin, end):
            throws = last if block == shifts.shape[0] - 1 else points.shape[1]
            for first in range(0, throws, LANES):
                lanes = min(LANES, throws - first)
                draw(points, shifts[block], first, lanes, w, _NORMALS)
                release_throws(mean, factor, thrown.seam_sine, thrown.seam_cosine, thrown.rubber, lanes, w, _NORMALS)
                for i in range(lanes):
                    w[i + SEAM * LANES] = thrown.seam
                    w[i + DRAG_SCALE * LANES] = thrown.drag_scale
                    w[i + LIFT_SCALE * LANES] = thrown.lift_scale
                vary_balls(thrown.drag_deviation, thrown.lift_deviation, thrown.seam_deviation, lanes, w, _BALL)
                start(w, lanes, STATE)
                start(w, lanes, _BARE)
                for _step in range(steps):
                    advance(w, lanes, STATE, plate, 1.0 / steps, constants, laws, False)
                    advance(w, lanes, _BARE, plate, 1.0 / steps, constants, laws, True)
                _measure(w, lanes, constants.radius)
                for code in range(ended.shape[1]):
                    total = 0.0
                    for i in range(lanes):
                        total += 1.0 if w[i + _CODE] == code else 0.0
                    ended[block, code] += np.int64(total)
                add_up(w, _VALUES, _KEEP, lanes, centre, sums[block], squares[block])
                count_up(w, _VALUES, _KEEP, lanes, low, per_width, bins, counts, least, most)
                if quantities.shape[1] > 0:
                    store(w, _VALUES, quantities, first, lanes)

    return throw


_throw = _compile(SOURCES)


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


def block_quantities(bundle: Bundle, draws: Draws, block: int, width: float = 1.0) -> Array:
    """Quantities of every throw of a block, whatever became of it.

    Parameters
    ----------
    bundle : Bundle
        What is thrown.
    draws : Draws
        Seed and number of throws.
    block : int
        0 to `draws.blocks` - 1.
    width : float
        Factor on the scatter.

    Returns
    -------
    float64 array, shape (10, size(block))
        Rows as in `QUANTITIES`.
    """
    nothing = np.zeros(len(QUANTITIES))
    quantities = np.empty((len(QUANTITIES), draws.size(block)))
    kinds = np.zeros((draws.blocks, len(OUTCOMES)), np.int64)
    means = BlockMeans(len(QUANTITIES), draws.blocks)
    blocks = range(block, block + 1)
    _throw_blocks(bundle, draws, blocks, width, means, QuantileSketch(nothing, nothing), kinds, quantities)
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
    pilot = block_quantities(bundle, Draws(0, PILOTS * FEWEST_BLOCKS), 0, PILOT_WIDTH)
    finite = np.isfinite(pilot)
    low = np.where(finite, pilot, np.inf).min(axis=1)
    high = np.where(finite, pilot, -np.inf).max(axis=1)
    low, high = np.where(np.isfinite(low), (low, high), 0.0)  # a pilot without a flight: any range will do
    means = BlockMeans(len(QUANTITIES), draws.blocks, 0.5 * (low + high))
    kinds = np.zeros((draws.blocks, len(OUTCOMES)), np.int64)
    none = np.empty((len(QUANTITIES), 0))

    def work(calls: Iterator[int]) -> QuantileSketch:
        sketch = QuantileSketch(low, high)
        for call in calls:
            blocks = range(call * _BLOCKS, min((call + 1) * _BLOCKS, draws.blocks))
            _throw_blocks(bundle, draws, blocks, 1.0, means, sketch, kinds, none)
            progress(sum(draws.size(block) for block in blocks))
        return sketch

    sketches = over_blocks(-(-draws.blocks // _BLOCKS), threads, work)
    total = sketches[0]
    for other in sketches[1:]:
        total.merge(other)
    means.counts[:] = kinds[:, : ARRIVED_STEEP + 1].sum(axis=1)
    summary = Summary(
        means.count, means.mean, means.sd, total.quantile(0.05), total.quantile(0.95), means.sampling_error
    )
    return Arrivals(summary, {name: int(count) for name, count in zip(OUTCOMES, kinds.sum(axis=0), strict=True)})


def _throw_blocks(
    bundle: Bundle,
    draws: Draws,
    blocks: range,
    width: float,
    means: BlockMeans,
    sketch: QuantileSketch,
    kinds: NDArray[np.int64],
    quantities: Array,
) -> None:
    """Throw blocks of draws, scattered `width` times wider; add to their sums, to a sketch, to the outcomes."""
    mean, flight = bundle.mean, bundle.flight
    deviations = (width * float(each) for each in bundle.pitch.spread.ball)
    thrown = Thrown(
        mean.rubber, sin(mean.seam_clock), cos(mean.seam_clock),
        float(mean.seam[0]), float(mean.drag_scale[0]), float(mean.lift_scale[0]), *deviations,
    )  # fmt: skip
    _throw(
        draws.points, draws.shifts, blocks.start, blocks.stop, draws.size(draws.blocks - 1), thrown,
        mean.levers[:, 0].copy(), width * bundle.factor,
        flight.plate, flight.steps, flight.constants, flight.laws.table,
        means.centre, means.sums, means.squares,
        sketch.low, 1.0 / sketch.width, sketch.counts, sketch.least, sketch.most, kinds, quantities,
    )  # fmt: skip
