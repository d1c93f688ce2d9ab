"""Whether a pitch remains the pitch that it is, however its levers are moved.

A pitch is of the kind whose usual throws it is most like (`latebreak.perception.kinds`). It remains that pitch while

* it breaks to the side to which its kind breaks: no curve to the arm side;
* its speed, as a share of the fastball's, is within 2.5 standard deviations of what is usual of its kind: no lob;
* no kind of another role is nearer to it;
* it is 5 mph slower than the fastball, if it is an offspeed pitch (common practice, no source);

or while it is no farther from that than it is now. More spin and a cleaner axis make a better pitch of its kind, no
other one.
"""

from __future__ import annotations

from math import sin

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import DEGREE, MPH
from latebreak.perception.kinds import KINDS, NAMES, fit_of_kinds, spin_parts
from latebreak.service.questions.lever import Lever
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.physical import physical_pitch
from latebreak.service.scenario.pitch_entry import PitchEntry

#: Standard deviations of the speed within a kind (chosen).
_FAR = 2.5
#: mph slower than the fastball (common practice, no source).
_SLOWER = 5.0
#: Places at which a lever is looked at, on either side of now (chosen: a fortieth of its bounds).
_PLACES = 40
#: What makes a pitch what it is.
_KEYS = ("speed_mph", "spin_rpm", "efficiency_percent", "break_clock_deg")


class SamePitch:
    """Tells whether a version of a pitch is still that pitch.

    Parameters
    ----------
    scenario : Scenario
        What is asked about.
    fastball : str
        Key of the reference fastball.
    entry : PitchEntry
        The pitch as it is.
    """

    def __init__(self, scenario: Scenario, fastball: str, entry: PitchEntry) -> None:
        self._scenario, self._fastball_mph = scenario, scenario.pitch[fastball].speed_mph
        self._kind = int(self._fit(entry, self._fastball_mph).argmax())
        kind = KINDS[NAMES[self._kind]]
        self._offspeed = "offspeed" in (kind.role, entry.role)
        self._side = sin(kind.clock * DEGREE) * (1.0 if scenario.pitcher.hand == "right" else -1.0)
        self._now = self._beyond(entry)

    def __call__(self, version: PitchEntry) -> bool:
        """Tell whether a version remains the pitch; the pitch as it is always does."""
        # rounding must not make a pitch another one where nothing was moved
        return bool(np.all(self._beyond(version) <= np.maximum(self._now, 0.0) + 1e-9))

    def _beyond(self, version: PitchEntry) -> NDArray[np.float64]:
        """How far a version is beyond each of the four limits of the module's text; at or below 0 within it."""
        fit = self._fit(version, self._fastball_mph)
        role = KINDS[NAMES[self._kind]].role
        others = max(value for value, kind in zip(fit, KINDS.values(), strict=True) if kind.role != role)
        of_speed = self._fit(version, None)[self._kind] - fit[self._kind]  # half the square of its deviations
        clock = physical_pitch(self._scenario, version).break_clock
        slower = version.speed_mph - (self._fastball_mph - _SLOWER) if self._offspeed else -1.0
        return np.array([-sin(clock) * np.sign(self._side), of_speed - 0.5 * _FAR**2, others - fit[self._kind], slower])

    def _fit(self, version: PitchEntry, fastball_mph: float | None) -> NDArray[np.float64]:
        pitch, pitcher = physical_pitch(self._scenario, version), self._scenario.pitcher
        own = spin_parts(pitch.spin_rate, pitch.break_clock, pitch.gyro)[:, None]
        beside = None if fastball_mph is None else fastball_mph * MPH
        return fit_of_kinds(pitcher.level, pitcher.hand, own, np.array([pitch.speed]), beside)[:, 0]


def bounds_of_kind(lever: Lever, scenario: Scenario, fastball: str, name: str) -> tuple[float, float]:
    """Return the least and the largest value of a lever at which a pitch remains the pitch that it is."""
    low, high = lever.bounds(scenario, fastball, name)
    if lever.key not in _KEYS:
        return low, high
    entry, hand = scenario.pitch[name], scenario.pitcher.hand
    now, is_same = lever.stands_at(entry, hand), SamePitch(scenario, fastball, entry)

    def kept(end: float) -> float:
        last = now
        for value in np.linspace(now, end, _PLACES + 1)[1:]:
            if not is_same(lever.moved(entry, hand, float(value))):
                break
            last = float(value)
        return last

    return kept(low), kept(high)
