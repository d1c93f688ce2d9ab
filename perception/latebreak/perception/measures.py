"""What each throw of a pitch shows beside the fastball of the same draw."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import Flight
from latebreak.engine.kernel import AT_TIME
from latebreak.engine.late_break import late_and_whole_break
from latebreak.engine.outcome import has_arrived, outcomes
from latebreak.engine.path import FEWEST_STEPS
from latebreak.perception.path_gap import path_gap_at_distance, path_gap_at_time

Array = NDArray[np.float64]

#: Rows of what `throw_measures` gives; SI units and rad.
THROW_MEASURES = (
    "path_gap_at_100ms_angle",
    "path_gap_at_100ms",
    "path_gap_at_commit_angle",
    "path_gap_at_commit",
    "late_break",
    "blind_break",
    "whole_break",
)
LATE_BREAK, BLIND_BREAK, WHOLE_BREAK = (
    THROW_MEASURES.index(name) for name in ("late_break", "blind_break", "whole_break")
)

EARLY = 0.100  # s after release: the early look at the path gap


def throw_measures(
    flight: Flight,
    releases: Array,
    fastball_flight: Flight,
    fastball_releases: Array,
    eye: Array,
    commit_before_arrival: float,
    news_before_arrival: float,
) -> tuple[Array, NDArray[np.bool_]]:
    """Measure throws.

    Parameters
    ----------
    flight, fastball_flight : Flight
        How pitch and fastball fly.
    releases, fastball_releases : float64 array, shape (15, n)
        Throws, pairwise of the same draws.
    eye : float64 array, shape (3,)
        Place of the hitter's eye, m.
    commit_before_arrival : float
        s before the pitch's arrival: the swing starts.
    news_before_arrival : float
        s before the pitch's arrival: the last that the decision can rest on, a latency before the commit point. What
        breaks after it is the blind break.

    Returns
    -------
    values : float64 array, shape (7, n)
        Rows as in `THROW_MEASURES`.
    keep : bool array, shape (n,)
        Whether both throws reached the plate in the air.
    """
    pitch, fastball = flight.paths(releases), fastball_flight.paths(fastball_releases)
    keep = _both_arrived(flight, releases, pitch.arrivals, fastball_releases, fastball.arrivals)
    commit = np.maximum(pitch.arrivals[AT_TIME] - commit_before_arrival, 0.0)[None]
    early_gap = path_gap_at_time(pitch, fastball, np.full_like(commit, EARLY), eye)[:, 0]
    commit_gap = path_gap_at_distance(pitch, fastball, commit, eye)[:, 0]
    breaks = late_and_whole_break(flight, pitch, commit_before_arrival, news_before_arrival)
    return np.concatenate([early_gap, commit_gap, breaks]), keep


def both_arrive(
    flight: Flight, releases: Array, fastball_flight: Flight, fastball_releases: Array
) -> NDArray[np.bool_]:
    """Tell which throws, (n,), reach the plate in the air, as does the fastball of the same draw; nothing else.

    Parameters are those of `throw_measures`.
    """
    # in as many steps as `throw_measures` takes: else a throw that all but touches the ground counts in one of the two
    arrivals, fastball_arrivals = (
        way.arrivals(thrown, max(way.steps, FEWEST_STEPS))
        for way, thrown in ((flight, releases), (fastball_flight, fastball_releases))
    )
    return _both_arrived(flight, releases, arrivals, fastball_releases, fastball_arrivals)


def _both_arrived(
    flight: Flight, releases: Array, arrivals: Array, fastball_releases: Array, fastball_arrivals: Array
) -> NDArray[np.bool_]:
    radius = flight.constants.radius
    keep = has_arrived(outcomes(releases, arrivals, radius))
    keep &= has_arrived(outcomes(fastball_releases, fastball_arrivals, radius))
    return keep
