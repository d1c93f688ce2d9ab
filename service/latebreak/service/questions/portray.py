"""The question how pitches look: to the hitter, from the side, from above, and at the plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import MeanPitches
from latebreak.engine.draws import Draws
from latebreak.engine.flight import Flight
from latebreak.engine.kernel import AT_TIME, AT_X, AT_Z, Y
from latebreak.engine.outcome import has_arrived, outcomes
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND
from latebreak.perception.separation import same_line
from latebreak.perception.sight import angular_size
from latebreak.perception.unfolding import unfold
from latebreak.perception.view import HEIGHT_AT_PLATE, SIDE_AT_PLATE, TIME
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.chance import generator
from latebreak.service.questions.contest import Contest
from latebreak.service.questions.lineup import Lineup, line_up
from latebreak.service.questions.portrait import Belief, Expectation, Portrait, PortraitResult, Spread, Track, Zone
from latebreak.service.questions.setting import Source, one_blas_thread, settle
from latebreak.service.scenario.cautions import cautions

Array = NDArray[np.float64]

#: s between the points of a track (chosen: a quarter of a picture at 60 pictures a second).
_STEP = 0.004
#: Throws behind spreads, belief and expectation, and throws that are drawn as points (chosen).
_THROWS, _POINTS = 512, 300
#: Places along the way at which a spread is told.
_PLACES = 17
_BAND = (5.0, 95.0)  # percent of the throws
#: Strike zone as it is drawn: 17 in wide (Official Baseball Rules; value from memory), and from the knees to below the
#: shoulders of somebody whose eyes are at this height in the stance (shares chosen: 1.6 to 3.5 ft for 5.1 ft).
_ZONE_HALF_WIDTH, _ZONE_SHARES = 17.0 / 24.0, (0.31, 0.68)


def portray(
    source: Source, *, pitches: Sequence[str] | None = None, seed: int | None = None, throws: int | None = None
) -> Answer[PortraitResult]:
    """Make pitches ready to be drawn beside the reference fastball.

    Parameters
    ----------
    source : Scenario, Loaded, str or Path
        A scenario, or the path or ready name of one.
    pitches : sequence of str, optional
        Names of the pitches; default: those that `compare` compares.
    seed, throws : int, optional
        In place of the scenario's own; at most 512 throws are looked at.

    Returns
    -------
    Answer of PortraitResult
        Mean paths and spreads, and what the hitter sees, believes and expects.

    Raises
    ------
    InputError
        If the scenario or a name is at fault, or there is no fastball.
    ScenarioFileError
        If there is no such scenario.
    """
    with one_blas_thread():
        return portrayed(line_up(settle(source, seed, throws), "compare", pitches, intervals=False))


def portrayed(lineup: Lineup) -> Answer[PortraitResult]:
    """Make the pitches of a lineup ready to be drawn."""
    facing = replace(lineup.matchup, unknowns=None)  # a picture shows the scenario's own values
    scenario, draws = facing.setting.scenario, facing.setting.draws
    few = Draws(draws.seed, min(draws.throws, _THROWS))
    normals = np.concatenate([few.normals(block) for block in range(few.blocks)], axis=1)
    side, y, height = facing.hitter.eye.place / FOOT
    plate = facing.bundles[facing.fastball].flight.plate / FOOT
    low, high = (share * float(height) for share in _ZONE_SHARES)
    result = PortraitResult(
        scenario.called(facing.fastball),
        scenario.pitcher.hand,
        scenario.hitter.bats,
        (float(side), float(height), float(plate - y)),
        Zone(-_ZONE_HALF_WIDTH, _ZONE_HALF_WIDTH, low, high),
        {name: _portrait(facing.contests(name).own, normals, draws.seed) for name in lineup.names},
    )
    return Answer(
        "portray",
        scenario.title,
        scenario.seed,
        scenario.throws,
        lineup.warnings,
        cautions(scenario.pitcher, proposes_more=False),
        result,
    )


def _portrait(contest: Contest, normals: Array, seed: int) -> Portrait:
    facing, e = contest.facing, contest.ready.encounter
    (pitch, bundle), (fastball, other) = (
        (facing.pitches[who], facing.bundles[who]) for who in (contest.name, contest.fastball)
    )
    eye, radius = facing.hitter.eye.place, facing.setting.conditions.ball.radius
    seen = unfold(facing.model, contest.ready, normals, generator(seed, "portrait"))
    called, belief = facing.setting.scenario.called, 100.0 * seen.belief
    low, high = np.percentile(belief, _BAND, axis=0)
    spread, arrivals = _spread(bundle.flight, bundle.releases(normals), radius)
    other_spread, other_arrivals = _spread(other.flight, other.releases(normals), radius)
    return Portrait(
        called(contest.name),
        called(contest.fastball),
        _track(pitch, bundle.flight, eye, radius),
        _track(fastball, other.flight, eye, radius),
        _track(same_line(pitch, fastball), other.flight, eye, radius),
        spread,
        other_spread,
        float(e.arrival[0, 0] - e.commit_before_arrival) / MILLISECOND,
        Belief(seen.time / MILLISECOND, tuple(map(called, e.names)), belief.mean(axis=0).T, low.T, high.T),
        _expectation(seen.time, e.arrival[0], seen.error),
        arrivals,
        other_arrivals,
    )


def _track(mean: MeanPitches, flight: Flight, eye: Array, radius: float) -> Track:
    paths = flight.paths(mean.releases())
    arrival = float(paths.arrivals[AT_TIME, 0])
    # a point so near the arrival that it adds nothing is left out
    times = np.append(np.arange(0.0, arrival - 0.25 * _STEP, _STEP), arrival)
    place = paths.at(times[:, None])[:, :3, 0]
    right, ahead, up = (place - eye).T
    return Track(
        times / MILLISECOND,
        (place[:, 1] - flight.plate) / FOOT,
        place[:, 0] / FOOT,
        place[:, 2] / FOOT,
        np.arctan2(right, ahead) / DEGREE,
        np.arctan2(up, np.hypot(right, ahead)) / DEGREE,
        0.5 * angular_size(place, eye, radius) / DEGREE,
    )


def _spread(flight: Flight, releases: Array, radius: float) -> tuple[Spread, Array]:
    """Where the throws that arrive pass, and the arrivals (k, 2) of some of them, ft."""
    steps = -(-flight.steps // (_PLACES - 1)) * (_PLACES - 1)
    nodes = flight.paths(releases, steps).nodes[:: steps // (_PLACES - 1)]
    kept = has_arrived(outcomes(releases, nodes[-1], radius))
    if not kept.any():
        nothing = np.empty(0)
        return Spread(nothing, nothing, nothing, nothing, nothing), np.empty((0, 2))
    side, height = nodes[:, AT_X][:, kept] / FOOT, nodes[:, AT_Z][:, kept] / FOOT
    (side_low, side_high), (height_low, height_high) = (np.percentile(one, _BAND, axis=1) for one in (side, height))
    away = (releases[Y, kept].mean() - flight.plate) / FOOT * np.linspace(1.0, 0.0, _PLACES)
    arrivals = np.stack([side[-1], height[-1]], axis=1)[:_POINTS]
    return Spread(away, side_low, side_high, height_low, height_high), arrivals


def _expectation(time: Array, arrival: Array, error: Array) -> Expectation:
    """Expected arrival: the mean pitch's own, less the error (n, C, 3) of the forecast."""
    expected = arrival - error
    low, high = np.percentile(expected, _BAND, axis=0) / FOOT
    mean = expected.mean(axis=0)
    side, height = ((mean[:, row] / FOOT, low[:, row], high[:, row]) for row in (SIDE_AT_PLATE, HEIGHT_AT_PLATE))
    return Expectation(time / MILLISECOND, *side, *height, mean[:, TIME] / MILLISECOND)
