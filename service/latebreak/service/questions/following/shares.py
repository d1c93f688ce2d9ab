"""How much of a way is done: value less where it stood, of wanted less where it stood."""

from __future__ import annotations

from dataclasses import replace
from math import erf, sqrt

import numpy as np

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import QUANTITIES, SPREAD, SPREAD_SCALE
from latebreak.service.questions.fitting.trade import wrapped
from latebreak.service.questions.fitting.values import NORMAL_90, Known
from latebreak.service.questions.following.kept_goal import KeptGoal, KeptRoad
from latebreak.service.questions.following.result import Progress
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, Spread

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


def lever_progress(key: str, road: KeptRoad, known: Known, stood: Spread | None) -> Progress | None:
    """Say how far a lever has come; None where the throws say nothing about it.

    Parameters
    ----------
    key : str
        The lever.
    road : KeptRoad
        Where it stood, and what is wanted.
    known : Known
        What the throws of a session tell.
    stood : Spread or None
        The spread of which `spread_scale` is the factor; None where that is not known.
    """
    if key == SPREAD_SCALE:
        told = None if stood is None else spread_scale(known, stood)
    else:
        told = (known.values[key], known.errors[key]) if _is_told(key, known) else None
    if told is None:
        return None
    estimate, error = told
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


def spread_scale(known: Known, stood: Spread) -> tuple[Estimate, float] | None:
    """Return the factor of the spread since it stood so, and its standard error; None where no spread was measured.

    Of the levers whose spread these throws tell, s_k with error e_k, against b_k before: the mean of s_k / b_k with
    weights (b_k / e_k)^2.
    """
    keys = [key for key in SPREAD_KEYS if _is_told(SPREAD + key, known) and (getattr(stood, key) or 0.0) > 0.0]
    if not keys:
        return None
    before = np.array([getattr(stood, key) for key in keys])
    ratio = np.array([known.values[SPREAD + key].value for key in keys]) / before
    weight = (before / np.array([known.errors[SPREAD + key] for key in keys])) ** 2
    scale, error = float(weight @ ratio / weight.sum()), float(weight.sum() ** -0.5)
    return Estimate(scale, 0.0, max(scale - NORMAL_90 * error, 0.0), scale + NORMAL_90 * error), error


def _is_told(key: str, known: Known) -> bool:
    return key in known.values and known.origin[key] != "assumed" and known.errors[key] > 0.0
