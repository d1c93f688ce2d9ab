"""Moments: a pitch separates from the fastball's line, is recognised, and its break appears."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.draws import FEWEST_BLOCKS, Draws
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
#: Most throws whose looks are drawn one by one (chosen: their median has a sampling error of 6 % of the scatter), and
#: throws of each draw of what is not known, which are asked less often: there only shifts count.
_MOST_THROWS = 512
_THROWS_PER_DRAW = 40
_DRAWN_SPACING = 0.040  # s


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
        over_draws = [_events(contest, few, _DRAWN_SPACING) for contest in contests.drawn]
    weights = np.array([blocks.size(block) for block in range(blocks.blocks)], dtype=np.float64)
    result = {}
    for key, values in found.items():
        share = key.endswith("_percent")
        center = np.mean if share else np.median
        parts = [center(values[first : first + blocks.block], axis=0) for first in range(0, throws, blocks.block)]
        result[key] = Sample(
            center(values, axis=0),
            np.stack(parts),
            weights,
            None if over_draws is None else np.stack([center(one[key], axis=0) for one in over_draws]),
            most=100.0 if share else np.inf,
        )
    return result


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


def _events(contest: Contest, normals: Array, spacing: float) -> dict[str, Array]:
    """Every key of the events for n throws under m sets of parameters: arrays of shape (n, m)."""
    e, facing = contest.ready.encounter, contest.facing
    line = same_line(facing.pitches[contest.name], facing.pitches[contest.fastball])
    place = view(line, facing.bundles[contest.fastball].flight, e.looks, ()).place
    noise = generator(facing.setting.draws.seed, "looks")
    radius = facing.setting.conditions.ball.radius
    recognition, onset = moments(e, place, radius, normals, noise, spacing)
    plate = facing.bundles[contest.name].flight.plate
    result = {}
    for name, event in (("recognition", recognition), ("break_onset", onset)):
        time = np.where(event.reached, event.time, e.arrival[:, 0])
        result[f"{name}_ft"] = np.where(event.reached, _distance(e.looks, e.place[..., 1], time) - plate, 0.0) / FOOT
        result[f"{name}_after_release_ms"] = time / MILLISECOND
        result[f"{name}_before_arrival_ms"] = (e.arrival[:, 0] - time) / MILLISECOND
        result[f"{name}_reached_percent"] = np.where(event.reached, 100.0, 0.0)
    return result


def _distance(looks: Array, y: Array, time: Array) -> Array:
    """Distance coordinate of the mean paths (m, K) at times (n, m)."""
    columns = [np.interp(time[:, j], looks, y[j]) for j in range(y.shape[0])]
    return np.stack(columns, axis=1)
