"""How much of a way is done: value less where it stood, of wanted less where it stood."""

from __future__ import annotations

from dataclasses import replace
from math import erf, sqrt

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import QUANTITIES
from latebreak.service.questions.fitting.trade import wrapped
from latebreak.service.questions.fitting.values import Known
from latebreak.service.questions.following.kept_goal import KeptGoal, KeptRoad
from latebreak.service.questions.following.result import Progress

#: A way that is shorter than this share of its start is none: numbers of a file have six digits.
_NO_WAY = 1e-6


def way_of(key: str, now: float, wanted: float) -> int:
    """Return 1 where more is wanted of a quantity and -1 where less is; 0 where neither is told.

    Where it is to stay, what is better for the pitcher counts.
    """
    if abs(wanted - now) > _NO_WAY * max(abs(now), 1.0):
        return 1 if wanted > now else -1
    return {"more": 1, "less": -1}.get(QUANTITIES[key].better, 0)


def share_of(change: Estimate, way: float) -> Estimate | None:
    """Return a change as a share of a way, percent; None where there is no way to go."""
    if abs(way) <= _NO_WAY * max(abs(change.value), 1.0):
        return None
    factor = 100.0 / way
    if change.low is None or change.high is None:
        return Estimate(factor * change.value, abs(factor) * change.sampling_error)
    low, high = sorted((factor * change.low, factor * change.high))
    return Estimate(factor * change.value, abs(factor) * change.sampling_error, low, high)


def on_the_way(kept: KeptGoal, measure: Progress) -> Estimate:
    """Return where a measure stands between where it stood and its goal, with the interval of the way.

    Without a share of the way it is the measure with its own interval.
    """
    share, stood = measure.share_percent, kept.now.value
    if share is None:
        return measure.estimate
    way = (kept.goal.value - stood) / 100.0
    here = Estimate(stood + way * share.value, abs(way) * share.sampling_error)
    if share.low is None or share.high is None:
        return here
    low, high = sorted((stood + way * share.low, stood + way * share.high))
    return replace(here, low=low, high=high)


def lever_progress(key: str, road: KeptRoad, known: Known) -> Progress | None:
    """Say how far a lever has come; None where the throws say nothing about it."""
    error = known.errors.get(key, 0.0)
    if key not in known.values or known.origin[key] == "assumed" or not error:
        return None
    estimate = known.values[key]
    since, way, missing = estimate.value - road.now, road.wanted - road.now, estimate.value - road.wanted
    if key == "break_clock_deg":
        since, way, missing = wrapped(since), wrapped(way), wrapped(missing)
    assert estimate.low is not None  # fits have intervals
    assert estimate.high is not None
    ends = (since + estimate.low - estimate.value, since + estimate.high - estimate.value)
    toward = way_of(key, 0.0, way)
    # where nothing was known before, the true value is normal about the estimate: Phi((value - wanted) / error)
    chance = 50.0 * (1.0 + erf(toward * missing / (error * sqrt(2.0)))) if toward else None
    return Progress(estimate, share_of(Estimate(since, 0.0, *ends), way), chance)
