"""How well chances predict what happened, and simple predictions to hold them against."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.swings.record import Record

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

#: Least chance of a swing by which one of contact is divided.
LEAST = 1e-6
#: Pitches' worth of the whole in the rate of a cell (chosen).
_SHRINKAGE = 5.0


def log_losses(chance: Array, happened: Flags) -> Array:
    """Minus the log likelihood of each event."""
    p = np.clip(chance, LEAST, 1.0 - LEAST)
    losses: Array = -np.where(happened, np.log(p), np.log1p(-p))
    return losses


def losses_of(record: Record, chances: Array, rows: Flags) -> Array:
    """Minus log likelihood of each of some pitches: swing or take, and miss or contact where he swung; (2, n).

    `chances` are those of all pitches, as in `scored`.
    """
    swing, met = chances[:, rows]
    swung, missed = record.swung[rows], record.missed[rows]
    miss = 1.0 - met / np.maximum(swing, LEAST)
    return np.stack([log_losses(swing, swung), np.where(swung, log_losses(miss, missed), 0.0)])


def area_under_curve(chance: Array, happened: Flags) -> float:
    """Chance that an event that happened was given more chance than one that did not; ties count half.

    NaN where all happened, or none.
    """
    _, place, count = np.unique(chance, return_inverse=True, return_counts=True)
    ranks = (np.cumsum(count) - 0.5 * (count - 1.0))[place]
    yes = int(happened.sum())
    if yes in (0, happened.size):
        return float("nan")
    return float((ranks[happened].sum() - yes * (yes + 1) / 2.0) / (yes * (happened.size - yes)))


def scored(record: Record, chances: Array, days: Flags) -> dict[str, tuple[float, float]]:
    """Mean log loss and area under the curve, of swings and of misses given a swing.

    Parameters
    ----------
    record : Record
        What happened.
    chances : float64 array, shape (2, N)
        Of a swing, and of a swing that meets the ball.
    days : bool array, shape (N,)
        Pitches that count.
    """
    swung = days & record.swung
    miss = 1.0 - chances[1] / np.maximum(chances[0], LEAST)
    return {
        name: (float(log_losses(p[rows], what[rows]).mean()), area_under_curve(p[rows], what[rows]))
        for name, p, what, rows in (
            ("swing", chances[0], record.swung, days),
            ("miss", miss, record.missed, swung),
        )
    }


def constant(record: Record) -> Array:
    """Predict the rates of the fitted days for every pitch; chances as in `scored`."""
    return _by_cells(record, np.zeros(record.kind.size, np.int64))


def by_type(record: Record) -> Array:
    """Predict the rates of the type."""
    return _by_cells(record, record.kind)


def by_type_zone_side_strikes(record: Record) -> Array:
    """Predict the rates of type, in or out of the zone, side, and strikes."""
    zone = record.zone.holds(*record.place)
    return _by_cells(record, ((record.kind * 2 + zone) * 2 + record.same_side) * 3 + record.strikes)


PREDICTIONS: dict[str, Callable[[Record], Array]] = {
    "constant": constant,
    "by type": by_type,
    "type x zone x side x strikes": by_type_zone_side_strikes,
}


def _by_cells(record: Record, cell: NDArray[np.int64]) -> Array:
    swing = _rates(cell, record.swung, record.fitted)
    miss = _rates(cell, record.missed, record.fitted & record.swung)
    return np.stack([swing, swing * (1.0 - miss)])


def _rates(cell: NDArray[np.int64], happened: Flags, rows: Flags) -> Array:
    overall = happened[rows].mean()
    size = int(cell.max()) + 1
    count = np.bincount(cell[rows], minlength=size)
    events = np.bincount(cell[rows & happened], minlength=size)
    rates: Array = ((events + _SHRINKAGE * overall) / (count + _SHRINKAGE))[cell]
    return rates
