"""Pressure of the standard atmosphere at a height above sea level.

References
----------
ISO 2533:1975, Standard Atmosphere; identical below 32 km to ICAO Doc 7488, Manual of the ICAO Standard Atmosphere.
The constants are the defining constants of both; values from memory.
"""

from __future__ import annotations

from latebreak.engine.errors import Fault, InputError
from latebreak.engine.units import STANDARD_GRAVITY

SEA_LEVEL_PRESSURE = 101325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
LAPSE_RATE = 0.0065  # K/m, fall of temperature with geopotential height in the troposphere
DRY_AIR_GAS_CONSTANT = 287.05287  # J/(kg K)

LOWEST_ALTITUDE = -500.0  # m; chosen: below the lowest land (about -430 m)
HIGHEST_ALTITUDE = 11000.0  # m; top of the troposphere, where the lapse rate ends


def standard_pressure(altitude: float) -> float:
    """Pressure of the standard atmosphere in the troposphere.

    Parameters
    ----------
    altitude : float
        H in m, geopotential, -500 to 11,000. The height on a map is geometric: it is the larger by 0.03 % at 2,000 m,
        which changes the pressure by less than 1e-4.

    Returns
    -------
    float
        Pa.

    Raises
    ------
    InputError
        Altitude outside the range.

    Notes
    -----
    p = p0 (1 - L H / T0)^(g / (R L)): hydrostatic balance of an ideal gas whose temperature falls linearly.
    """
    if not LOWEST_ALTITUDE <= altitude <= HIGHEST_ALTITUDE:
        allowed = f"{LOWEST_ALTITUDE:g} to {HIGHEST_ALTITUDE:g} m"
        raise InputError([Fault("altitude", f"{altitude!r} is out of range", allowed, "or give the pressure itself")])
    exponent = STANDARD_GRAVITY / (DRY_AIR_GAS_CONSTANT * LAPSE_RATE)
    return float(SEA_LEVEL_PRESSURE * (1.0 - LAPSE_RATE * altitude / SEA_LEVEL_TEMPERATURE) ** exponent)
