"""A pitch as it can be drawn: its way to the plate, and what a hitter sees, believes and expects of it meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

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
from latebreak.service.questions.answer import Answer, Json
from latebreak.service.questions.chance import generator
from latebreak.service.questions.contest import Contest
from latebreak.service.questions.lineup import Lineup, line_up
from latebreak.service.questions.setting import Source, settle
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


class Drawable:
    """What can be put into JSON field by field."""

    def to_dict(self) -> Json:
        """Return the JSON object; arrays as lists."""
        return {field.name: _plain(getattr(self, field.name)) for field in fields(self)}  # type: ignore[arg-type]


@dataclass(frozen=True, eq=False)
class Track(Drawable):
    """A mean path from release to the plate's front edge; float64 arrays of shape (p,).

    Attributes
    ----------
    time_ms : float64 array
        After release; equal steps of 4 ms, the last is the arrival.
    from_plate_ft : float64 array
        From the plate's front edge; falls to 0.
    side_ft, height_ft : float64 array
        To the catcher's right, and above the ground.
    right_deg, up_deg : float64 array
        Where it appears from the hitter's eye: to the right of straight ahead toward the mound, and above the level.
    radius_deg : float64 array
        How large the ball appears: its radius.
    """

    time_ms: Array
    from_plate_ft: Array
    side_ft: Array
    height_ft: Array
    right_deg: Array
    up_deg: Array
    radius_deg: Array


@dataclass(frozen=True, eq=False)
class Spread(Drawable):
    """Where 5 to 95 % of the throws pass, ft; float64 arrays of shape (q,).

    Attributes
    ----------
    from_plate_ft : float64 array
        From the plate's front edge; falls to 0.
    side_low_ft, side_high_ft, height_low_ft, height_high_ft : float64 array
        5 and 95 % of the throws that arrived.
    """

    from_plate_ft: Array
    side_low_ft: Array
    side_high_ft: Array
    height_low_ft: Array
    height_high_ft: Array


@dataclass(frozen=True, eq=False)
class Belief(Drawable):
    """What a hitter believes it is, moment by moment.

    Attributes
    ----------
    time_ms : float64 array, shape (c,)
        After release, to the last moment at which what is seen can still move the bat.
    types : tuple of str
        Names of the pitches he has in mind, the fastball first.
    mean, low, high : float64 array, shape (H, c)
        Percent: mean over the throws, and 5 and 95 % of them.
    """

    time_ms: Array
    types: tuple[str, ...]
    mean: Array
    low: Array
    high: Array


@dataclass(frozen=True, eq=False)
class Expectation(Drawable):
    """Where and when a hitter expects the mean pitch to arrive, moment by moment; float64 arrays of shape (c,).

    Attributes
    ----------
    time_ms : float64 array
        After release.
    side_ft, height_ft : float64 array
        At the plate's front edge: mean over throws of how far he is off, from the mean arrival.
    side_low_ft, side_high_ft, height_low_ft, height_high_ft : float64 array
        5 and 95 % of the throws.
    arrival_ms : float64 array
        When, after release.
    """

    time_ms: Array
    side_ft: Array
    side_low_ft: Array
    side_high_ft: Array
    height_ft: Array
    height_low_ft: Array
    height_high_ft: Array
    arrival_ms: Array


@dataclass(frozen=True, eq=False)
class Portrait(Drawable):
    """One pitch beside the fastball.

    Attributes
    ----------
    name, fastball : str
        The pitch and the fastball.
    thrown, beside, same_line : Track
        The pitch; the fastball at its own target; the fastball thrown from the pitch's point in the pitch's direction.
    thrown_spread, beside_spread : Spread
        Of the pitch and of the fastball.
    commit_ms : float
        Commit point, after release.
    belief : Belief
        What he believes it is.
    expectation : Expectation
        Where he expects it.
    arrivals_ft, fastball_arrivals_ft : float64 array, shape (k, 2)
        Side and height at the plate of some throws, at most 300.
    """

    name: str
    fastball: str
    thrown: Track
    beside: Track
    same_line: Track
    thrown_spread: Spread
    beside_spread: Spread
    commit_ms: float
    belief: Belief
    expectation: Expectation
    arrivals_ft: Array
    fastball_arrivals_ft: Array


@dataclass(frozen=True)
class Zone(Drawable):
    """Strike zone as it is drawn, ft."""

    left_ft: float
    right_ft: float
    low_ft: float
    high_ft: float


@dataclass(frozen=True, eq=False)
class PortraitResult(Drawable):
    """Pitches that can be drawn.

    Attributes
    ----------
    fastball : str
        The reference fastball.
    hand, bats : {"right", "left"}
        The pitcher's hand, and the side from which the hitter bats.
    eye_ft : tuple of float
        The hitter's eye: side (to the catcher's right), height, and how far behind the plate's front edge; ft.
    zone : Zone
        The strike zone.
    pitches : dict of str to Portrait
        The compared pitches.
    """

    fastball: str
    hand: str
    bats: str
    eye_ft: tuple[float, float, float]
    zone: Zone
    pitches: dict[str, Portrait]


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
    with threadpool_limits(1, "blas"):  # as in compare
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
        facing.fastball,
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
    belief = 100.0 * seen.belief
    low, high = np.percentile(belief, _BAND, axis=0)
    spread, arrivals = _spread(bundle.flight, bundle.releases(normals), radius)
    other_spread, other_arrivals = _spread(other.flight, other.releases(normals), radius)
    return Portrait(
        contest.name,
        contest.fastball,
        _track(pitch, bundle.flight, eye, radius),
        _track(fastball, other.flight, eye, radius),
        _track(same_line(pitch, fastball), other.flight, eye, radius),
        spread,
        other_spread,
        float(e.arrival[0, 0] - e.commit_before_arrival) / MILLISECOND,
        Belief(seen.time / MILLISECOND, e.names, belief.mean(axis=0).T, low.T, high.T),
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


def _plain(value: Any) -> Any:
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, Drawable):
        return value.to_dict()
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    return list(value) if isinstance(value, tuple) else value
