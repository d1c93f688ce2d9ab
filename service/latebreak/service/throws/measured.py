"""Quantities that a column of measured throws can hold, by canonical key, and which of them have sides.

What a scenario's pitch knows too keeps the ranges it has there.
"""

from __future__ import annotations

from latebreak.engine.units import FOOT
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.quantities import FEET, INCHES, ClockFace, OtherUnit, Quantity, Unit

FEET_PER_SECOND = Unit("_ft_s", "ft/s", OtherUnit("_m_s", "m/s", 1.0 / FOOT))
FEET_PER_SECOND_SQUARED = Unit("_ft_s2", "ft/s2", OtherUnit("_m_s2", "m/s2", 1.0 / FOOT))

RELEASE_KEYS = (
    "speed_mph",
    "spin_rpm",
    "break_clock_deg",
    "efficiency_percent",
    "gyro_deg",
    "release_side_ft",
    "release_height_ft",
    "extension_ft",
    "launch_elevation_deg",
    "launch_azimuth_deg",
)
_OF_A_PITCH = PitchEntry.quantities()

#: Every measured quantity by its canonical key. Possible ranges of what a scenario does not know are wide on purpose
#: (chosen): a bounced or a lobbed throw is data. Usual ranges (chosen) hold the mean of any ordinary pitch.
MEASURED: dict[str, Quantity] = {key: _OF_A_PITCH[key] for key in RELEASE_KEYS} | {
    "arrival_side_ft": Quantity(FEET, possible=(-15.0, 15.0), usual=(-3.0, 3.0)),
    "arrival_height_ft": Quantity(FEET, possible=(-6.0, 15.0), usual=(0.0, 5.0)),
    "arrival_speed_mph": Quantity(_OF_A_PITCH["speed_mph"].unit, possible=(10.0, 130.0), usual=(35.0, 100.0)),
    "induced_vertical_break_in": Quantity(INCHES, possible=(-60.0, 60.0), usual=(-30.0, 30.0)),
    "induced_side_break_in": Quantity(INCHES, possible=(-60.0, 60.0), usual=(-30.0, 30.0)),
    "x0_ft": Quantity(FEET, possible=(-15.0, 15.0), usual=(-5.0, 5.0)),
    "y0_ft": Quantity(FEET, possible=(0.0, 70.0), usual=(30.0, 60.0)),
    "z0_ft": Quantity(FEET, possible=(-1.0, 15.0), usual=(1.0, 9.0)),
    "vx0_ft_s": Quantity(FEET_PER_SECOND, possible=(-80.0, 80.0), usual=(-30.0, 30.0)),
    "vy0_ft_s": Quantity(FEET_PER_SECOND, possible=(-190.0, -10.0), usual=(-156.0, -58.0)),
    "vz0_ft_s": Quantity(FEET_PER_SECOND, possible=(-80.0, 80.0), usual=(-30.0, 30.0)),
    "ax_ft_s2": Quantity(FEET_PER_SECOND_SQUARED, possible=(-150.0, 150.0), usual=(-40.0, 40.0)),
    "ay_ft_s2": Quantity(FEET_PER_SECOND_SQUARED, possible=(-50.0, 150.0), usual=(5.0, 50.0)),
    "az_ft_s2": Quantity(FEET_PER_SECOND_SQUARED, possible=(-180.0, 100.0), usual=(-70.0, 10.0)),
}

#: Columns that hold a word.
PITCH, SESSION, DELIVERY = "pitch", "session", "delivery"
WORD_KEYS = (PITCH, SESSION, DELIVERY)
DELIVERIES = ("wind_up", "stretch")

#: Positive toward the catcher's right; the pitcher's view and the arm side are the other way round, or may be.
SIDES = frozenset(
    {
        "release_side_ft",
        "launch_azimuth_deg",
        "arrival_side_ft",
        "induced_side_break_in",
        "x0_ft",
        "vx0_ft_s",
        "ax_ft_s2",
    }
)
#: Directions on a clock face as the pitcher sees it.
CLOCKS = frozenset(key for key, quantity in MEASURED.items() if isinstance(quantity.unit.other, ClockFace))


def key_in_other_unit(key: str) -> str | None:
    """Name a canonical key in its second unit, for example speed_kmh for speed_mph; None where it has none."""
    unit = MEASURED[key].unit
    return unit.other.key(key, unit.suffix) if unit.other else None


#: Canonical key of each key in a second unit.
OTHER_KEYS: dict[str, str] = {other: key for key in MEASURED if (other := key_in_other_unit(key)) is not None}
#: Every name that a column may have without a map.
COLUMN_NAMES = (*WORD_KEYS, *MEASURED, *OTHER_KEYS)


def in_words(key: str) -> str:
    """Name a quantity without its unit: "induced vertical break"."""
    return key.removesuffix(MEASURED[key].unit.suffix).replace("_", " ")
