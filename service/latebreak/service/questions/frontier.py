"""The trade of speed for spin rate: pairs of the two that reach a goal, everything else as it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.service.questions.root import bracket, sharpened
from latebreak.service.scenario.pitch_entry import PitchEntry

Array = NDArray[np.float64]

#: Speeds, spin rates tried for each, and throws of the first look and of the others (chosen).
_SPEEDS, _RATES, _FEW, _MORE = 7, 7, 512, 16_384
#: Looks with more throws, a step of the secant between them, and how far off the goal the nearest may be: a share of
#: what the measure changes over all spin rates (chosen).
_LOOKS, _NEAR = 3, 0.02


@dataclass(frozen=True)
class FrontierPoint:
    """A pair of speed and spin rate that reaches the goal, everything else as it is."""

    speed_mph: float
    spin_rpm: float


def frontier(
    entry: PitchEntry,
    speeds: tuple[float, float],
    rates: tuple[float, float],
    misses: Callable[[Sequence[PitchEntry], int], Array],
) -> tuple[FrontierPoint, ...]:
    """Find pairs of speed and spin rate.

    Parameters
    ----------
    entry : PitchEntry
        The pitch as it is.
    speeds, rates : tuple of float
        Bounds, mph and rpm.
    misses : callable
        From versions of the pitch and a number of throws to how far each misses the goal.

    Returns
    -------
    tuple of FrontierPoint
        For speeds over the bounds, the spin rate nearest to now that reaches the goal, where one does.
    """

    def pair(speed: float, rate: float) -> PitchEntry:
        return entry.model_copy(update={"speed_mph": float(speed), "spin_rpm": float(rate)})

    at_speeds = np.unique(np.append(np.linspace(*speeds, _SPEEDS), entry.speed_mph))
    at_rates = np.unique(np.append(np.linspace(*rates, _RATES), entry.spin_rpm))
    miss = misses([pair(v, w) for v in at_speeds for w in at_rates], _FEW).reshape(at_speeds.size, at_rates.size)
    found = [bracket(at_rates, row, np.zeros(at_rates.size), entry.spin_rpm) for row in miss]
    kept = [
        (float(v), b, np.nanmax(row) - np.nanmin(row))
        for v, b, row in zip(at_speeds, found, miss, strict=True)
        if b.root is not None
    ]
    walks: list[tuple[list[float], list[float]]] = [([float(b.root)], []) for _, b, _ in kept if b.root is not None]
    for look in range(_LOOKS if kept else 0):
        off = misses([pair(v, at[-1]) for (v, _, _), (at, _) in zip(kept, walks, strict=True)], _MORE)
        for (_, b, _), (at, missed), miss_there in zip(kept, walks, off, strict=True):
            missed.append(float(miss_there))
            if look < _LOOKS - 1:
                at.append(sharpened(np.array(at), np.array(missed), b.slope, *rates))
    result = []
    for (v, _, span), (at, missed) in zip(kept, walks, strict=True):
        size = np.abs(np.nan_to_num(missed, nan=np.inf))
        if size.min() <= _NEAR * span:
            result.append(FrontierPoint(v, at[int(size.argmin())]))
    return tuple(result)
