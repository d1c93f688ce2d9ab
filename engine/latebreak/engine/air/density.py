"""Density of moist air by the CIPM-2007 equation.

References
----------
Picard, Davis, Glaeser, Fujii (2008), Revised formula for the density of moist air (CIPM-2007), Metrologia 45:149-155.
Every constant below stands in that paper; all of them are values from memory, checked in the tests against an
independent formulation of humid air.
"""

from __future__ import annotations

from math import exp

from latebreak.engine.errors import Fault, InputError

GAS_CONSTANT = 8.314472  # J/(mol K); CODATA 2006, as CIPM-2007 uses it
WATER_MOLAR_MASS = 18.01528e-3  # kg/mol
ICE_POINT = 273.15  # K; t = T - ICE_POINT in degrees Celsius

#: What `moist_air_density` accepts: name, lowest, highest, unit. Chosen: wider than any game. Against CoolProp's humid
#: air the density is within 3e-4 from 223 to 323 K above 50 kPa, and within 2e-3 in the hot, thin, saturated corner.
LIMITS = (
    ("temperature", 223.15, 333.15, "K"),
    ("pressure", 20e3, 120e3, "Pa"),
    ("humidity", 0.0, 1.0, "as a fraction"),
    ("co2", 0.0, 0.01, "as a mole fraction"),
)


def moist_air_density(temperature: float, pressure: float, humidity: float, co2: float = 4e-4) -> float:
    r"""Density of moist air.

    Parameters
    ----------
    temperature : float
        T in K, 223.15 to 333.15.
    pressure : float
        p in Pa at the place itself (station pressure, not reduced to sea level), 20e3 to 120e3.
    humidity : float
        Relative humidity h, 0 to 1, over liquid water also below freezing.
    co2 : float
        Mole fraction of carbon dioxide x_CO2, 0 to 0.01.

    Returns
    -------
    float
        kg/m3.

    Raises
    ------
    InputError
        Values outside these ranges, all of them at once.

    Notes
    -----
    .. math:: \rho = \frac{p M_a}{Z R T} \left[1 - x_v \left(1 - \frac{M_v}{M_a}\right)\right]

    The authors recommend it from 15 to 27 degrees Celsius and 600 to 1100 hPa, with a relative standard uncertainty of
    the equation of 22e-6 (value from memory); outside it is an extrapolation.
    """
    given = (temperature, pressure, humidity, co2)
    faults = [
        Fault(name, f"{value!r} is out of range", f"{low:g} to {high:g} {unit}")
        for value, (name, low, high, unit) in zip(given, LIMITS, strict=True)
        if not low <= value <= high
    ]
    if faults:
        raise InputError(faults)
    x_v = _water_fraction(temperature, pressure, humidity)
    m_a = (28.96546 + 12.011 * (co2 - 4e-4)) * 1e-3  # molar mass of dry air, kg/mol
    z = _compressibility(temperature, pressure, x_v)
    return pressure * m_a / (z * GAS_CONSTANT * temperature) * (1.0 - x_v * (1.0 - WATER_MOLAR_MASS / m_a))


def _water_fraction(temperature: float, pressure: float, humidity: float) -> float:
    """Mole fraction of water vapour x_v = h f p_sv / p."""
    t = temperature - ICE_POINT
    # Saturation vapour pressure p_sv (Pa) over liquid water; coefficients in 1/K2, 1/K, 1, K.
    p_sv = exp(1.2378847e-5 * temperature**2 - 1.9121316e-2 * temperature + 33.93711047 - 6.3431645e3 / temperature)
    # Enhancement factor f: vapour in air saturates above p_sv; coefficients in 1, 1/Pa, 1/K2.
    f = 1.00062 + 3.14e-8 * pressure + 5.6e-7 * t**2
    return humidity * f * p_sv / pressure


def _compressibility(temperature: float, pressure: float, x_v: float) -> float:
    """Compressibility factor Z, a series in p/T; a, b, c in K/Pa, 1/Pa, 1/(K Pa) by power of t, d and e in K2/Pa2."""
    t = temperature - ICE_POINT
    p_t = pressure / temperature
    a = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t**2
    b = 5.707e-6 - 2.051e-8 * t
    c = 1.9898e-4 - 2.376e-6 * t
    d, e = 1.83e-11, -0.765e-8
    return 1.0 - p_t * (a + b * x_v + c * x_v**2) + p_t**2 * (d + e * x_v**2)
