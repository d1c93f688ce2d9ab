"""Estimates over the throws of a pitch: path gaps, late break, surprise of the arrival, and chance of contact."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.blocks import over_blocks
from latebreak.engine.bundle import Bundle
from latebreak.engine.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.statistics import BlockMeans
from latebreak.engine.units import ARCMIN, INCH, MILLISECOND
from latebreak.perception import swing
from latebreak.perception.measures import LATE_BREAK, THROW_MEASURES, WHOLE_BREAK, throw_measures
from latebreak.perception.swing import MEMORY, SWING, Readiness
from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.chance import estimate, generator
from latebreak.service.questions.facing import Facing
from latebreak.service.questions.setting import Progress

Array = NDArray[np.float64]

#: Rows of what is measured of a throw: of its flight, then of the swing at it.
_FIRST_OF_SWING = len(THROW_MEASURES)
_ROWS = len(THROW_MEASURES) + len(SWING)
#: Throws of each draw of what is not known (chosen: only shifts between draws count, and the throws are common).
_THROWS_PER_DRAW = 500


@dataclass(frozen=True, eq=False)
class Judged:
    """What the throws of a pitch show.

    Attributes
    ----------
    estimates : dict of str to Estimate
        By key.
    kept : int
        Throws that arrived, as did the fastball of the same draw.
    miss : float64 array, shape (draws + 1,), or None
        Miss chance under each draw of what is not known, percent.
    usable : bool array, shape (draws + 1,)
        Which draws count.
    """

    estimates: dict[str, Estimate]
    kept: int
    miss: Array | None
    usable: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Contest:
    """A pitch before a hitter, beside the fastball of the same draw.

    Attributes
    ----------
    name, fastball : str
        The pitch and the fastball.
    facing : Facing
        The hitter, and all pitches.
    ready : Readiness
        What the hitter brings to this pitch.
    """

    name: str
    fastball: str
    facing: Facing
    ready: Readiness

    def measure(
        self, releases: Array, fastball_releases: Array, normals: Array, noise: Array
    ) -> tuple[Array, NDArray[np.bool_]]:
        """Measure throws: values (13, n m) and whether pitch and fastball arrived (n m,)."""
        flights = (self.facing.bundles[who].flight for who in (self.name, self.fastball))
        hitter = self.facing.hitter
        values, keep = throw_measures(
            next(flights), releases, next(flights), fastball_releases, hitter.eye.place, hitter.commit_before_arrival
        )
        return np.concatenate([values, self.facing.model.swing(self.ready, normals, noise)]), keep


def judge_throws(contest: Contest, drawn: Contest | None, progress: Progress, *, usable: NDArray[np.bool_]) -> Judged:
    """Estimate what the throws show.

    Parameters
    ----------
    contest : Contest
        At the scenario's own values: one column.
    drawn : Contest or None
        The same under draws of what is not known; None for no interval.
    progress : callable
        Told the share of the work that is done.
    usable : bool array
        Draws in which all the pitches can be thrown.
    """
    setting = contest.facing.setting
    draws = setting.draws
    bundle, fastball = (contest.facing.bundles[who] for who in (contest.name, contest.fastball))
    means = BlockMeans(_ROWS, draws.blocks)
    done = 0

    def work(blocks: Iterator[int]) -> None:
        nonlocal done
        for block in blocks:
            normals = draws.normals(block)
            noise = _noise(contest.ready, draws.seed, block, normals.shape[1])
            means.add(block, *contest.measure(bundle.releases(normals), fastball.releases(normals), normals, noise))
            done += normals.shape[1]
            progress(done / draws.throws)

    over_blocks(draws.blocks, setting.threads, work)
    over_draws = None
    if drawn is not None:
        over_draws, kept = _over_draws(drawn)
        usable = usable & kept
    found = _estimates(means, over_draws, usable)
    miss = None if over_draws is None else 100.0 * (1.0 - over_draws[_FIRST_OF_SWING + swing.CONTACT])
    return Judged(found, means.count, miss, usable)


def _estimates(means: BlockMeans, over_draws: Array | None, usable: NDArray[np.bool_]) -> dict[str, Estimate]:
    mean, error = means.mean, means.sampling_error

    def linear(row: int, unit: float, *, start: float = 0.0, least: float = 0.0, most: float = np.inf) -> Estimate:
        """Estimate of start + mean / unit."""
        draws = None if over_draws is None else start + over_draws[row] / unit
        return estimate(start + mean[row] / unit, error[row] / abs(unit), draws, usable, least=least, most=most)

    units = (ARCMIN, INCH, ARCMIN, INCH, INCH)
    keys = (
        "path_gap_at_100ms_arcmin",
        "path_gap_at_100ms_in",
        "path_gap_at_commit_arcmin",
        "path_gap_at_commit_in",
        "late_break_in",
    )
    found = {key: linear(row, unit) for row, (key, unit) in enumerate(zip(keys, units, strict=True))}
    share, share_error = means.ratio(LATE_BREAK, WHOLE_BREAK)
    with np.errstate(invalid="ignore", divide="ignore"):  # no break at all has no share
        shares = None if over_draws is None else 100.0 * over_draws[LATE_BREAK] / over_draws[WHOLE_BREAK]
    found["late_break_share_percent"] = estimate(100.0 * share, 100.0 * share_error, shares, usable)

    first = _FIRST_OF_SWING
    found["belief_at_commit_percent"] = linear(first + swing.BELIEF, 0.01, most=100.0)
    for key, row, unit in (
        ("arrival_surprise_vertical_in", swing.VERTICAL, INCH),
        ("arrival_surprise_side_in", swing.SIDE, INCH),
        ("timing_surprise_ms", swing.TIMING, MILLISECOND),
    ):
        found[key] = linear(first + row, unit, least=-np.inf)
    row = first + swing.SQUARE
    rms = float(np.sqrt(mean[row]))
    rms_draws = None if over_draws is None else np.sqrt(over_draws[row]) / INCH
    rms_error = float(error[row]) / (2.0 * rms) if rms else 0.0
    found["arrival_surprise_rms_in"] = estimate(rms / INCH, rms_error / INCH, rms_draws, usable)
    found["miss_chance_percent"] = linear(first + swing.CONTACT, -0.01, start=100.0, most=100.0)
    found["clean_contact_percent"] = linear(first + swing.CLEAN, 0.01, most=100.0)
    return found


def _noise(ready: Readiness, seed: int, block: int, throws: int) -> Array:
    """Draw the hitter's noise for a block; the same for every pitch with as many types to tell apart."""
    rows = ready.recognition.mean.shape[1] * ready.recognition.mean.shape[2] + MEMORY
    noise: Array = generator(seed, "noise", str(block)).standard_normal((rows, throws))
    return noise


