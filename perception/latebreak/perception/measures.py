"""What each throw of a pitch shows beside the fastball of the same draw."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Flight, Paths
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.flight.late_break import late_and_whole_break
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

EARLY = 0.100  # s after release: the early look at the path gap


def throw_measures(
    flight: Flight, pitch: Paths, fastball: Paths, eye: Array, commit_before_arrival: Array, news_before_arrival: Array
) -> Array:
    """Measure throws.

    Parameters
    ----------
    flight : Flight
        How the pitch was flown.
    pitch, fastball : Paths
        n throws each, pairwise of the same draws.
    eye : float64 array, shape (3,)
        Place of the hitter's eye, m.
    commit_before_arrival : float64 array, shape (n,)
        s before the pitch's arrival: the swing starts.
    news_before_arrival : float64 array, shape (n,)
        s before the pitch's arrival: the last that the decision can rest on, a latency before the commit point. What
        breaks after it is the blind break.

    Returns
    -------
    float64 array, shape (7, n)
        Rows as in `THROW_MEASURES`.
    """
    commit = np.maximum(pitch.arrivals[AT_TIME] - commit_before_arrival, 0.0)[None]
    early_gap = path_gap_at_time(pitch, fastball, np.full_like(commit, EARLY), eye)[:, 0]
    commit_gap = path_gap_at_distance(pitch, fastball, commit, eye)[:, 0]
    breaks = late_and_whole_break(flight, pitch, np.stack([commit_before_arrival, news_before_arrival]))
    return np.concatenate([early_gap, commit_gap, breaks])
