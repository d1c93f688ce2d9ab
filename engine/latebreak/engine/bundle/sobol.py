"""Sobol points in thirteen dimensions, scrambled.

A module of our own because `scipy.stats.qmc` alone takes longer to import than the first answer may take; the tests
hold the unscrambled points against it, digit by digit.

References
----------
Joe, S., Kuo, F. Y. (2008), Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput.
30(5):2635-2654: primitive polynomials and initial direction numbers (their table new-joe-kuo-6).
Matousek, J. (1998), On the L2-discrepancy for anchored boxes, J. Complexity 14(4):527-556: linear matrix scrambling.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

BITS = 32
DIMENSIONS = 13

# (primitive polynomial as a bit mask, initial direction numbers) of dimensions 2 to 13; the first is van der Corput's
_TABLE = (
    (3, (1,)),
    (7, (1, 3)),
    (11, (1, 3, 1)),
    (13, (1, 1, 1)),
    (19, (1, 1, 3, 3)),
    (25, (1, 3, 5, 13)),
    (37, (1, 1, 5, 5, 17)),
    (41, (1, 1, 5, 5, 5)),
    (47, (1, 1, 7, 11, 19)),
    (55, (1, 1, 5, 1, 1)),
    (59, (1, 1, 1, 3, 11)),
    (61, (1, 3, 5, 5, 31)),
)


def direction_numbers() -> NDArray[np.uint32]:
    """Direction numbers, most significant bit first.

    Returns
    -------
    uint32 array, shape (13, 32)
        Column j belongs to bit j of the (Gray-coded) index of a point.
    """
    v = np.zeros((DIMENSIONS, BITS), np.uint64)
    v[0] = 1
    for d, (polynomial, initial) in enumerate(_TABLE, start=1):
        degree = len(initial)
        v[d, :degree] = initial
        for j in range(degree, BITS):
            # m_j = m_(j-k) xor 2^k m_(j-k) xor the terms of the polynomial's inner coefficients
            term = int(v[d, j - degree]) ^ (int(v[d, j - degree]) << degree)
            for i in range(1, degree):
                if polynomial >> (degree - i) & 1:
                    term ^= int(v[d, j - i]) << i
            v[d, j] = term
    return (v << (BITS - 1 - np.arange(BITS, dtype=np.uint64))).astype(np.uint32)


def points(count: int, directions: NDArray[np.uint32]) -> NDArray[np.uint32]:
    """First points of the sequence in Gray-code order.

    Parameters
    ----------
    count : int
        Number of points, 1 to 2^32.
    directions : uint32 array, shape (13, 32)
        Direction numbers.

    Returns
    -------
    uint32 array, shape (13, count)
        Coordinates in units of 2^-32.
    """
    index = np.arange(count, dtype=np.uint32)
    gray = index ^ (index >> np.uint32(1))
    result = np.zeros((DIMENSIONS, count), np.uint32)
    for j in range(max(1, (count - 1).bit_length())):
        bit = (gray >> np.uint32(j)) & np.uint32(1)
        result ^= bit * directions[:, j, None]
    return result


def scrambled(directions: NDArray[np.uint32], generator: np.random.Generator) -> NDArray[np.uint32]:
    """Linear matrix scrambling: each dimension's digits times a random lower unit-triangular matrix over GF(2).

    Parameters
    ----------
    directions : uint32 array, shape (13, 32)
        Direction numbers.
    generator : numpy.random.Generator
        Source of the random bits.

    Returns
    -------
    uint32 array, shape (13, 32)
        Scrambled direction numbers.
    """
    result = np.zeros_like(directions)
    for row in range(BITS):  # row 0 makes the most significant digit
        place = BITS - 1 - row
        above = generator.integers(0, 2**32, size=DIMENSIONS, dtype=np.uint64)
        above &= np.uint64((0xFFFFFFFF << (place + 1)) & 0xFFFFFFFF)
        mask = (above | np.uint64(1 << place)).astype(np.uint32)
        parity = np.bitwise_count(directions & mask[:, None]) & 1
        result |= parity.astype(np.uint32) << np.uint32(place)
    return result
