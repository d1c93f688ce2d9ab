"""Elementary functions that vectorise: sine with cosine, arc tangent, exponential, logarithm, the normal distribution.

The compiler turns loops over these into vector code; calls of the mathematical library would stay scalar.
"""

from __future__ import annotations

import numpy as np

from latebreak.engine.jit import inlined

_TURN = 2.0 * np.pi


@inlined
def sine_cosine(angle: float) -> tuple[float, float]:
    """(sin, cos) of an angle in rad, to 1e-10 after reduction to -pi..pi: Taylor series to degree 23 and 24."""
    a = angle - _TURN * np.floor(angle * (1.0 / _TURN) + 0.5)
    q = a * a
    s = 1 / 51090942171709440000 - q * (1 / 25852016738884976640000)
    s = 1 / 355687428096000 - q * (1 / 121645100408832000 - q * s)
    s = 1 / 6227020800 - q * (1 / 1307674368000 - q * s)
    s = 1 / 362880 - q * (1 / 39916800 - q * s)
    s = 1 / 120 - q * (1 / 5040 - q * s)
    s = 1.0 - q * (1 / 6 - q * s)
    c = 1 / 1124000727777607680000 - q * (1 / 620448401733239439360000)
    c = 1 / 6402373705728000 - q * (1 / 2432902008176640000 - q * c)
    c = 1 / 87178291200 - q * (1 / 20922789888000 - q * c)
    c = 1 / 3628800 - q * (1 / 479001600 - q * c)
    c = 1 / 720 - q * (1 / 40320 - q * c)
    c = 1.0 - q * (1 / 2 - q * (1 / 24 - q * c))
    return a * s, c


@inlined
def arctangent(y: float, x: float) -> float:
    """Arc tangent of y/x in rad for x > 0, to 1e-10: reduction to |r| <= tan(pi/8) by one division, then its series."""
    size = abs(y)
    steep = size > x
    a, b = min(size, x), max(size, x)
    upper = a > 0.4142135623730951 * b
    r = (a - b if upper else a) / (a + b if upper else b)  # arctan a/b = pi/4 + arctan (a - b)/(a + b)
    q = r * r
    s = 1 / 13 - q * (1 / 15 - q * (1 / 17 - q * (1 / 19 - q * (1 / 21 - q * (1 / 23)))))
    s = r * (1.0 - q * (1 / 3 - q * (1 / 5 - q * (1 / 7 - q * (1 / 9 - q * (1 / 11 - q * s))))))
    s = 0.7853981633974483 + s if upper else s
    s = 1.5707963267948966 - s if steep else s
    return -s if y < 0.0 else s


@inlined
def inverse_root(x: float) -> float:
    """1/sqrt(x) of a positive normal double, relative error below 1e-15: no division and no root, whose unit is narrow.

    Halving the exponent by bits gives y to 3.4 %; with e = 1 - x y^2 the binomial series of 1/sqrt(x) = y / sqrt(1 - e)
    goes to e^3, which leaves 1e-5, and then to e^2.
    """
    bits = np.float64(x).view(np.uint64)
    y: float = np.uint64(np.uint64(0x5FE6EB50C7B537A9) - (bits >> np.uint64(1))).view(np.float64)
    e = 1.0 - x * y * y
    y = y + y * e * (1 / 2 + e * (3 / 8 + e * (5 / 16)))
    e = 1.0 - x * y * y
    return y + y * e * (1 / 2 + e * (3 / 8))


@inlined
def logarithm(x: float) -> float:
    """Natural logarithm of a positive normal double, to 1e-12: exponent by bits, mantissa by a polynomial.

    log(1 + r) / r for 1 + r from sqrt(1/2) to sqrt(2): interpolated at 15 Chebyshev nodes.
    """
    bits = np.float64(x).view(np.uint64)
    above = bits - np.uint64(0x3FE6A09E667F3BCD)  # the bits of sqrt(1/2)
    places = above & np.uint64(0xFFF0000000000000)  # x = 2^n m, m from sqrt(1/2) to sqrt(2): n in the exponent's place
    r = np.uint64(bits - places).view(np.float64) - 1.0
    # n + 2048 is not negative, so it shifts like any number, and 32 bits become doubles in vector code
    power = np.float64(np.int32(((above + np.uint64(0x8000000000000000)) >> np.uint64(52)) - np.uint64(2048)))
    q = r * r  # even and odd powers apart: half as long a chain of steps that wait for each other
    even = 0.11119413648805682 + q * (0.0895415834808944 + q * (0.08750396377158 + q * 0.04272970726634267))
    even = 0.20000003805977493 + q * (0.14285458233749726 + q * even)
    even = 1.0000000000002174 + q * (0.33333333311415186 + q * even)
    odd = -0.12501075298765177 + q * (-0.09987369132969053 + q * (-0.08317400459588482 + q * -0.08468020899927593))
    odd = -0.4999999999851258 + q * (-0.2500000043314181 + q * (-0.16666632234578527 + q * odd))
    return r * (even + r * odd) + power * 0.6931471805599453


