"""Moments: a pitch separates from the fastball's line, is recognised, and its break appears."""

from __future__ import annotations

from functools import lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.pitch import LEVERS
from latebreak.engine.units import FOOT, MILLISECOND
from latebreak.perception.events import moments
from latebreak.perception.separation import Separation, same_line, same_line_separation
from latebreak.perception.view import LOOK, view
from latebreak.service.questions.chance import generator
from latebreak.service.questions.contest import Contest, Contests
from latebreak.service.questions.samples import Sample

Array = NDArray[np.float64]

#: How the keys of an event end.
OF_EVENTS = ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")
_EVENT_KEYS = tuple(f"{event}_{key}" for event in ("recognition", "break_onset") for key in OF_EVENTS)
_SHARES = [row for row, key in enumerate(_EVENT_KEYS) if key.endswith("_percent")]
_OTHERS = [row for row in range(len(_EVENT_KEYS)) if row not in _SHARES]
#: Most throws whose looks are drawn one by one (chosen: their median has a sampling error of 6 % of the scatter), and
#: throws of each draw of what is not known, which are asked less often: there only shifts count.
_MOST_THROWS = 512
_THROWS_PER_DRAW = 40
_DRAWN_SPACING = 0.040  # s
_LOOKS_AT_A_TIME = 8  # drawn, so that pitches of nearly the same view share their draws


def separation_samples(contests: Contests) -> dict[str, Sample]:
    """Same-line separation: one value per pitch, so nothing is sampled."""
    own = _separation(contests.own)
    drawn = None if contests.drawn is None else [_separation(contest) for contest in contests.drawn]
    versions, nothing = contests.usable.shape[0], np.empty(0)
    return {
        key: Sample(
            values,
            np.empty((0, versions)),
            nothing,
            None if drawn is None else np.stack([one[key] for one in drawn]),
        )
        for key, values in own.items()
    }


def event_samples(contests: Contests, draws: Draws) -> dict[str, Sample]:
    """Recognition and break onset: medians over throws, of which one that never happens counts as at the plate."""
    throws = min(draws.throws, _MOST_THROWS)
    blocks = Draws(draws.seed, throws)
    normals = np.concatenate([blocks.normals(block) for block in range(blocks.blocks)], axis=1)
    found = _events(contests.own, normals, LOOK)
    over_draws = None
    if contests.drawn is not None:
        few = Draws(draws.seed, _THROWS_PER_DRAW * FEWEST_BLOCKS).normals(0)
        over_draws = np.stack([_centers(_events(contest, few, _DRAWN_SPACING)) for contest in contests.drawn], axis=1)
    weights = np.array([blocks.size(block) for block in range(blocks.blocks)], dtype=np.float64)
    whole = throws // blocks.block * blocks.block
    equal = found[:, :whole].reshape(len(found), -1, blocks.block, found.shape[2])  # the last block may hold fewer
    rest = [_centers(found[:, whole:])[:, None]] if whole < throws else []
    values, parts = _centers(found), np.concatenate([_centers(equal), *rest], axis=1)
    return {
        key: Sample(
            values[row],
            parts[row],
            weights,
            None if over_draws is None else over_draws[row],
            most=100.0 if row in _SHARES else np.inf,
        )
        for row, key in enumerate(_EVENT_KEYS)
    }


def _centers(events: Array) -> Array:
    """Middles of rows of events (8, ..., n, m) over throws: (8, ..., m); means of shares, medians of all else."""
    centers = np.empty((*events.shape[:-2], events.shape[-1]))
    centers[_SHARES], centers[_OTHERS] = events[_SHARES].mean(axis=-2), np.median(events[_OTHERS], axis=-2)
    return centers


def _separation(contest: Contest) -> dict[str, Array]:
    """Every key of the same-line separation: arrays of shape (m,)."""
    facing, traits = contest.facing, contest.ready.encounter.traits
    pitch, fastball = (facing.pitches[who] for who in (contest.name, contest.fastball))
    bundle, other = (facing.bundles[who] for who in (contest.name, contest.fastball))
    found: Separation = same_line_separation(
        pitch, bundle.flight, fastball, other.flight, bundle.factor, facing.hitter.eye.place, traits
    )
    return {
        "same_line_separation_ft": found.distance / FOOT,
        "same_line_separation_after_release_ms": found.after_release / MILLISECOND,
        "same_line_separation_before_arrival_ms": found.before_arrival / MILLISECOND,
        "same_line_separation_reached_percent": np.where(found.reached, 100.0, 0.0),
    }


def _events(contest: Contest, normals: Array, spacing: float) -> Array:
    """Events of n throws under m sets of parameters, rows as `_EVENT_KEYS`: (8, n, m)."""
    e, facing = contest.ready.encounter, contest.facing
    line = same_line(facing.pitches[contest.name], facing.pitches[contest.fastball])
    place = view(line, facing.bundles[contest.fastball].flight, e.looks, ()).place
    noise = partial(_look_noise, facing.setting.draws.seed, normals.shape[1])
    radius = facing.setting.conditions.ball.radius
    plate = facing.bundles[contest.name].flight.plate
    rows = []
    for event in moments(e, place, radius, normals[: len(LEVERS)], noise, spacing):
        time = np.where(event.reached, event.time, e.arrival[:, 0])
        rows += [
            np.where(event.reached, _distance(e.looks, e.place[..., 1], time) - plate, 0.0) / FOOT,
            time / MILLISECOND,
            (e.arrival[:, 0] - time) / MILLISECOND,
            np.where(event.reached, 100.0, 0.0),
        ]
    return np.stack(rows)


def _look_noise(seed: int, throws: int, looks: int) -> Array:
    """Noise of the first looks of throws, (3 looks, 2, n): drawn look by look, so that a longer view adds to it."""
    return _noise_of_looks(seed, throws, -(-looks // _LOOKS_AT_A_TIME) * _LOOKS_AT_A_TIME)[: 3 * looks]


@lru_cache(maxsize=4)
def _noise_of_looks(seed: int, throws: int, looks: int) -> Array:
    """Draw noise; kept, as the points of a seed are, because all pitches of a question share it."""
    return generator(seed, "looks").standard_normal((3 * looks, 2, throws))


def _distance(looks: Array, y: Array, time: Array) -> Array:
    """Distance coordinate of the mean paths (m, K) at times (n, m)."""
    columns = [np.interp(time[:, j], looks, y[j]) for j in range(y.shape[0])]
    return np.stack(columns, axis=1)
