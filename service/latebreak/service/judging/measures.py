"""Measures of a judged pitch: of its throws, of events on the way, and of its line beside the fastball's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.blocks import over_blocks
from latebreak.engine.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import ARCMIN, FOOT, INCH, MILLISECOND
from latebreak.service.judging.estimates import Estimator
from latebreak.service.judging.judged_pitch import EVENT_ROWS, FLIGHT_ROWS, SWING_ROWS, JudgedPitch
from latebreak.service.judging.setting import Progress, threads_for

Array = NDArray[np.float64]

#: Measures that come from one piece of work, by the start of their keys; all others come from the throws.
SEPARATION, EVENTS = ("same_line_separation",), ("recognition", "break_onset")
_EVENT_KEYS = ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")
_EVENT_UNITS = np.array([FOOT, MILLISECOND, MILLISECOND, 0.01])
#: Measures that only flying tells, then those of the swing.
_OF_FLIGHT = (
    "path_gap_at_100ms_arcmin",
    "path_gap_at_100ms_in",
    "path_gap_at_commit_arcmin",
    "path_gap_at_commit_in",
    "late_break_in",
    "late_break_share_percent",
)
_OF_SWING = (
    "belief_at_commit_percent",
    "arrival_surprise_vertical_in",
    "arrival_surprise_side_in",
    "arrival_surprise_rms_in",
    "timing_surprise_ms",
    "miss_chance_percent",
    "clean_contact_percent",
)
#: Keys of all measures.
MEASURES = (*(f"{event}_{key}" for event in SEPARATION + EVENTS for key in _EVENT_KEYS), *_OF_FLIGHT, *_OF_SWING)
_SIGNED = ("arrival_surprise_vertical_in", "arrival_surprise_side_in", "timing_surprise_ms")
_CHANCES = (
    "recognition_reached_percent",
    "break_onset_reached_percent",
    "belief_at_commit_percent",
    "miss_chance_percent",
    "clean_contact_percent",
)

#: Throws of each member of the ensemble (chosen: only shifts between members count, and the throws are common).
THROWS_PER_MEMBER = 500
#: Throws times versions that are flown at a time: blocks that are smaller are flown together (chosen: the arrays then
#: stay in the second-level cache; larger ones were not faster).
_TOGETHER = 4096
#: Most throws whose looks are drawn one by one (chosen: their median has a sampling error of 6 % of the scatter), and
#: throws of each member, which are asked less often: there only shifts count.
_MOST_LOOKED_AT, _LOOKED_AT_PER_MEMBER = 512, 40
_SPACING_OF_MEMBERS = 0.040  # s


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
        By key.
    """
    found: dict[str, Estimator] = {}
    if only is None or only.startswith(SEPARATION):
        found |= _separation(pitch)
    if only is None or only.startswith(EVENTS):
        found |= _events(pitch, draws)
    if only is None or only in _OF_FLIGHT + _OF_SWING:
        of_throws, arrived = _throws(pitch, draws, only, progress)
        # of a member in which no throw arrives nothing counts
        found = {key: replace(one, usable=one.usable & arrived) for key, one in (found | of_throws).items()}
    return found if only is None else {only: found[only]}


