"""Quantities of a pitch: the keys of a scenario and of measured throws, their scatter, and what is moved of them."""

from __future__ import annotations

from latebreak.service.quantities.quantity import ABOVE_GROUND, HEIGHT, SIDE, TURN, Quantity, Sign, Told
from latebreak.service.quantities.units import (
    CLOCK_MINUTES,
    DEGREES,
    INCHES,
    MILES_PER_HOUR,
    NUMBER,
    PERCENT,
    POINTS,
    REVOLUTIONS_PER_MINUTE,
    Unit,
    unit_of,
)

#: How the keys of spreads begin, as in `spread.speed_mph`.
SPREAD = "spread."
SPREAD_SCALE, CLOCK_SPREAD = "spread_scale", "spread.break_clock_deg"

_HIGHER: Sign = ("higher", "lower")
_LARGER: Sign = ("larger", "smaller")


def _sides(verb: str) -> Told:
    return Told(f"{verb} farther to the glove side", f"{verb} farther to the arm side", INCHES)


#: The mean pitch.
MEAN = (
    Quantity(
        "speed_mph", "speed", matters=0.5, change_sign=("faster", "slower"),
        told=Told("faster", "slower", MILES_PER_HOUR),
    ),
    Quantity("spin_rpm", "spin rate", 0, matters=50.0, told=Told("more spin", "less spin", REVOLUTIONS_PER_MINUTE, 0)),
    Quantity(
        "break_clock_deg", "break clock", 0, matters=5.0, change_sign=TURN, change_unit=CLOCK_MINUTES,
        told=Told("break clock turned clockwise", "break clock turned back", DEGREES, 0),
    ),
    Quantity("gyro_deg", "gyro angle", 0, TURN, matters=5.0),
    Quantity(
        "efficiency_percent", "spin efficiency", 0, matters=5.0, change_digits=1,
        told=Told("cleaner axis", "less clean axis", POINTS, 0, "points of efficiency"),
    ),
    Quantity("release_side_ft", "release side", 2, SIDE, matters=0.1, change_unit=INCHES, change_digits=1,
             told=_sides("released")),
    Quantity(
        "release_height_ft", "release height", 2, ABOVE_GROUND, matters=0.1, change_sign=_HIGHER, change_unit=INCHES,
        change_digits=1, told=Told("released higher", "released lower", INCHES),
    ),
    Quantity(
        "extension_ft", "extension", 2, ("", "behind the rubber"), matters=0.1, change_sign=("longer", "shorter"),
        change_unit=INCHES, change_digits=1, told=Told("more extension", "less extension", INCHES),
    ),
    Quantity("launch_elevation_deg", "launch elevation", 1, HEIGHT, matters=0.2),
    Quantity("launch_azimuth_deg", "launch azimuth", 1, SIDE, matters=0.2),
    Quantity("target_side_ft", "target side", 2, SIDE, "side at the plate", matters=0.1, change_unit=INCHES,
             change_digits=1, told=_sides("arrives")),
    Quantity(
        "target_height_ft", "target height", 2, ABOVE_GROUND, "height at the plate", matters=0.1, change_sign=_HIGHER,
        change_unit=INCHES, change_digits=1, told=Told("arrives higher", "arrives lower", INCHES),
    ),
    Quantity("drag_coefficient", "drag coefficient", 3, short="drag", matters=0.01,
             told=Told("more drag", "less drag", NUMBER, 3)),
    Quantity("lift_scale", "lift, times the usual", 2, short="lift", matters=0.05,
             told=Told("more lift for its spin", "less lift for its spin", NUMBER, 2, "times the usual")),
    Quantity("seam_force", "seam-made force", 3, matters=0.01,
             told=Told("more seam-made force", "less seam-made force", NUMBER, 3)),
    Quantity("seam_force_clock_deg", "direction of the seam-made force", 0, matters=15.0, change_sign=TURN,
             change_unit=CLOCK_MINUTES),
)  # fmt: skip


def _spread(key: str, of: str, digits: int = 1, matters: float = 0.5) -> Quantity:
    told = Told(f"{of} varies more", f"{of} varies less", unit_of(SPREAD + key), min(digits, 1))
    return Quantity(
        SPREAD + key, f"spread of {of}", digits, short=of, matters=matters, change_sign=_LARGER, told=told,
        change_digits=min(digits, 1),
    )  # fmt: skip


#: Scatter from throw to throw, standard deviations; less of it is no merit of its own.
SCATTER = (
    _spread("speed_mph", "speed"),
    _spread("spin_rpm", "spin rate", 0, 30.0),
    _spread("break_clock_deg", "break clock", matters=2.0),
    _spread("gyro_deg", "gyro angle", matters=2.0),
    _spread("release_side_in", "release side"),
    _spread("release_height_in", "release height"),
    _spread("extension_in", "extension"),
    _spread("launch_elevation_deg", "launch elevation", 2, 0.1),
    _spread("launch_azimuth_deg", "launch azimuth", 2, 0.1),
    _spread("drag_coefficient", "drag", 3, 0.01),
    _spread("lift_scale", "lift", 3, 0.05),
    _spread("seam_force", "seam-made force", 3, 0.01),
    Quantity(
        SPREAD_SCALE, "spread", 2, short="spread of the throws", own_unit=Unit("", "times the spread"),
        change_sign=_LARGER, change_unit=PERCENT, change_digits=0, matters=0.1,
    ),
)  # fmt: skip
