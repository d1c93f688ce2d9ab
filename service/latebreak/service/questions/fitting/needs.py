"""What a fit can't do without: faults of throws that leave a pitch open."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.errors import Fault
from latebreak.engine.inverse.observed import Observed
from latebreak.service.wording import key_path

_SPEED, _SPIN, _CLOCK = 0, 1, 2


def missing(name: str, observed: Observed, usual: NDArray[np.float64]) -> Iterator[Fault]:
    """Find what neither the throws nor the base tell about a pitch.

    Parameters
    ----------
    name : str
        The pitch.
    observed : Observed
        Its throws.
    usual : float64 array, shape (9,)
        Levers that the base tells; NaN where it doesn't.
    """
    flown = np.concatenate([observed.arrival, observed.levers[7:]])  # in which direction, and where to
    moves = np.isfinite(observed.induced).all(axis=0) | np.isfinite(flown).all(axis=0)
    for row, key, also in (
        (_SPEED, "speed_mph", "or the nine numbers of a track"),
        (_SPIN, "spin_rpm", "or induced_vertical_break_in and induced_side_break_in"),
        (_CLOCK, "break_clock", "or induced_vertical_break_in and induced_side_break_in"),
    ):
        told = np.isfinite(observed.levers[row]).any() or np.isfinite(usual[row])
        if not told and not (row in (_SPIN, _CLOCK) and moves.any()):
            yield Fault(
                key_path("pitch", name, key),
                "no throw says it, and the base has no pitch of this name",
                "",
                f"add a column {key} ({also}), or bring one in by a column map, or take a base that has [pitch.{name}]",
            )
