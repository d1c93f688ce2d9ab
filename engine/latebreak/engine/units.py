"""Exact factors from trade units to SI, as the names say.

References
----------
NIST Special Publication 811 (2008), Guide for the Use of the International System of Units, appendix B
(foot, inch, mile, avoirdupois ounce are exact by definition).
"""

from math import pi

FOOT = 0.3048  # m
INCH = 0.0254  # m
MPH = 1609.344 / 3600.0  # m/s
KMH = 1.0 / 3.6  # m/s
RPM = 2.0 * pi / 60.0  # rad/s
DEGREE = pi / 180.0  # rad
ARCMIN = DEGREE / 60.0  # rad
OUNCE = 0.45359237 / 16.0  # kg
MILLISECOND = 1e-3  # s
STANDARD_GRAVITY = 9.80665  # m/s2; 3rd CGPM (1901)