def _over_draws(contest: Contest) -> tuple[Array, NDArray[np.bool_]]:
    """Means of the measures under every draw (13, draws + 1), all flown side by side, and where any throw arrived."""
    seed = contest.facing.setting.draws.seed
    normals = Draws(seed, _THROWS_PER_DRAW * FEWEST_BLOCKS).normals(0)
    releases, fastball_releases = (
        _scattered(contest.facing.pitches[who], contest.facing.bundles[who], normals)
        for who in (contest.name, contest.fastball)
    )
    noise = _noise(contest.ready, seed, 0, normals.shape[1])
    values, keep = contest.measure(releases, fastball_releases, normals, noise)
    values, keep = values.reshape(_ROWS, normals.shape[1], -1), keep.reshape(normals.shape[1], -1)
    count = keep.sum(axis=0)
    over_draws: Array = np.where(keep, values, 0.0).sum(axis=1) / np.maximum(count, 1)
    return over_draws, count > 0


def _scattered(pitches: MeanPitches, bundle: Bundle, normals: Array) -> Array:
    """Releases of every column with every throw's scatter: all columns of the first throw, then of the second, ..."""
    levers = pitches.levers[:, None, :] + (bundle.factor @ normals)[:, :, None]
    return pitches.releases(levers.reshape(len(levers), -1))
