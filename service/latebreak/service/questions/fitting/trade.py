"""Keys of what is measured and fitted, with the size of their units in SI, in the engine's order."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.pitch import LEVERS
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM

PERCENT = 0.01

#: Keys of the mean levers in the order of `LEVERS`.
LEVER_KEYS = {
    "speed_mph": MPH,
    "spin_rpm": RPM,
    "break_clock_deg": DEGREE,
    "gyro_deg": DEGREE,
    "release_side_ft": FOOT,
    "release_height_ft": FOOT,
    "extension_ft": FOOT,
    "launch_elevation_deg": DEGREE,
    "launch_azimuth_deg": DEGREE,
}
LEVER_SI: NDArray[np.float64] = np.array(list(LEVER_KEYS.values()))
if len(LEVER_KEYS) != len(LEVERS):
    raise AssertionError("the keys of the levers and the engine's levers are out of step")

#: Keys of arrival place and induced breaks: side, then height, as in `latebreak.engine.observed.Observed`.
ARRIVAL_KEYS = {"arrival_side_ft": FOOT, "arrival_height_ft": FOOT}
INDUCED_KEYS = {"induced_side_break_in": INCH, "induced_vertical_break_in": INCH}
TARGET_KEYS = {"target_side_ft": FOOT, "target_height_ft": FOOT}

#: Keys of the nine numbers of a track: x, y, z of position, velocity and acceleration.
TRACK_KEYS = {
    **{f"{axis}0_ft": FOOT for axis in "xyz"},
    **{f"v{axis}0_ft_s": FOOT for axis in "xyz"},
    **{f"a{axis}_ft_s2": FOOT for axis in "xyz"},
}


def clock_face(degrees: float) -> str:
    """Word a clock direction, degrees clockwise from 12:00, as a clock time to the minute."""
    minutes = round(degrees * 2.0) % 720  # an hour is 30 degrees
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def wrapped(degrees: float) -> float:
    """Bring an angle to [-180, 180)."""
    return (degrees + 180.0) % 360.0 - 180.0
