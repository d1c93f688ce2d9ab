"""How much an ordinary pitch scatters in each measured quantity: what small samples are held against."""

from __future__ import annotations

from latebreak.engine.units import FOOT, INCH, MPH
from latebreak.service.scenario.level_defaults import SPREAD_FACTOR, default_spread
from latebreak.service.scenario.section import Level

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
    inch_in_feet = INCH / FOOT
    return {key: SPREAD_FACTOR[level] * value for key, value in PROFESSIONAL_SPREAD.items()} | {
        "speed_mph": spread["speed_mph"],
        "spin_rpm": spread["spin_rpm"],
        "break_clock_deg": spread["break_clock_deg"],
        "gyro_deg": spread["gyro_deg"],
        "release_side_ft": spread["release_side_in"] * inch_in_feet,
        "release_height_ft": spread["release_height_in"] * inch_in_feet,
        "extension_ft": spread["extension_in"] * inch_in_feet,
        "launch_elevation_deg": spread["launch_elevation_deg"],
        "launch_azimuth_deg": spread["launch_azimuth_deg"],
        "arrival_speed_mph": spread["speed_mph"],
        "x0_ft": spread["release_side_in"] * inch_in_feet,
        "y0_ft": spread["extension_in"] * inch_in_feet,
        "z0_ft": spread["release_height_in"] * inch_in_feet,
        "vy0_ft_s": spread["speed_mph"] * MPH / FOOT,
    }
