"""Estimates over the throws of a pitch: path gaps, late break and its share."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.blocks import over_blocks
from latebreak.engine.bundle import Bundle
from latebreak.engine.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.statistics import BlockMeans
from latebreak.engine.units import ARCMIN, INCH
from latebreak.perception.hitter import Hitter
from latebreak.perception.measures import LATE_BREAK, THROW_MEASURES, WHOLE_BREAK, throw_measures
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.chance import Unknowns, estimate
from latebreak.service.questions.setting import Progress, Setting

Array = NDArray[np.float64]

#: Key of the answer and size of its unit for the rows of `THROW_MEASURES`; the whole break only enters the share.
KEYS = {
    "path_gap_at_100ms_arcmin": ARCMIN,
    "path_gap_at_100ms_in": INCH,
    "path_gap_at_commit_arcmin": ARCMIN,
    "path_gap_at_commit_in": INCH,
    "late_break_in": INCH,
}
#: Throws of each draw of what is not known (chosen: only shifts between draws count, and the throws are common).
_THROWS_PER_DRAW = 500


def measure_throws(
    setting: Setting,
    bundle: Bundle,
    fastball: Bundle,
    hitter: Hitter,
    unknown: tuple[Unknowns, str, str] | None,
    progress: Progress,
) -> tuple[dict[str, Estimate], int]:
    """Estimate what the throws show.

    Parameters
    ----------
    setting : Setting
        Draws and threads.
    bundle, fastball : Bundle
        The pitch and the fastball beside it.
    hitter : Hitter
        Eye and commit point.
    unknown : tuple of Unknowns, str and str, or None
        Draws of what is not known, with the names of pitch and fastball in them; None for no interval.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    estimates : dict of str to Estimate
        By key.
    kept : int
        Throws that arrived, as did the fastball of the same draw.
    """
    draws = setting.draws
    means = BlockMeans(len(THROW_MEASURES), draws.blocks)
    done = 0

    def work(blocks: Iterator[int]) -> None:
        nonlocal done
        for block in blocks:
            normals = draws.normals(block)
            values, keep = _measure(bundle, bundle.releases(normals), fastball, fastball.releases(normals), hitter)
            means.add(block, values, keep)
            done += keep.size
            progress(done / draws.throws)

    over_blocks(draws.blocks, setting.threads, work)
    over_draws, usable = None, np.ones(1, dtype=bool)
    if unknown is not None:
        over_draws, usable = _over_draws(setting, bundle, fastball, hitter, *unknown)
    mean, error = means.mean, means.sampling_error
    result = {}
    for row, (key, unit) in enumerate(KEYS.items()):
        draws_of_row = None if over_draws is None else over_draws[row] / unit
        result[key] = estimate(float(mean[row]) / unit, float(error[row]) / unit, draws_of_row, usable)
    share, share_error = means.ratio(LATE_BREAK, WHOLE_BREAK)
    with np.errstate(invalid="ignore", divide="ignore"):  # no break at all has no share
        draws_of_share = None if over_draws is None else 100.0 * over_draws[LATE_BREAK] / over_draws[WHOLE_BREAK]
    result["late_break_share_percent"] = estimate(100.0 * share, 100.0 * share_error, draws_of_share, usable)
    return result, means.count


def _measure(
    bundle: Bundle, releases: Array, fastball: Bundle, fastball_releases: Array, hitter: Hitter
) -> tuple[Array, NDArray[np.bool_]]:
    return throw_measures(
        bundle.flight, releases, fastball.flight, fastball_releases, hitter.eye.place, hitter.commit_before_arrival
    )


def _over_draws(
    setting: Setting, bundle: Bundle, fastball: Bundle, hitter: Hitter, unknowns: Unknowns, name: str, other: str
) -> tuple[Array, NDArray[np.bool_]]:
    """Means of the measures under every draw (6, draws + 1), all flown side by side, and which draws are usable."""
    normals = Draws(setting.draws.seed, _THROWS_PER_DRAW * FEWEST_BLOCKS).normals(0)
    releases, fastball_releases = (
        _scattered(unknowns.pitches[who], which.factor, normals) for who, which in ((name, bundle), (other, fastball))
    )
    values, keep = _measure(bundle, releases, fastball, fastball_releases, hitter)
    columns = unknowns.usable(name).size
    values, keep = values.reshape(len(values), -1, columns), keep.reshape(-1, columns)
    count = keep.sum(axis=0)
    over_draws: Array = np.where(keep, values, 0.0).sum(axis=1) / np.maximum(count, 1)
    return over_draws, unknowns.usable(name, other) & (count > 0)


def _scattered(pitches: MeanPitches, factor: Array, normals: Array) -> Array:
    """Releases of every column with every throw's scatter: all columns of the first throw, then of the second, ..."""
    levers = pitches.levers[:, None, :] + (factor @ normals)[:, :, None]
    return pitches.releases(levers.reshape(len(levers), -1))
