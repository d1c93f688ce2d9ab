"""What comes of throws that a hitter faces, added up: takes and swings, strikes and balls, and how far off he was."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.jit import kernel, wide_vectors
from latebreak.perception.bat import CLEAN, CONTACT
from latebreak.perception.forecast import FORECAST_X, FORECAST_Z, TIME_TO_GO
from latebreak.perception.model import Judgement
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, REMAINING
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: Rows of a tally: chances that he swings, that the throw is in the zone, swings outside, takes inside, misses, takes
#: outside, contacts, clean ones; belief in the thrown type; how far above and to the right of his forecast the ball
#: arrives (m), the square of that distance, and how much later (s).
TALLY = (
    "swing", "zone", "chase", "called_strike", "swinging_strike", "ball", "contact", "clean",
    "belief_at_commit", "vertical", "side", "square", "timing",
)  # fmt: skip


def _compile(sources: int) -> tuple[Callable[..., None], Callable[..., None]]:
    @kernel
    def add_swings(
        glance: Array, belief: Array, forecast: Array, swing: Array, contact: Array, in_zone: Flags, aloft: Flags,
        keep: Flags, ends: NDArray[np.int64], sums: Array, counts: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        for j in range(swing.shape[0]):
            first = 0
            for block in range(ends.size):
                end = ends[block]
                s, met, clean = swing[j, first:end], contact[CONTACT, j, first:end], contact[CLEAN, j, first:end]
                x, z, left = (
                    glance[ARRIVAL_X, j, first:end], glance[ARRIVAL_Z, j, first:end], glance[REMAINING, j, first:end]
                )  # fmt: skip
                to_x, to_z, to_go = (
                    forecast[FORECAST_X, j, first:end], forecast[FORECAST_Z, j, first:end],
                    forecast[TIME_TO_GO, j, first:end],
                )  # fmt: skip
                b, inside, up, kept = (
                    belief[j, first:end], in_zone[j, first:end], aloft[j, first:end], keep[j, first:end]
                )  # fmt: skip
                swings = strikes = chases = taken = missed = balls = touched = cleanly = 0.0
                believed = above = right = square = later = count = 0.0
                for i in range(s.size):
                    chance = s[i] if kept[i] else 0.0
                    strike, here = (1.0 if inside[i] else 0.0), (1.0 if kept[i] else 0.0)
                    hit, well = (met[i], clean[i]) if up[i] else (0.0, 0.0)
                    dx, dz = (x[i] - to_x[i], z[i] - to_z[i]) if kept[i] else (0.0, 0.0)
                    count += here
                    swings += chance
                    strikes += strike * here
                    chases += chance * (1.0 - strike)
                    taken += (here - chance) * strike
                    missed += chance * (1.0 - hit) if kept[i] else 0.0
                    balls += (here - chance) * (1.0 - strike)
                    touched += chance * hit if kept[i] else 0.0
                    cleanly += chance * well if kept[i] else 0.0
                    believed += b[i] if kept[i] else 0.0
                    above += dz
                    right += dx
                    square += dx * dx + dz * dz
                    later += left[i] - to_go[i] if kept[i] else 0.0
                for row, one in enumerate((
                    swings, strikes, chases, taken, missed, balls, touched, cleanly, believed, above, right, square,
                    later,
                )):  # fmt: skip
                    sums[row, j, block] = one
                counts[j, block] = count
                first = end

    @kernel
    def add_kept(values: Array, keep: Flags, ends: NDArray[np.int64], sums: Array, counts: Array) -> None:
        _ = sources
        wide_vectors()
        for j in range(keep.shape[0]):
            first = 0
            for block in range(ends.size):
                kept, total = keep[j, first : ends[block]], 0.0
                for i in range(kept.size):
                    total += 1.0 if kept[i] else 0.0
                counts[j, block] = total
                for row in range(values.shape[0]):
                    value, total = values[row, j, first : ends[block]], 0.0
                    for i in range(kept.size):
                        total += value[i] if kept[i] else 0.0
                    sums[row, j, block] = total
                first = ends[block]

    return add_swings, add_kept


_add_swings, _add_kept = _compile(SOURCES)


def tally(
    judged: Judgement, own: int, in_zone: Flags, aloft: Flags, keep: Flags, ends: Sequence[int]
) -> tuple[Array, Array]:
    """Add up what a hitter made of throws.

    Parameters
    ----------
    judged : Judgement
        m columns of n throws.
    own : int
        Number of the thrown type among those in mind.
    in_zone, aloft, keep : bool array, shape (m, n)
        Whether a throw crosses the zone, has not touched the ground, and counts.
    ends : sequence of int
        Where each of k blocks of throws ends, rising.

    Returns
    -------
    sums : float64 array, shape (13, m, k)
        Rows as in `TALLY`.
    counts : float64 array, shape (m, k)
        How many throws count.
    """
    sums, counts = np.empty((len(TALLY), len(keep), len(ends))), np.empty((len(keep), len(ends)))
    _add_swings(
        *map(np.ascontiguousarray, (judged.glance, judged.belief[own], judged.forecast, judged.swing, judged.contact)),
        in_zone, aloft, keep, np.asarray(ends, np.int64), sums, counts,
    )  # fmt: skip
    return sums, counts


def added_up(values: Array, keep: Flags, ends: Sequence[int]) -> tuple[Array, Array]:
    """Add up rows (r, m, n) of the throws that count, (m, n), over blocks: (r, m, k); and how many count, (m, k)."""
    sums, counts = np.empty((*values.shape[:2], len(ends))), np.empty((len(keep), len(ends)))
    _add_kept(values, keep, np.asarray(ends, np.int64), sums, counts)
    return sums, counts
