"""The question how pitches look: to the hitter, from the side, from above, and at the plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.flying import Flight
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, Y
from latebreak.engine.flight.outcome import has_arrived, outcomes
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.engine.units import DEGREE, FOOT, MILLISECOND
from latebreak.service.judging.batch import Batch, draw_all
from latebreak.service.judging.judged_pitch import JudgedPitch
from latebreak.service.judging.lineup import Lineup, line_up
from latebreak.service.judging.setting import one_blas_thread, settle
from latebreak.service.questions.answer import Answer, answer_to
from latebreak.service.questions.portrait import Belief, Expectation, Portrait, PortraitResult, Spread, Track, Zone
from latebreak.service.scenario import Source

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
        return portray_lineup(line_up(settle(source, seed, throws), "compare", pitches, intervals=False))


def portray_lineup(lineup: Lineup) -> Answer[PortraitResult]:
    """Make the pitches of a lineup ready to be drawn."""
    sure = replace(lineup, ensemble=None)  # a picture shows the scenario's own values
    scenario, draws = lineup.setting.scenario, lineup.setting.draws
    few = Draws(draws.seed, min(draws.throws, _THROWS))
    batch = draw_all(few)
    side, y, height = lineup.hitter.eye.place / FOOT
    plate = lineup.bundles[lineup.fastball].flight.plate / FOOT
    low, high = (share * float(height) for share in _ZONE_SHARES)
    result = PortraitResult(
        scenario.called(lineup.fastball),
        scenario.pitcher.hand,
        scenario.hitter.bats,
        (float(side), float(height), float(plate - y)),
        Zone(-_ZONE_HALF_WIDTH, _ZONE_HALF_WIDTH, low, high),
        {name: _portrait(sure.judge(name), batch) for name in lineup.compared},
    )
    return answer_to(
        "portray",
        scenario,
        lineup.warnings,
        result,
    )


def _portrait(pitch: JudgedPitch, batch: Batch) -> Portrait:
    own, other = pitch.bundles[pitch.name], pitch.bundles[pitch.fastball]
    radius = pitch.setting.conditions.ball.radius
    time, types, belief = pitch.belief(batch)
    called = pitch.setting.scenario.called
    low, high = np.percentile(100.0 * belief, _BAND, axis=0)
    spread, arrivals = _spread(own.flight, own.releases(batch.normals), radius)
    other_spread, other_arrivals = _spread(other.flight, other.releases(batch.normals), radius)
    thrown = _track(pitch, own.mean, own.flight)
    return Portrait(
        called(pitch.name),
        called(pitch.fastball),
        thrown,
        _track(pitch, other.mean, other.flight),
        spread,
        other_spread,
        pitch.last_look / MILLISECOND,
        (pitch.last_look + pitch.latency) / MILLISECOND,
        Belief(time / MILLISECOND, tuple(map(called, types)), 100.0 * belief.mean(axis=0).T, low.T, high.T),
        _expectation(pitch.misjudgement(batch), thrown),
        arrivals,
        other_arrivals,
    )


def _track(pitch: JudgedPitch, mean: MeanPitches, flight: Flight) -> Track:
    """The way of a mean pitch, as the hitter before this one sees it."""
    paths = flight.paths(mean.releases())
    arrival = float(paths.arrivals[AT_TIME, 0])
    # a point so near the arrival that it adds nothing is left out
    times = np.append(np.arange(0.0, arrival - 0.25 * _STEP, _STEP), arrival)
    place = paths.at(times[:, None])[:, :3, 0]
    right, ahead, up = (place - pitch.hitter.eye.place).T
    return Track(
        times / MILLISECOND,
        (place[:, 1] - flight.plate) / FOOT,
        place[:, 0] / FOOT,
        place[:, 2] / FOOT,
        np.arctan2(right, ahead) / DEGREE,
        np.arctan2(up, np.hypot(right, ahead)) / DEGREE,
        0.5 * pitch.apparent_size(place) / DEGREE,
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


def _expectation(off: Array, thrown: Track) -> Expectation:
    """Expected arrival of the mean pitch, from how far off (n, 3) he is: later (s), to the right and higher (m)."""
    late, right, above = off.mean(axis=0)
    (_, side_low, height_low), (_, side_high, height_high) = np.percentile(off, _BAND, axis=0) / FOOT
    side, height = thrown.side_ft[-1], thrown.height_ft[-1]
    return Expectation(
        float(side + right / FOOT),
        float(side + side_low),
        float(side + side_high),
        float(height + above / FOOT),
        float(height + height_low),
        float(height + height_high),
        float(thrown.time_ms[-1] + late / MILLISECOND),
    )
