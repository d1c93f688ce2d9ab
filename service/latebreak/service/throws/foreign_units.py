"""Units in which a column may be written, each with its factor to the canonical unit of the quantity."""

from __future__ import annotations

from latebreak.engine.units import DEGREE, FOOT, INCH, KMH, MPH, RPM

REVOLUTION_PER_SECOND = 60.0 * RPM  # rad/s, exact
#: Units of one dimension by their symbol, in SI units or, of shares, in 1.
DIMENSIONS: tuple[dict[str, float], ...] = (
    {"mph": MPH, "km/h": KMH, "m/s": 1.0, "ft/s": FOOT},
    {"ft": FOOT, "in": INCH, "m": 1.0, "cm": 0.01, "mm": 0.001},
    {"rpm": RPM, "rps": REVOLUTION_PER_SECOND, "rad/s": 1.0},
    {"deg": DEGREE, "rad": 1.0},
    {"%": 0.01, "share": 1.0},
    {"ft/s2": FOOT, "m/s2": 1.0},
)
#: Other spellings of a symbol; the endings of keys (kmh, ft_s2, percent) are among them.
SPELLINGS = {
    "kmh": "km/h",
    "kph": "km/h",
    "m_s": "m/s",
    "ft_s": "ft/s",
    "fps": "ft/s",
    "feet": "ft",
    "foot": "ft",
    "'": "ft",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "meter": "m",
    "metre": "m",
    "meters": "m",
    "metres": "m",
    "rev/min": "rpm",
    "rev/s": "rps",
    "hz": "rps",
    "°": "deg",
    "degree": "deg",
    "degrees": "deg",
    "radian": "rad",
    "radians": "rad",
    "percent": "%",
    "fraction": "share",
    "ft_s2": "ft/s2",
    "m_s2": "m/s2",
}


def factors(canonical: str) -> dict[str, float]:
    """Return every unit of a quantity: value of the canonical unit = factor * value of this one.

    Parameters
    ----------
    canonical : str
        Symbol of the canonical unit.
    """
    dimension = next(units for units in DIMENSIONS if canonical in units)
    return {symbol: size / dimension[canonical] for symbol, size in dimension.items()}


def symbol_of(written: str) -> str:
    """Return the symbol that a spelling means; an unknown spelling comes back as it is."""
    plain = written.strip().lower().removeprefix("_").replace("²", "2").replace("^2", "2")
    return SPELLINGS.get(plain, plain)
