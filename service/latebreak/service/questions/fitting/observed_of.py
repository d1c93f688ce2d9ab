"""From the columns of measured throws, in trade units, to what the engine fits, in SI units and radians."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.inverse.constant_acceleration import ConstantAccelerationTrack
from latebreak.engine.inverse.fitted import Prior
from latebreak.engine.inverse.observed import Observed, with_track
from latebreak.engine.pitch.aim import EXTENSION
from latebreak.service.quantities.units import MILES_PER_HOUR, PERCENT
from latebreak.service.questions.fitting.trade import (
    ARRIVAL_KEYS,
    INDUCED_KEYS,
    LEVER_KEYS,
    TRACK_KEYS,
)
from latebreak.service.throws import Throws

Array = NDArray[np.float64]


def observed_of(throws: Throws, rows: NDArray[np.bool_], rubber: float, prior: Prior) -> Observed:
    """Return what was measured of some throws.

    Parameters
    ----------
    throws : Throws
        All throws of a file.
    rows : bool array, shape (n,)
        Which of them.
    rubber : float
        m, from the rubber to the back point of the plate.
    prior : Prior
        Its extension is where the nine numbers of a track are taken to release where none was measured.

    Returns
    -------
    Observed
        NaN where nothing was measured.
    """
    count = int(rows.sum())

    def column(key: str, unit: float) -> Array:
        values = throws.values.get(key)
        return np.full(count, np.nan) if values is None else np.asarray(values[rows] * unit)

    def columns(keys: dict[str, float]) -> Array:
        return np.stack([column(key, unit) for key, unit in keys.items()])

    observed = Observed(
        levers=columns(LEVER_KEYS),
        efficiency=column("efficiency_percent", PERCENT.si),
        arrival=columns(ARRIVAL_KEYS),
        arrival_speed=column("arrival_speed_mph", MILES_PER_HOUR.si),
        induced=columns(INDUCED_KEYS),
    )
    track = columns(TRACK_KEYS).reshape(3, 3, count).transpose(0, 2, 1)  # position, velocity, acceleration; throw; axis
    if np.isfinite(track).all(axis=(0, 2)).any():
        extension = float(prior.levers[EXTENSION])
        observed = with_track(observed, ConstantAccelerationTrack(*track), rubber, extension, prior.hand_sense)
    return observed
