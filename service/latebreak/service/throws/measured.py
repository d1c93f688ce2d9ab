"""Quantities that a column of measured throws can hold, by canonical key: their ranges, sides and usual spread.

What a scenario's pitch knows too keeps the ranges it has there.
"""

from __future__ import annotations

from latebreak.engine.units import FOOT, INCH, MPH
from latebreak.service.quantities import QUANTITIES
from latebreak.service.quantities.quantity import SIDE
from latebreak.service.quantities.units import ClockFace, unit_of
from latebreak.service.scenario.level_defaults import SPREAD_FACTOR, default_spread
from latebreak.service.scenario.pitch_entry import PitchEntry
from latebreak.service.scenario.ranges import Range
from latebreak.service.scenario.section import Level

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
_OF_A_PITCH = PitchEntry.ranges()

#: Possible and usual range of what a scenario does not know. Possible ranges are wide on purpose (chosen): a bounced or
#: a lobbed throw is data. Usual ranges (chosen) hold the mean of any ordinary pitch.
_OF_THE_FLIGHT = {
    "arrival_side_ft": ((-15.0, 15.0), (-3.0, 3.0)),
    "arrival_height_ft": ((-6.0, 15.0), (0.0, 5.0)),
    "arrival_speed_mph": ((10.0, 130.0), (35.0, 100.0)),
    "induced_vertical_break_in": ((-60.0, 60.0), (-30.0, 30.0)),
    "induced_side_break_in": ((-60.0, 60.0), (-30.0, 30.0)),
    "x0_ft": ((-15.0, 15.0), (-5.0, 5.0)),
    "y0_ft": ((0.0, 70.0), (30.0, 60.0)),
    "z0_ft": ((-1.0, 15.0), (1.0, 9.0)),
    "vx0_ft_s": ((-80.0, 80.0), (-30.0, 30.0)),
    "vy0_ft_s": ((-190.0, -10.0), (-156.0, -58.0)),
    "vz0_ft_s": ((-80.0, 80.0), (-30.0, 30.0)),
    "ax_ft_s2": ((-150.0, 150.0), (-40.0, 40.0)),
    "ay_ft_s2": ((-50.0, 150.0), (5.0, 50.0)),
    "az_ft_s2": ((-180.0, 100.0), (-70.0, 10.0)),
}
#: Every measured quantity by its canonical key.
MEASURED: dict[str, Range] = {key: _OF_A_PITCH[key] for key in RELEASE_KEYS} | {
    key: Range(unit_of(key), *ranges) for key, ranges in _OF_THE_FLIGHT.items()
}

#: Columns that hold a word.
PITCH, SESSION, DELIVERY = "pitch", "session", "delivery"
#: And what tells of the hitter: the columns of a record of swings; `throws` is the pitcher's hand.
SWING_KEYS = ("bats", "balls", "strikes", "swing", "miss", "day", "hitter", "level", "pitcher", "throws")
WORD_KEYS = (PITCH, SESSION, DELIVERY, *SWING_KEYS)
DELIVERIES = ("wind_up", "stretch")

#: Positive toward the catcher's right; the pitcher's view and the arm side are the other way round, or may be.
SIDES = frozenset(key for key in MEASURED if QUANTITIES[key].sign == SIDE)
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

#: Quantities without a published spread, for a professional; chosen: what the spreads of release and launch make of
#: them over 55 ft, rounded.
PROFESSIONAL_SPREAD = {
    "efficiency_percent": 3.0,
    "arrival_side_ft": 0.7,
    "arrival_height_ft": 0.8,
    "induced_vertical_break_in": 1.5,
    "induced_side_break_in": 1.5,
    "vx0_ft_s": 1.5,
    "vz0_ft_s": 1.5,
    "ax_ft_s2": 2.0,
    "ay_ft_s2": 1.5,
    "az_ft_s2": 2.0,
}


def usual_spread(level: Level) -> dict[str, float]:
    """Return the usual standard deviation of each measured quantity within a pitch, in its canonical unit.

    Parameters
    ----------
    level : str
        Level of the pitcher.
    """
    # The role of a measured pitch is not known here; a breaking ball's axis scatters most.
    spread = default_spread(level, "breaking")
    own = ("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "launch_elevation_deg", "launch_azimuth_deg")
    side, height, extension = (
        spread[key] * INCH / FOOT for key in ("release_side_in", "release_height_in", "extension_in")
    )
    return {
        **{key: SPREAD_FACTOR[level] * value for key, value in PROFESSIONAL_SPREAD.items()},
        **{key: spread[key] for key in own},
        "release_side_ft": side, "release_height_ft": height, "extension_ft": extension,
        "x0_ft": side, "y0_ft": extension, "z0_ft": height,
        "arrival_speed_mph": spread["speed_mph"], "vy0_ft_s": spread["speed_mph"] * MPH / FOOT,
    }  # fmt: skip
