"""Published numbers on hitters, and what the model gives for each of them: one table of rows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import MILLISECOND, MPH
from latebreak.perception.experiments import (
    SEED,
    called_right,
    contact,
    gaze_leaves,
    not_fastballs,
    odds_ratio,
    sweet_spot_and_timing,
)
from latebreak.perception.hitter import Traits

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Published:
    """A published number; what the model is asked, in the same unit, stands under the same key in `figures`.

    Attributes
    ----------
    what, unit : str
        In words.
    value, low, high : float
        The interval is taken as 95 %.
    source : str
        With its status: read, secondary, memory.
    use : {"fitted", "only compared", "part of a fitted mean"}
        In the fit.
    """

    what: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    use: str = "only compared"

    def holds(self, figure: float) -> bool:
        """Whether a figure lies in the published interval."""
        return self.low <= figure <= self.high


_ELMORE = "Elmore and Matthews (2022), read"
_LEVEL = "common level of professional hitting, memory"
_ISHIGAKI = "Ishigaki and Fukuda (1997)"
_PART = "part of a fitted mean"
PUBLISHED = {
    "odds_ratio": Published(
        "contact, not fastballs: odds with the type known over odds without", 1.805, 1.342, 2.675, "", _ELMORE, "fitted"
    ),
    "fastball": Published("contact, 92 mph fastball", 81.0, 75.0, 88.0, "%", _LEVEL, "fitted"),
    "not_fastballs": Published("contact, curve, slider and changeup by share", 70.0, 60.0, 80.0, "%", _LEVEL, "fitted"),
    "curve": Published("contact, curve", 70.0, 60.0, 80.0, "%", _LEVEL, _PART),
    "slider": Published("contact, slider", 70.0, 60.0, 80.0, "%", _LEVEL, _PART),
    "changeup": Published("contact, changeup", 70.0, 60.0, 80.0, "%", _LEVEL, _PART),
    "sweet_spot": Published(
        "hits on the sweet spot, known fastball", 33.0, 28.0, 38.0, "%", "Kidokoro and Yanai (2017), read", "fitted"
    ),
    "timing": Published("SD of the timing, known fastball", 7.0, 5.0, 9.0, "ms", "Brenner et al. (2014), read"),
    "after_a_third": Published(
        "strike or ball called right after a third", 60.0, 53.0, 67.0, "%", f"{_ISHIGAKI}, secondary"
    ),
    "after_a_third_by_heading": Published(
        "the same, by heading and gravity alone", 60.0, 53.0, 67.0, "%", f"{_ISHIGAKI}, secondary"
    ),
    "four_fifths": Published("called right: four fifths over full view", 1.0, 0.95, 1.0, "", f"{_ISHIGAKI}, read"),
    "gaze_75": Published(
        "gaze leaves a 75 mph ball, before contact", 150.0, 80.0, 220.0, "ms", "Kishita et al. (2020), read"
    ),
    "gaze_95": Published(
        "gaze leaves a 95 mph ball, before contact", 150.0, 80.0, 220.0, "ms", "Kishita et al. (2020), read"
    ),
}


def fitted_figures(traits: Traits, seed: int = SEED) -> dict[str, Array]:
    """Return the figures that depend on contact and on the sweet spot, (m,), in the units of `PUBLISHED`."""
    untold, told = contact(traits, known=False, seed=seed), contact(traits, known=True, seed=seed)
    sweet, timing = sweet_spot_and_timing(traits)
    percent = untold | {"not_fastballs": not_fastballs(untold), "sweet_spot": sweet}
    return {name: 100.0 * value for name, value in percent.items()} | {
        "odds_ratio": odds_ratio(not_fastballs(told), not_fastballs(untold)),
        "timing": timing / MILLISECOND,
    }


def figures(traits: Traits) -> dict[str, Array]:
    """Return the model's figure, (m,), for every row of `PUBLISHED`."""
    full = called_right(traits, 1.0)
    return fitted_figures(traits) | {
        "after_a_third": 100.0 * called_right(traits, 1.0 / 3.0),
        "after_a_third_by_heading": 100.0 * called_right(traits, 1.0 / 3.0, by_heading=True),
        "four_fifths": called_right(traits, 0.8) / full,
        "gaze_75": gaze_leaves(traits, 75.0 * MPH) / MILLISECOND,
        "gaze_95": gaze_leaves(traits, 95.0 * MPH) / MILLISECOND,
    }
