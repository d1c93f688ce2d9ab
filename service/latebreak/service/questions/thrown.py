"""Measures over the throws of a pitch: path gaps, late break, surprise of the arrival, and chance of contact."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.blocks import over_blocks
from latebreak.engine.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import ARCMIN, INCH, MILLISECOND
from latebreak.perception import swing
from latebreak.perception.measures import LATE_BREAK, THROW_MEASURES, WHOLE_BREAK
from latebreak.perception.swing import MEMORY, SWING, Readiness
from latebreak.service.questions.chance import generator
from latebreak.service.questions.contest import Contest, Contests
from latebreak.service.questions.samples import Sample
from latebreak.service.questions.setting import Progress, threads_for

Array = NDArray[np.float64]

#: Rows of what is measured of a throw: of its flight, then of the swing at it.
_FIRST_OF_SWING = len(THROW_MEASURES)
_ROWS = len(THROW_MEASURES) + len(SWING)
#: Throws of each draw of what is not known (chosen: only shifts between draws count, and the throws are common).
THROWS_PER_DRAW = 500
#: Throws times versions that are flown at a time: blocks that are smaller are flown together (chosen: the arrays then
#: stay in the second-level cache; larger ones were not faster).
_TOGETHER = 4096
#: Keys of the measures of throws.
OF_THROWS = (
    "path_gap_at_100ms_arcmin",
    "path_gap_at_100ms_in",
    "path_gap_at_commit_arcmin",
    "path_gap_at_commit_in",
    "late_break_in",
    "late_break_share_percent",
    "belief_at_commit_percent",
    "arrival_surprise_vertical_in",
    "arrival_surprise_side_in",
    "arrival_surprise_rms_in",
    "timing_surprise_ms",
    "miss_chance_percent",
    "clean_contact_percent",
)
#: Those that only flying tells.
_FLOWN = OF_THROWS[:6]
_SIGNED = ("arrival_surprise_vertical_in", "arrival_surprise_side_in", "timing_surprise_ms")
_CHANCES = ("belief_at_commit_percent", "miss_chance_percent", "clean_contact_percent")


def throw_samples(
    contests: Contests, draws: Draws, measure: str | None = None, progress: Progress = lambda share: None
) -> tuple[dict[str, Sample], NDArray[np.bool_], NDArray[np.int64]]:
    """Measure the throws of v versions of a pitch.

    Parameters
    ----------
    contests : Contests
        The versions before the hitter.
    draws : Draws
        Seed and throws; common to all versions.
    measure : str, optional
        The one measure that is wanted, which saves the work behind the others; they are NaN then.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    samples : dict of str to Sample
        By key.
    arrived : bool array, shape (v, draws + 1)
        Draws of what is not known in which any throw arrived; (v, 1) where nothing is drawn.
    kept : int array, shape (v,)
        Throws that arrived, as did the fastball of the same draw.
    """
    own, versions = contests.own, contests.usable.shape[0]
    sums, counts = np.zeros((_ROWS, draws.blocks, versions)), np.zeros((draws.blocks, versions))
    done = 0

    together = max(1, _TOGETHER // (draws.block * versions))

    def work(batches: Iterator[int]) -> None:
        nonlocal done
        for batch in batches:
            blocks = range(batch * together, min((batch + 1) * together, draws.blocks))
            normals = [draws.normals(block) for block in blocks]
            noise = [_noise(own.ready, draws.seed, block, draws.size(block)) for block in blocks]
            values, keep = _measured(own, np.concatenate(normals, axis=1), np.concatenate(noise, axis=1), measure)
            ends = np.cumsum([draws.size(block) for block in blocks])[:-1]
            for block, part, kept in zip(blocks, np.split(values, ends, axis=1), np.split(keep, ends), strict=True):
                sums[:, block], counts[block] = part.sum(axis=1), kept.sum(axis=0)
            done += keep.shape[0]
            progress(done / draws.throws)

    over_blocks(-(-draws.blocks // together), threads_for(draws.throws * versions), work)
    over_draws, arrived = None, np.ones((versions, 1), dtype=bool)
    if contests.drawn is not None:
        added = [_over_draws(contest, draws.seed, measure) for contest in contests.drawn]
        count = np.stack([one[1] for one in added])
        over_draws = _by_key(_means(np.stack([one[0] for one in added], axis=1), count))
        arrived = count > 0
    value = _by_key(_means(sums.sum(axis=1), counts.sum(axis=0)))
    parts = _by_key(_means(sums, counts))
    weights = np.array([draws.size(block) for block in range(draws.blocks)], dtype=np.float64)
    samples = {
        key: Sample(
            value[key],
            parts[key],
            weights,
            None if over_draws is None else over_draws[key],
            -np.inf if key in _SIGNED else 0.0,
            100.0 if key in _CHANCES else np.inf,
        )
        for key in value
    }
    return samples, arrived, counts.sum(axis=0).astype(np.int64)


def _by_key(mean: Array) -> dict[str, Array]:
    """Measures in the units of their keys, from means (13, ...) over throws in SI units."""
    swung = mean[_FIRST_OF_SWING:]
    whole = mean[WHOLE_BREAK]
    share = np.divide(mean[LATE_BREAK], whole, out=np.full_like(whole, np.nan), where=whole > 0.0)  # of no break: none
    values = (
        mean[0] / ARCMIN,
        mean[1] / INCH,
        mean[2] / ARCMIN,
        mean[3] / INCH,
        mean[LATE_BREAK] / INCH,
        100.0 * share,
        100.0 * swung[swing.BELIEF],
        swung[swing.VERTICAL] / INCH,
        swung[swing.SIDE] / INCH,
        np.sqrt(swung[swing.SQUARE]) / INCH,
        swung[swing.TIMING] / MILLISECOND,
        100.0 * (1.0 - swung[swing.CONTACT]),
        100.0 * swung[swing.CLEAN],
    )
    return dict(zip(OF_THROWS, values, strict=True))


def _measured(contest: Contest, normals: Array, noise: Array, measure: str | None) -> tuple[Array, NDArray[np.bool_]]:
    """Measure n throws under m sets of parameters: values (13, n, m), and which are kept (n, m); 0 for all others."""
    values = np.full((_ROWS, normals.shape[1], contest.ready.encounter.arrival.shape[0]), np.nan)
    if measure is None or measure in _FLOWN:
        values[:_FIRST_OF_SWING], keep = contest.flown(normals)
    else:
        keep = contest.arrived(normals)
    if measure not in _FLOWN:
        values[_FIRST_OF_SWING:] = contest.swung(normals, noise)
    return np.where(keep, values, 0.0), keep


def _means(sums: Array, counts: Array) -> Array:
    """Means; NaN where no throw arrived."""
    means: Array = np.where(counts > 0, sums / np.maximum(counts, 1.0), np.nan)
    return means


def _noise(ready: Readiness, seed: int, block: int, throws: int) -> Array:
    """Noise of the hitter for a block; the same for every pitch with as many types to tell apart."""
    rows = ready.recognition.mean.shape[1] * ready.recognition.mean.shape[2] + MEMORY
    return _drawn_noise(seed, block, rows, throws)


@lru_cache(maxsize=FEWEST_BLOCKS)
def _drawn_noise(seed: int, block: int, rows: int, throws: int) -> Array:
    """Draw noise; kept, as the points of a seed are, because the pitches of a small question share it."""
    return generator(seed, "noise", str(block)).standard_normal((rows, throws))


def _over_draws(contest: Contest, seed: int, measure: str | None) -> tuple[Array, Array]:
    """Sums of the measures under every draw (13, draws + 1), all flown side by side, and how many arrived."""
    normals = Draws(seed, THROWS_PER_DRAW * FEWEST_BLOCKS).normals(0)
    noise = _noise(contest.ready, seed, 0, normals.shape[1])
    columns = contest.ready.encounter.arrival.shape[0]
    sums, counts = np.zeros((_ROWS, columns)), np.zeros(columns)
    width = max(1, _TOGETHER // columns)
    for first in range(0, normals.shape[1], width):
        checkpoint()
        some = slice(first, first + width)
        values, keep = _measured(contest, np.ascontiguousarray(normals[:, some]), noise[:, some], measure)
        sums += values.sum(axis=1)
        counts += keep.sum(axis=0)
    return sums, counts
