"""A walk along one lever toward a goal: where it has been, and in how many members it gets there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.service.judging.estimates import ENOUGH
from latebreak.service.questions.lever import Lever
from latebreak.service.questions.root import Bracket

Array = NDArray[np.float64]


@dataclass(eq=False)
class Walk:
    """The search along one lever: its places, the measure there and its error (with few throws where no root is)."""

    lever: Lever
    low: float
    high: float
    found: Bracket
    goal: float
    at: list[float]
    measured: list[float]
    errors: list[float]

    @property
    def miss(self) -> Array:
        """How far each place misses the goal."""
        return np.array(self.measured) - self.goal

    def keep_the_best(self) -> None:
        """Put the place that comes nearest to the goal last."""
        if np.isfinite(self.miss).any():
            best = int(np.nanargmin(np.abs(self.miss)))
            for each in (self.at, self.measured, self.errors):
                each.append(each.pop(best))


def arrives_percent(walk: Walk, now: float, roots: Array, usable: NDArray[np.bool_]) -> float | None:
    """In how many of the usable members (percent) the goal is reached within the bounds; None where too few are."""
    count = int(usable[1:].sum())
    if count < ENOUGH:
        return None
    bound = (roots <= walk.low - now) | (roots >= walk.high - now)
    return 100.0 * float((usable & ~bound)[1:].sum()) / count
