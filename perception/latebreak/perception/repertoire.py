"""The pitches that a hitter has in mind: what he remembers of each type, from its mean path.

Of each type: its share, speed, line out of the hand and how much that scatters, its bend, and A, the acceleration that
takes the mean pitch from where it is seen to where it arrives, its heading seen half a lag late:

    p(T) = p(s) + (p'(s - lag/2) + A lag/2) R + A R^2/2,      R = T - s,

so that without noise the forecast of a known type is exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.perception.parameters import Parameters
from latebreak.perception.seeing import (
    ARRIVAL_X,
    BEND_X,
    BEND_Z,
    HEADING_X,
    LINE_X,
    LINE_Z,
    LOG_SPEED,
    PLACE_X,
    REMAINING,
    see,
)
from latebreak.perception.timing import moment

Array = NDArray[np.float64]

#: Shares below this are none: a type that nobody expects is not in mind.
_LEAST_SHARE = 1e-12


@dataclass(frozen=True, eq=False)
class Types:
    """H types in mind, m columns.

    Attributes
    ----------
    names : tuple of str
        Of the types; the first is the fastball that he is ready for.
    log_share : float64 array, shape (H, m)
        ln pi.
    log_speed : float64 array, shape (H, m)
        ln of the release speed in m/s.
    line, line_sd : float64 array, shapes (H, m, 2), (H, m)
        Slopes to the side and up out of the hand, and their SD from throw to throw.
    bend, onward : float64 array, shape (H, m, 2)
        Acceleration that spin and seams make until the decision, and A of the module's text; m/s^2.
    ready_time : float64 array, shape (m,)
        Flight time of the fastball, s.
    """

    names: tuple[str, ...]
    log_share: Array
    log_speed: Array
    line: Array
    line_sd: Array
    bend: Array
    onward: Array
    ready_time: Array

    def first(self, count: int) -> Types:
        """Return the first types alone, the fastball among them."""
        rows = ("log_share", "log_speed", "line", "line_sd", "bend", "onward")
        return replace(self, names=self.names[:count], **{row: getattr(self, row)[:count] for row in rows})

    def expected(self, shares: Sequence[float]) -> Types:
        """Return the same types with other shares; those without a share go."""
        keep = [h for h, share in enumerate(shares) if share > _LEAST_SHARE]
        total = sum(shares[h] for h in keep)
        log_share = np.log(np.array([shares[h] for h in keep]) / total)
        return replace(
            self,
            names=tuple(self.names[h] for h in keep),
            log_share=np.repeat(log_share[:, None], self.log_share.shape[1], axis=1),
            **{row: getattr(self, row)[keep] for row in ("log_speed", "line", "line_sd", "bend", "onward")},
        )


def remember(
    names: Sequence[str],
    shares: Sequence[float],
    paths: Sequence[Paths],
    parameters: Parameters,
    line_sd: Array | None = None,
) -> Types:
    """Remember types from their mean paths.

    Parameters
    ----------
    names, shares : sequence
        Of the H types, the fastball that he is ready for first.
    paths : sequence of Paths
        Mean path of each type, m columns of one throw each.
    parameters : Parameters
        m columns.
    line_sd : float64 array, shape (H, m), optional
        SD of each type's line from throw to throw; default: as the hitter expects it of any.
    """
    ready = paths[0].arrivals[AT_TIME]
    log_speed, line, bend, onward = [], [], [], []
    for path in paths:
        time = path.arrivals[AT_TIME]
        glance = see(path, moment(time, ready, parameters)[:, None], parameters, False)[:, :, 0]
        remaining, lag = glance[REMAINING], parameters.motion_lag
        log_speed.append(glance[LOG_SPEED])
        line.append(glance[[LINE_X, LINE_Z]].T)
        bend.append(glance[[BEND_X, BEND_Z]].T)
        straight = glance[PLACE_X : PLACE_X + 2] + glance[HEADING_X : HEADING_X + 2] * remaining
        missing = glance[ARRIVAL_X : ARRIVAL_X + 2] - straight
        onward.append((2.0 * missing / (remaining * (remaining + lag))).T)
    every = np.ones((len(names), ready.size))
    scatter = parameters.line_scatter if line_sd is None else line_sd
    found = Types(
        tuple(names), every, np.stack(log_speed), np.stack(line), scatter * every, np.stack(bend), np.stack(onward),
        ready,
    )  # fmt: skip
    return found.expected(shares)
