"""Keys of what is measured and fitted, with the size of their units in SI, in the engine's order."""

from __future__ import annotations

from latebreak.engine.pitch.pitch import LEVERS
from latebreak.service.quantities import QUANTITIES
from latebreak.service.quantities.flight import TRACK


def _si(*keys: str) -> dict[str, float]:
    return {key: QUANTITIES[key].unit.si for key in keys}


#: Keys of the mean levers in the order of `LEVERS`.
LEVER_KEYS = _si(
    "speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_ft", "release_height_ft", "extension_ft",
    "launch_elevation_deg", "launch_azimuth_deg",
)  # fmt: skip
if len(LEVER_KEYS) != len(LEVERS):
    raise AssertionError("the keys of the levers and the engine's levers are out of step")

#: Keys of arrival place and induced breaks: side, then height, as in `latebreak.engine.inverse.observed.Observed`.
ARRIVAL_KEYS = _si("arrival_side_ft", "arrival_height_ft")
INDUCED_KEYS = _si("induced_side_break_in", "induced_vertical_break_in")
TARGET_KEYS = _si("target_side_ft", "target_height_ft")

#: Keys of the nine numbers of a track: x, y, z of position, velocity and acceleration.
TRACK_KEYS = _si(*(one.key for one in TRACK))


def wrapped(degrees: float) -> float:
    """Bring an angle to [-180, 180)."""
    return (degrees + 180.0) % 360.0 - 180.0
