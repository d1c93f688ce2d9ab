"""Measures of a judged pitch: of its flights, of what the hitter makes of them, and of what happens on the way."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.blocks import over_blocks
from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import ARCMIN, FOOT, INCH, MILLISECOND
from latebreak.service.judging.estimates import Estimator
from latebreak.service.judging.judged_pitch import EVENT_ROWS, EVENTS, FLIGHT_ROWS, SWING_ROWS, JudgedPitch
from latebreak.service.judging.setting import Progress, threads_for

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
#: What one batch of throws gives: rows (r, m, n), 0 where not kept, and which are kept (m, n).
Asked = Callable[[JudgedPitch, Array, Array], tuple[Array, Flags]]

_EVENT_KEYS = ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")
_EVENT_UNITS = np.array([FOOT, MILLISECOND, MILLISECOND, 0.01])
#: Measures that only flying tells, then those of the hitter.
_OF_FLIGHT = (
    "path_gap_at_100ms_arcmin",
    "path_gap_at_100ms_in",
    "path_gap_at_commit_arcmin",
    "path_gap_at_commit_in",
    "late_break_in",
    "late_break_share_percent",
    "blind_break_in",
)
_OF_SWING = (
    "swing_percent",
    "zone_percent",
    "chase_percent",
    "called_strike_percent",
    "swinging_strike_percent",
    "ball_percent",
    "strike_without_contact_percent",
    "miss_chance_percent",
    "clean_contact_percent",
    "belief_at_commit_percent",
    "arrival_surprise_vertical_in",
    "arrival_surprise_side_in",
    "arrival_surprise_rms_in",
    "timing_surprise_ms",
)
#: Keys of the measures of one pitch.
MEASURES = (*_OF_SWING, *(f"{event}_{key}" for event in EVENTS for key in _EVENT_KEYS), *_OF_FLIGHT)
_SIGNED = ("arrival_surprise_vertical_in", "arrival_surprise_side_in", "timing_surprise_ms")

#: Throws of each member of the ensemble (chosen: only shifts between members count, and the throws are common).
THROWS_PER_MEMBER = 128
#: Throws times versions that are flown at a time: blocks that are smaller are flown together (chosen: the arrays then
#: stay in the second-level cache; larger ones were not faster).
_TOGETHER = 4096
#: Most throws whose way is followed in time (chosen: their median has a sampling error of 6 % of the scatter), and
#: throws of each member, which are asked less often: there only shifts count.
_MOST_FOLLOWED, _FOLLOWED_PER_MEMBER = 512, 32
_SPACING_OF_MEMBERS = 0.030  # s


def measure_pitch(
    pitch: JudgedPitch, draws: Draws, only: str | None = None, progress: Progress = lambda share: None
) -> dict[str, Estimator]:
    """Measure versions of a pitch.

    Parameters
    ----------
    pitch : JudgedPitch
        v versions.
    draws : Draws
        Seed and throws; common to all versions.
    only : str, optional
        The one measure that is wanted, which saves the work behind the others; default: all.
    progress : callable
        Told the share of the work that is done.

    Returns
    -------
    dict of str to Estimator
        By key, in the order of `MEASURES`.
    """
    found: dict[str, Estimator] = {}
    if only is None or only in _OF_SWING:
        found |= measure_swings(pitch, draws, progress)
    if only is None or only.startswith(EVENTS):
        found |= _events(pitch, draws)
    if only is None or only in _OF_FLIGHT:
        found |= _of_throws(pitch, draws, _flown, _flight_measures)
    return found if only is None else {only: found[only]}


def measure_swings(pitch: JudgedPitch, draws: Draws, progress: Progress = lambda share: None) -> dict[str, Estimator]:
    """Measure what hitters do with versions of a pitch, or with a pitch where they have this or that in mind."""
    return _of_throws(pitch, draws, _faced, _swing_measures, progress)


# --- throws ---------------------------------------------------------------------------------------------------------
def _faced(pitch: JudgedPitch, normals: Array, noise: Array) -> tuple[Array, Flags]:
    return pitch.faced(normals, noise)


def _flown(pitch: JudgedPitch, normals: Array, noise: Array) -> tuple[Array, Flags]:
    return pitch.flown(normals)


def _of_throws(
    pitch: JudgedPitch,
    draws: Draws,
    ask: Asked,
    by_key: Callable[[Array, Array], dict[str, Array]],
    progress: Progress = lambda share: None,
) -> dict[str, Estimator]:
    """Estimators of what is a mean over throws, or made of such means."""
    minds, rows = (len(pitch.minds), len(SWING_ROWS)) if ask is _faced else (1, len(FLIGHT_ROWS))
    versions = pitch.columns * minds
    sums, counts = np.zeros((rows, draws.blocks, versions)), np.zeros((draws.blocks, versions))
    together = max(1, _TOGETHER // (draws.block * pitch.columns))
    done = 0

    def work(batches: Iterator[int]) -> None:
        nonlocal done
        for batch in batches:
            blocks = range(batch * together, min((batch + 1) * together, draws.blocks))
            normals = np.concatenate([draws.normals(block) for block in blocks], axis=1)
            noise = np.concatenate([pitch.noise(block, draws.size(block)) for block in blocks], axis=1)
            values, keep = ask(pitch, normals, noise)
            ends = np.cumsum([draws.size(block) for block in blocks])[:-1]
            parts = np.split(values, ends, axis=2), np.split(keep, ends, axis=1)
            for block, part, kept in zip(blocks, *parts, strict=True):
                sums[:, block], counts[block] = part.sum(axis=2), kept.sum(axis=1)
            done += keep.shape[1]
            progress(done / draws.throws)

    over_blocks(-(-draws.blocks // together), threads_for(draws.throws * versions), work)
    # block after block: along an axis, numpy adds up one version in another order than several
    total = sum(sums[:, block] for block in range(draws.blocks))
    value, blocks = by_key(np.asarray(total), counts.sum(axis=0)), by_key(sums, counts)
    members, usable = None, pitch.usable
    if pitch.ensemble:
        added = [_added_up(version, ask) for version in pitch.ensemble]
        count = np.concatenate([one[1].reshape(minds, -1) for one in added])
        sums_of_members = [one[0].reshape(rows, minds, -1) for one in added]
        members = by_key(np.concatenate(sums_of_members, axis=1), count)
        usable = usable & (count > 0)  # of a member in which no throw arrives nothing counts
    return {
        key: Estimator(
            value[key],
            blocks[key],
            _sizes(draws),
            None if members is None else members[key],
            usable,
            counts.sum(axis=0).astype(np.int64),
            -np.inf if key in _SIGNED else 0.0,
            _most(key),
        )
        for key in value
    }


def _added_up(version: JudgedPitch, ask: Asked) -> tuple[Array, Array]:
    """Sums of the rows (r, MEMBERS + 1) of a version under the ensemble, flown side by side, and how many are kept."""
    normals = Draws(version.setting.draws.seed, THROWS_PER_MEMBER * FEWEST_BLOCKS).normals(0)
    noise = version.noise(0, normals.shape[1])
    width = max(1, _TOGETHER // version.columns)  # the arrays of one mind at a time are in the cache
    sums, counts = 0.0, 0.0
    for first in range(0, normals.shape[1], width):
        checkpoint()
        some = slice(first, first + width)
        values, keep = ask(version, np.ascontiguousarray(normals[:, some]), np.ascontiguousarray(noise[:, some]))
        sums, counts = sums + values.sum(axis=2), counts + keep.sum(axis=1)
    return np.asarray(sums), np.asarray(counts)


def _means(rows: tuple[str, ...], sums: Array, counts: Array) -> dict[str, Array]:
    """Means by row from sums (r, ...) over throws; NaN where none was kept."""
    return dict(zip(rows, np.where(counts > 0, sums / np.maximum(counts, 1.0), np.nan), strict=True))


def _share(part: Array, whole: Array) -> Array:
    """Percent of a whole; of nothing there is no share."""
    share: Array = 100.0 * np.divide(part, whole, out=np.full_like(whole, np.nan), where=whole > 0.0)
    return share


def _flight_measures(sums: Array, counts: Array) -> dict[str, Array]:
    """Measures of flight in the units of their keys."""
    mean = _means(FLIGHT_ROWS, sums, counts)
    values = (
        mean["path_gap_at_100ms_angle"] / ARCMIN,
        mean["path_gap_at_100ms"] / INCH,
        mean["path_gap_at_commit_angle"] / ARCMIN,
        mean["path_gap_at_commit"] / INCH,
        mean["late_break"] / INCH,
        _share(mean["late_break"], mean["whole_break"]),
        mean["blind_break"] / INCH,
    )
    return dict(zip(_OF_FLIGHT, values, strict=True))


def _swing_measures(sums: Array, counts: Array) -> dict[str, Array]:
    """Measures of the hitter in the units of their keys; misses per swing are the mean over swings, not over throws."""
    mean = _means(SWING_ROWS, sums, counts)
    values = (
        100.0 * mean["swing"],
        100.0 * mean["zone"],
        _share(mean["chase"], 1.0 - mean["zone"]),
        100.0 * mean["called_strike"],
        100.0 * mean["swinging_strike"],
        100.0 * mean["ball"],
        100.0 * (mean["called_strike"] + mean["swinging_strike"]),
        _share(mean["swinging_strike"], mean["swing"]),
        _share(mean["clean"], mean["swing"]),
        100.0 * mean["belief_at_commit"],
        mean["vertical"] / INCH,
        mean["side"] / INCH,
        np.sqrt(mean["square"]) / INCH,
        mean["timing"] / MILLISECOND,
    )
    return dict(zip(_OF_SWING, values, strict=True))


# --- events ---------------------------------------------------------------------------------------------------------
def _events(pitch: JudgedPitch, draws: Draws) -> dict[str, Estimator]:
    """Medians over throws, of which one to which it never happens counts as at the plate."""
    few = Draws(draws.seed, min(draws.throws, _MOST_FOLLOWED))
    found = pitch.events(np.concatenate([few.normals(block) for block in range(few.blocks)], axis=1))
    ends = np.cumsum([few.size(block) for block in range(few.blocks)])[:-1]
    value = _centers(found)
    blocks = np.stack([_centers(block) for block in np.split(found, ends, axis=3)], axis=2)
    members = None
    if pitch.ensemble:
        normals = Draws(draws.seed, _FOLLOWED_PER_MEMBER * FEWEST_BLOCKS).normals(0)
        members = np.stack([_centers(one.events(normals, _SPACING_OF_MEMBERS)) for one in pitch.ensemble], axis=2)
    return {
        (key := f"{event}_{end}"): Estimator(
            value[which, row] / unit,
            blocks[which, row] / unit,
            _sizes(few),
            None if members is None else members[which, row] / unit,
            pitch.usable,
            np.full(pitch.columns, few.throws),
            most=_most(key),
        )
        for which, event in enumerate(EVENTS)
        for row, (end, unit) in enumerate(zip(_EVENT_KEYS, _EVENT_UNITS, strict=True))
    }


def _centers(events: Array) -> Array:
    """Middles of events (3, rows, m, n) over throws, (3, rows, m): of whether they happen the mean, else the median."""
    assert events.shape[1] == EVENT_ROWS
    return np.concatenate([np.median(events[:, :-1], axis=3), events[:, -1:].mean(axis=3)], axis=1)


def _most(key: str) -> float:
    """Largest value of a measure that there can be."""
    return 100.0 if key.endswith("_percent") else np.inf


def _sizes(draws: Draws) -> Array:
    """Throws of each block."""
    return np.array([draws.size(block) for block in range(draws.blocks)], dtype=np.float64)