@inlined
def exponential(x: float) -> float:
    """e^x to a relative 1e-11, x cut to -700..700: a power of two by bits, the rest by a Taylor series to degree 9."""
    x = min(max(x, -700.0), 700.0)
    n = np.floor(x * 1.4426950408889634 + 0.5)
    r = x - n * 0.6931471805599453
    series = 1.0 + r * (1 / 8) * (1.0 + r * (1 / 9))
    series = 1.0 + r * (1 / 4) * (1.0 + r * (1 / 5) * (1.0 + r * (1 / 6) * (1.0 + r * (1 / 7) * series)))
    total: float = 1.0 + r * (1.0 + r * (1 / 2) * (1.0 + r * (1 / 3) * series))
    # 2^n: added to 1.5 * 2^52, n + 1023 stands in the lowest bits, from where it is shifted into the exponent
    power: float = np.int64(np.float64(n + 6755399441056767.0).view(np.int64) << 52).view(np.float64)
    return total * power


@inlined
def _half_tail(z: float, t: float) -> float:
    """erfc(z)/2 for z >= 0, with t = 1/(1 + 0.3275911 z)."""
    tail = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    return 0.5 * tail * exponential(-z * z)


@inlined
def normal_distribution(x: float) -> float:
    """Distribution function of the standard normal, absolute error below 1e-7.

    References
    ----------
    Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 7.1.26: erf to 1.5e-7; value of the coefficients
    from memory, checked in the tests against scipy.special.ndtr.
    """
    z = abs(x) * 0.7071067811865476
    half = _half_tail(z, 1.0 / (1.0 + 0.3275911 * z))
    return half if x < 0.0 else 1.0 - half


@inlined
def normal_interval(low: float, high: float) -> float:
    """Chance that a standard normal deviate lies between two values, low <= high, absolute error below 2e-7.

    As two values of `normal_distribution`, but with one division for both.
    """
    a, b = abs(low) * 0.7071067811865476, abs(high) * 0.7071067811865476
    p, q = 1.0 + 0.3275911 * a, 1.0 + 0.3275911 * b
    over = 1.0 / (p * q)
    below, above = _half_tail(a, q * over), _half_tail(b, p * over)
    below = below if low < 0.0 else 1.0 - below
    above = above if high < 0.0 else 1.0 - above
    return above - below


@inlined
def normal_quantile(p: float) -> float:
    """Inverse of the standard normal distribution function for 2^-33 <= p <= 1 - 2^-33, absolute error below 2e-9.

    One smooth function for middle and tails: with q = p - 1/2 and w = -log(4 p (1 - p)) it is q times a rational
    function of w, here the least largest error to `scipy.special.ndtri` over 0 <= w <= 21.5 (fitted for this place).
    """
    q = p - 0.5
    w = -1.3862943611198906 - logarithm(p * (1.0 - p))
    over = 7.404354280968801e-05 + w * (9.825858182131503e-07 + w * 6.109348290926085e-08)
    over = 0.15677449557282597 + w * (0.020324175281404854 + w * (0.0016990466780128248 + w * over))
    over = 2.5066282948192598 + w * (0.8211612477241659 + w * over)
    under = 1.023753887761386e-06 + w * (1.582619510522155e-07 + w * 1.0069894040906284e-09)
    under = 0.03228602385668538 + w * (0.0014337732583883736 + w * (0.00019898628008811121 + w * under))
    under = 1.0 + w * (0.06579665757519094 + w * under)
    return q * over / under
