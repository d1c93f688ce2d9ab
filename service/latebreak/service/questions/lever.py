"""The levers that a pitcher has, in the keys of a scenario: what each stands at, how it is moved, and how far."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos

from latebreak.service.quantities import CLOCK_SPREAD, SPREAD, SPREAD_SCALE
from latebreak.service.quantities.units import NUMBER
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.physical import signed_gyro
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry, Spread
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Hand

#: Factor on every standard deviation of the release; 1 as the pitch is. That balls differ is no doing of the pitcher.
_SCALE = Range(NUMBER, possible=(0.0, 10.0))


@dataclass(frozen=True)
class Lever:
    """One lever.

    Attributes
    ----------
    key : str
        Key of a pitch in a scenario, `spread_scale`, or `spread.` and a key of the spread.
    step : float
        A natural step, in the unit of the key.
    reach : float
        How far from where it stands it may plausibly be moved.
    plausible : tuple of float, optional
        Range that it may not leave by being moved.
    """

    key: str
    step: float
    reach: float
    plausible: tuple[float, float] | None = None

    @property
    def is_of_spread(self) -> bool:
        """Whether it changes the scatter, not the mean pitch."""
        return self.key == SPREAD_SCALE or self.key.startswith(SPREAD)

    @property
    def is_clock(self) -> bool:
        """Whether its values are a direction, without an end."""
        return self.key == "break_clock_deg"

    @property
    def range(self) -> Range:
        """Unit and possible range."""
        if self.key == SPREAD_SCALE:
            return _SCALE
        section, key = (Spread, self.key.removeprefix(SPREAD)) if self.is_of_spread else (PitchEntry, self.key)
        return section.ranges()[key]

    def stands_at(self, entry: PitchEntry, hand: Hand) -> float:
        """Return the lever's value in a pitch, in the unit of its key."""
        if self.key == SPREAD_SCALE:
            return 1.0
        if self.is_of_spread:
            return float(getattr(entry.spread, self.key.removeprefix(SPREAD)))
        if self.key == "efficiency_percent" and entry.efficiency_percent is None:
            return 100.0 * abs(cos(signed_gyro(entry, hand)))
        return float(getattr(entry, self.key))

    def moved(self, entry: PitchEntry, hand: Hand, value: float) -> PitchEntry:
        """Return the pitch with the lever at a value; where an efficiency is set, the ball keeps its sense of gyro.

        A gyro angle of 0 has no sense; it gets that of the hand.
        """
        if self.key == SPREAD_SCALE:
            scaled = {key: value * getattr(entry.spread, key) for key in SPREAD_KEYS}
            return entry.model_copy(update={"spread": entry.spread.model_copy(update=scaled)})
        if self.is_of_spread:
            one = {self.key.removeprefix(SPREAD): value}
            return entry.model_copy(update={"spread": entry.spread.model_copy(update=one)})
        update: dict[str, object] = {self.key: value % 360.0 if self.is_clock else value}
        if self.key == "efficiency_percent" and entry.gyro_deg is not None:
            against = entry.gyro_deg < 0.0 if hand == "right" else entry.gyro_deg > 0.0
            update |= {"gyro_deg": None, "gyro_sense": "reverse" if against else None}
        return entry.model_copy(update=update)

    def bounds(self, scenario: Scenario, fastball: str, name: str) -> tuple[float, float]:
        """Return the least and the largest value that is possible, and plausible for this pitch."""
        entry = scenario.pitch[name]
        now = self.stands_at(entry, scenario.pitcher.hand)
        if self.is_clock:
            return now - self.reach, now + self.reach
        least, most = self.range.possible
        for narrower in (self.range.usual, self.plausible):
            if narrower is not None:  # where the pitch itself is unusual, it may stay there
                least, most = max(least, min(narrower[0], now)), min(most, max(narrower[1], now))
        low, high = max(least, now - self.reach), min(most, now + self.reach)
        if self.key == "speed_mph" and entry.role != "fastball":  # what is harder than the fastball is one
            high = max(now, min(high, scenario.pitch[fastball].speed_mph))
        return low, high


#: Steps as a coach would make them, and how far a pitch stays the same pitch (all chosen); 15 minutes of the clock are
#: 7.5 degrees. A target below a foot is a ball in the dirt, at which nobody has to swing.
LEVERS = (
    Lever("speed_mph", 1.0, 12.0),
    Lever("spin_rpm", 100.0, 1200.0),
    Lever("efficiency_percent", 5.0, 40.0),
    Lever("break_clock_deg", 7.5, 45.0),
    Lever("release_height_ft", 0.25, 1.5),
    Lever("release_side_ft", 0.25, 1.5),
    Lever("extension_ft", 0.5, 1.5),
    Lever("target_height_ft", -0.25, 1.5, (1.0, 4.0)),
    Lever("target_side_ft", 0.25, 1.5, (-1.5, 1.5)),
    Lever("launch_elevation_deg", -0.5, 3.0),
    Lever("launch_azimuth_deg", 0.5, 3.0),
    Lever(SPREAD_SCALE, -0.2, 0.75),
    Lever(CLOCK_SPREAD, -1.0, 10.0),
)
BY_KEY = {lever.key: lever for lever in LEVERS}
AIMED = ("target_height_ft", "target_side_ft")
LAUNCHED = ("launch_elevation_deg", "launch_azimuth_deg")


def levers_of(entry: PitchEntry) -> tuple[Lever, ...]:
    """Return the levers that a pitch has: it is aimed either by a target or by launch angles."""
    other = LAUNCHED if entry.target_height_ft is not None else AIMED
    return tuple(lever for lever in LEVERS if lever.key not in other)


def cut_step(lever: Lever, now: float) -> float:
    """Return the step from a value, cut at the possible range; a clock has no end."""
    low, high = lever.range.possible
    past = lever.step > high - now or lever.step < low - now
    return lever.step if lever.is_clock or not past else min(max(now + lever.step, low), high) - now
