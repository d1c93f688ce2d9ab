"""Measures of a judged pitch: of its flights, of what the hitter makes of them, and of what happens on the way."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.blocks import over_blocks
from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.stopping import checkpoint
from latebreak.engine.units import FOOT, MILLISECOND
from latebreak.service.judging.batch import Batch, draw, draw_all
from latebreak.service.judging.estimates import Estimator
from latebreak.service.judging.from_sums import OF_FLIGHT, OF_SWING, flight_measures, swing_measures
from latebreak.service.judging.judged_pitch import EVENT_ROWS, EVENTS, FLIGHT_ROWS, SWING_ROWS, JudgedPitch
from latebreak.service.judging.setting import Progress, threads_for

Array = NDArray[np.float64]

_EVENT_KEYS = ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")
_EVENT_UNITS = np.array([FOOT, MILLISECOND, MILLISECOND, 0.01])
#: Keys of the measures of one pitch.
MEASURES = (*OF_SWING, *(f"{event}_{key}" for event in EVENTS for key in _EVENT_KEYS), *OF_FLIGHT)
#: In place of a key: all that hitters do with a pitch.
ALL_SWINGS = "swings"
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


class _Kind(NamedTuple):
    """What is a mean over throws, or made of such means: who adds up which rows, and the measures they make."""

    ask: Callable[[JudgedPitch, Batch], tuple[Array, Array]]
    rows: tuple[str, ...]
    measures: Callable[[Array, Array], dict[str, Array]]


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
    return measure_pitches([(pitch, only)], draws, progress)[0]


def measure_pitches(
    pitches: Sequence[tuple[JudgedPitch, str | None]], draws: Draws, progress: Progress = lambda share: None
) -> list[dict[str, Estimator]]:
    """Measure pitches on common throws, each of which is flown once.

    Parameters
    ----------
    pitches : sequence of (JudgedPitch, str or None)
        What is measured, and the one measure that is wanted of it: None for all, `ALL_SWINGS` for all that hitters do
        with it.
    draws, progress
        As of `measure_pitch`.

    Returns
    -------
    list of dict of str to Estimator
        As `measure_pitch` gives them.
    """
    found = _of_throws([(pitch, _kinds(only)) for pitch, only in pitches], draws, progress)
    followed = [number for number, (_, only) in enumerate(pitches) if only is None or only.startswith(EVENTS)]

    def follow(numbers: Iterator[int]) -> None:
        for number in numbers:
            found[followed[number]] |= _events(pitches[followed[number]][0], draws)

    if followed:
        members = sum(version.columns for number in followed for version in pitches[number][0].ensemble)
        over_blocks(len(followed), threads_for(_FOLLOWED_PER_MEMBER * members * len(EVENTS)), follow)
    return [
        {key: one[key] for key in MEASURES if key in one and only in (None, ALL_SWINGS, key)}
        for one, (_, only) in zip(found, pitches, strict=True)
    ]


def _kinds(only: str | None) -> tuple[_Kind, ...]:
    swings, flights = only in (None, ALL_SWINGS, *OF_SWING), only in (None, *OF_FLIGHT)
    return (_SWINGS,) * swings + (_FLIGHTS,) * flights


def measure_swings(pitch: JudgedPitch, draws: Draws) -> dict[str, Estimator]:
    """Measure what hitters do with versions of a pitch, or with a pitch where they have this or that in mind."""
    return measure_pitch(pitch, draws, ALL_SWINGS)


# --- throws ---------------------------------------------------------------------------------------------------------
#: Pitches, and what is asked of each.
_Asked = Sequence[tuple[JudgedPitch, tuple[_Kind, ...]]]
#: Numbers of some blocks, and who draws them.
_Part = tuple[slice, Callable[[], Batch]]


def _of_throws(asked: _Asked, draws: Draws, progress: Progress) -> list[dict[str, Estimator]]:
    """Estimators of what is a mean over throws, or made of such means, pitch by pitch."""
    columns = [pitch.columns for pitch, kinds in asked for _ in kinds]
    if not columns:
        return [{} for _ in asked]
    step = max(1, _TOGETHER // (draws.block * max(columns)))
    parts = [
        (slice(k, min(k + step, draws.blocks)), partial(_some, draws, k, step)) for k in range(0, draws.blocks, step)
    ]
    own = iter(_added_up(asked, parts, threads_for(draws.throws * sum(columns)), progress))
    members = iter(_of_members([(version, kinds) for pitch, kinds in asked for version in pitch.ensemble], draws.seed))
    result = []
    for pitch, kinds in asked:
        each = [[next(members) for _ in kinds] for _ in pitch.ensemble]
        found: dict[str, Estimator] = {}
        for number, kind in enumerate(kinds):
            sums, counts = next(own)
            found |= _estimators(pitch, kind, draws, sums, counts, [version[number] for version in each])
        result.append(found)
    return result


def _some(draws: Draws, first: int, count: int) -> Batch:
    return draw(draws, range(first, min(first + count, draws.blocks)))


def _of_members(versions: _Asked, seed: int) -> list[tuple[Array, Array]]:
    """Sums (r, h (MEMBERS + 1)) over throws of versions under the ensemble, flown side by side, and how many count."""
    if not versions:
        return []
    every = draw(Draws(seed, THROWS_PER_MEMBER * FEWEST_BLOCKS), [0])
    width = max(1, round(_TOGETHER / versions[0][0].columns))  # the arrays of one mind at a time are in the cache
    firsts = range(0, THROWS_PER_MEMBER, width)
    parts = [(slice(k, k + 1), partial(every.part, first, first + width)) for k, first in enumerate(firsts)]
    throws = THROWS_PER_MEMBER * sum(version.columns for version, _ in versions)
    added = _added_up(versions, parts, threads_for(throws))
    return [(_in_order(sums), _in_order(counts)) for sums, counts in added]


def _added_up(
    asked: _Asked, parts: Sequence[_Part], threads: int, progress: Progress = lambda share: None
) -> list[tuple[Array, Array]]:
    """Sums (r, m, k) over k blocks of throws, and how many count, (m, k), for each kind of each pitch."""
    blocks, done = parts[-1][0].stop, 0
    each = [(pitch, kind) for pitch, kinds in asked for kind in kinds]
    versions = [pitch.columns * (len(pitch.minds) if kind is _SWINGS else 1) for pitch, kind in each]
    found = [
        (np.zeros((len(kind.rows), m, blocks)), np.zeros((m, blocks)))
        for m, (_, kind) in zip(versions, each, strict=True)
    ]

    def work(numbers: Iterator[int]) -> None:
        nonlocal done
        for number in numbers:
            some, drawn = parts[number]
            batch = drawn()
            for (pitch, kind), (sums, counts) in zip(each, found, strict=True):
                checkpoint()
                sums[:, :, some], counts[:, some] = kind.ask(pitch, batch)
            done += 1
            progress(done / len(parts))

    over_blocks(len(parts), threads, work)
    return found


def _in_order(values: Array) -> Array:
    """Sum over the last axis, one after the other: numpy adds up one version in another order than several."""
    return np.asarray(sum(values[..., block] for block in range(values.shape[-1])))


def _estimators(
    pitch: JudgedPitch, kind: _Kind, draws: Draws, sums: Array, counts: Array, added: Sequence[tuple[Array, Array]]
) -> dict[str, Estimator]:
    """Estimators from sums over blocks of throws, and over all throws of each member of the ensemble."""
    value = kind.measures(_in_order(sums), _in_order(counts))
    blocks = kind.measures(sums.swapaxes(1, 2), counts.T)
    members, usable, minds = None, pitch.usable, counts.shape[0] // pitch.columns
    if added:
        count = np.concatenate([one[1].reshape(minds, -1) for one in added])
        sums_of_members = [one[0].reshape(len(kind.rows), minds, -1) for one in added]
        members = kind.measures(np.concatenate(sums_of_members, axis=1), count)
        usable = usable & (count > 0)  # of a member in which no throw arrives nothing counts
    return {
        key: Estimator(
            value[key],
            blocks[key],
            _sizes(draws),
            None if members is None else members[key],
            usable,
            counts.sum(axis=1).astype(np.int64),
            -np.inf if key in _SIGNED else 0.0,
            _most(key),
        )
        for key in value
    }


_SWINGS = _Kind(JudgedPitch.faced, SWING_ROWS, swing_measures)
_FLIGHTS = _Kind(JudgedPitch.flown, FLIGHT_ROWS, flight_measures)


# --- events ---------------------------------------------------------------------------------------------------------
def _events(pitch: JudgedPitch, draws: Draws) -> dict[str, Estimator]:
    """Medians over throws, of which one to which it never happens counts as at the plate."""
    few = Draws(draws.seed, min(draws.throws, _MOST_FOLLOWED))
    batch = draw_all(few)
    found = pitch.events(batch)
    value = _centers(found)
    blocks = np.stack([_centers(block) for block in np.split(found, batch.ends[:-1], axis=3)], axis=2)
    members = None
    if pitch.ensemble:
        batch = draw(Draws(draws.seed, _FOLLOWED_PER_MEMBER * FEWEST_BLOCKS), [0])
        members = np.stack([_centers(one.events(batch, _SPACING_OF_MEMBERS)) for one in pitch.ensemble], axis=2)
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
