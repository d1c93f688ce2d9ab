"""Where the leak is: which lever of a pitch is short of a good one, and how much each costs in miss chance.

Of every lever that is short, the move to the good value is tried alone. It is a leak if that gives a fifth or more of
what all such moves give together, beyond sampling error. A move that would cost misses gives nothing, so it does not
count against the others.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from latebreak.engine.units import MPH, RPM
from latebreak.perception.kinds import good_throw
from latebreak.service.quantities import CLOCK_SPREAD, QUANTITIES
from latebreak.service.questions.answer import Estimate, Json
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.level_defaults import default_spread
from latebreak.service.scenario.physical import physical_pitch

MEASURE = "miss_chance_percent"
#: How a leak is called, by its lever.
CALLED = {key: QUANTITIES[key].name for key in ("speed_mph", "spin_rpm")} | {
    "efficiency_percent": "dirty axis",
    CLOCK_SPREAD: "wandering axis",
}
#: Scatter of a good axis, as a share of the usual one of the level and role (chosen).
_GOOD_SCATTER = 0.8
#: The share of all the moves together that makes a leak (a fifth), and standard errors that a gain must clear (chosen).
_SHARE, _CLEAR = 0.2, 2.0


@dataclass(frozen=True)
class Leak:
    """A lever that is short of a good pitch, and costs.

    Attributes
    ----------
    called : str
        "speed", "spin rate", "dirty axis" or "wandering axis".
    value, good_value : float
        Where the lever stands, and where a good pitch of the level does; in the unit of the lever's key.
    gain : Estimate
        Rise of the miss chance, in points, if this lever alone were good.
    share_percent : float
        Of what all such moves give together.
    """

    called: str
    value: float
    good_value: float
    gain: Estimate
    share_percent: float

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {
            "called": self.called,
            "value": self.value,
            "good_value": self.good_value,
            "gain": self.gain.to_dict(),
            "share_percent": self.share_percent,
        }


def good_values(scenario: Scenario, name: str) -> dict[str, float]:
    """Return what a good pitch of the pitcher's level and of this kind has, by lever."""
    entry, pitcher = scenario.pitch[name], scenario.pitcher
    pitch = physical_pitch(scenario, entry)
    across = pitch.spin_rate * np.cos(pitch.gyro)
    own = [across * np.cos(pitch.break_clock), across * np.sin(pitch.break_clock), pitch.spin_rate * np.sin(pitch.gyro)]
    speed, rate, efficiency = good_throw(pitcher.level, entry.role, pitcher.hand, np.array(own)[:, None])[:, 0]
    return {
        "speed_mph": float(speed / MPH),
        "spin_rpm": float(rate / RPM),
        "efficiency_percent": float(100.0 * efficiency),
        CLOCK_SPREAD: _GOOD_SCATTER * default_spread(pitcher.level, entry.role)["break_clock_deg"],
    }


def short_levers(scenario: Scenario, name: str) -> dict[str, tuple[float, float]]:
    """Return the levers that are short of a good pitch: where each stands, and where a good one does."""
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    result = {}
    for key, good in good_values(scenario, name).items():
        now = BY_KEY[key].stands_at(entry, hand)
        if now > good if key == CLOCK_SPREAD else now < good:
            result[key] = (now, good)
    return result


def leaks_among(short: dict[str, tuple[float, float]], gains: dict[str, Estimate]) -> dict[str, Leak]:
    """Pick the leaks, the largest first, from what each move alone gives; one that costs gives nothing."""
    together = sum(max(gain.value, 0.0) for gain in gains.values())
    found = {
        key: Leak(CALLED[key], *short[key], gain, 100.0 * (gain.value / together))
        for key, gain in gains.items()
        if together > 0.0 and gain.value >= _SHARE * together and gain.value > _CLEAR * gain.sampling_error
    }
    return dict(sorted(found.items(), key=lambda item: -item[1].gain.value))