# --- throws ---------------------------------------------------------------------------------------------------------
def _throws(
    pitch: JudgedPitch, draws: Draws, only: str | None, progress: Progress
) -> tuple[dict[str, Estimator], NDArray[np.bool_]]:
    """Means over throws, and in which members any throw of a version arrives: (v, MEMBERS + 1), or (v, 1)."""
    versions = pitch.columns
    sums = np.zeros((len(FLIGHT_ROWS) + len(SWING_ROWS), draws.blocks, versions))
    counts = np.zeros((draws.blocks, versions))
    together = max(1, _TOGETHER // (draws.block * versions))
    done = 0

    def work(batches: Iterator[int]) -> None:
        nonlocal done
        for batch in batches:
            blocks = range(batch * together, min((batch + 1) * together, draws.blocks))
            normals = np.concatenate([draws.normals(block) for block in blocks], axis=1)
            noise = np.concatenate([pitch.noise(block, draws.size(block)) for block in blocks], axis=1)
            values, keep = pitch.throws(normals, noise, flight=only not in _OF_SWING, swing=only not in _OF_FLIGHT)
            ends = np.cumsum([draws.size(block) for block in blocks])[:-1]
            for block, part, kept in zip(blocks, np.split(values, ends, axis=1), np.split(keep, ends), strict=True):
                sums[:, block], counts[block] = part.sum(axis=1), kept.sum(axis=0)
            done += keep.shape[0]
            progress(done / draws.throws)

    over_blocks(-(-draws.blocks // together), threads_for(draws.throws * versions), work)
    value, blocks = _by_key(sums.sum(axis=1), counts.sum(axis=0)), _by_key(sums, counts)
    members, arrived = None, np.ones((versions, 1), dtype=bool)
    if pitch.ensemble:
        added = [_added_up(version, only) for version in pitch.ensemble]
        count = np.stack([one[1] for one in added])
        members, arrived = _by_key(np.stack([one[0] for one in added], axis=1), count), count > 0
    estimators = {
        key: Estimator(
            value[key],
            blocks[key],
            _sizes(draws),
            None if members is None else members[key],
            pitch.usable,
            counts.sum(axis=0).astype(np.int64),
            -np.inf if key in _SIGNED else 0.0,
            100.0 if key in _CHANCES else np.inf,
        )
        for key in value
    }
    return estimators, arrived


def _added_up(version: JudgedPitch, only: str | None) -> tuple[Array, Array]:
    """Sums of the rows (13, MEMBERS + 1) of a version under the ensemble, flown side by side, and how many arrived."""
    normals = Draws(version.setting.draws.seed, THROWS_PER_MEMBER * FEWEST_BLOCKS).normals(0)
    noise = version.noise(0, normals.shape[1])
    sums = np.zeros((len(FLIGHT_ROWS) + len(SWING_ROWS), version.columns))
    counts = np.zeros(version.columns)
    width = max(1, _TOGETHER // version.columns)
    for first in range(0, normals.shape[1], width):
        checkpoint()
        some = np.ascontiguousarray(normals[:, first : first + width]), noise[:, first : first + width]
        values, keep = version.throws(*some, flight=only not in _OF_SWING, swing=only not in _OF_FLIGHT)
        sums += values.sum(axis=1)
        counts += keep.sum(axis=0)
    return sums, counts


def _by_key(sums: Array, counts: Array) -> dict[str, Array]:
    """Measures in the units of their keys, from sums (13, ...) over throws in SI units; NaN where none arrived."""
    means = np.where(counts > 0, sums / np.maximum(counts, 1.0), np.nan)
    mean = dict(zip(FLIGHT_ROWS + SWING_ROWS, means, strict=True))
    late, whole = mean["late_break"], mean["whole_break"]
    share = np.divide(late, whole, out=np.full_like(whole, np.nan), where=whole > 0.0)  # of no break: none
    values = (
        mean["path_gap_at_100ms_angle"] / ARCMIN,
        mean["path_gap_at_100ms"] / INCH,
        mean["path_gap_at_commit_angle"] / ARCMIN,
        mean["path_gap_at_commit"] / INCH,
        late / INCH,
        100.0 * share,
        100.0 * mean["belief_at_commit"],
        mean["vertical"] / INCH,
        mean["side"] / INCH,
        np.sqrt(mean["square"]) / INCH,
        mean["timing"] / MILLISECOND,
        100.0 * (1.0 - mean["contact"]),
        100.0 * mean["clean"],
    )
    return dict(zip(_OF_FLIGHT + _OF_SWING, values, strict=True))


# --- events ---------------------------------------------------------------------------------------------------------
def _events(pitch: JudgedPitch, draws: Draws) -> dict[str, Estimator]:
    """Recognition and break onset: medians over throws, of which one that never happens counts as at the plate."""
    few = Draws(draws.seed, min(draws.throws, _MOST_LOOKED_AT))
    found = pitch.events(np.concatenate([few.normals(block) for block in range(few.blocks)], axis=1))
    ends = np.cumsum([few.size(block) for block in range(few.blocks)])[:-1]
    blocks = np.stack([_centers(block) for block in np.split(found, ends, axis=2)], axis=2)
    members = None
    if pitch.ensemble:
        normals = Draws(draws.seed, _LOOKED_AT_PER_MEMBER * FEWEST_BLOCKS).normals(0)
        members = np.stack([_centers(one.events(normals, _SPACING_OF_MEMBERS)) for one in pitch.ensemble], axis=2)
    return _of_events(pitch, EVENTS, _centers(found), blocks, _sizes(few), members, few.throws)


def _separation(pitch: JudgedPitch) -> dict[str, Estimator]:
    """Same-line separation: one value per pitch, so nothing is sampled."""
    members = np.stack([one.separation() for one in pitch.ensemble], axis=1)[None] if pitch.ensemble else None
    nothing = np.empty((1, EVENT_ROWS, 0, pitch.columns))
    return _of_events(pitch, SEPARATION, pitch.separation()[None], nothing, np.empty(0), members, 0)


def _of_events(
    pitch: JudgedPitch,
    events: tuple[str, ...],
    value: Array,
    blocks: Array,
    weights: Array,
    members: Array | None,
    throws: int,
) -> dict[str, Estimator]:
    """Estimators of events, in the units of their keys, from value (events, rows, v), blocks and members of them."""
    return {
        (key := f"{event}_{end}"): Estimator(
            value[which, row] / unit,
            blocks[which, row] / unit,
            weights,
            None if members is None else members[which, row] / unit,
            pitch.usable,
            np.full(pitch.columns, throws),
            most=100.0 if key in _CHANCES else np.inf,
        )
        for which, event in enumerate(events)
        for row, (end, unit) in enumerate(zip(_EVENT_KEYS, _EVENT_UNITS, strict=True))
    }


def _centers(events: Array) -> Array:
    """Middles of events (2, rows, n, m) over throws, (2, rows, m): of whether they happen the mean, else the median."""
    return np.concatenate([np.median(events[:, :-1], axis=2), events[:, -1:].mean(axis=2)], axis=1)


def _sizes(draws: Draws) -> Array:
    """Throws of each block."""
    return np.array([draws.size(block) for block in range(draws.blocks)], dtype=np.float64)
