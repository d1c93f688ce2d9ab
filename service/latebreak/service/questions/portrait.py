"""A pitch as it can be drawn: its way to the plate, and what a hitter sees, believes and expects of it meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Track:
    """A mean path from release to the plate's front edge; float64 arrays of shape (p,).

    Attributes
    ----------
    time_ms : float64 array
        After release; equal steps of 4 ms, the last is the arrival.
    from_plate_ft : float64 array
        From the plate's front edge; falls to 0.
    side_ft, height_ft : float64 array
        To the catcher's right, and above the ground.
    right_deg, up_deg : float64 array
        Where it appears from the hitter's eye: to the right of straight ahead toward the mound, and above the level.
    radius_deg : float64 array
        How large the ball appears: its radius.
    """

    time_ms: Array
    from_plate_ft: Array
    side_ft: Array
    height_ft: Array
    right_deg: Array
    up_deg: Array
    radius_deg: Array


@dataclass(frozen=True, eq=False)
class Spread:
    """Where 5 to 95 % of the throws pass, ft; float64 arrays of shape (q,).

    Attributes
    ----------
    from_plate_ft : float64 array
        From the plate's front edge; falls to 0.
    side_low_ft, side_high_ft, height_low_ft, height_high_ft : float64 array
        5 and 95 % of the throws that arrived.
    """

    from_plate_ft: Array
    side_low_ft: Array
    side_high_ft: Array
    height_low_ft: Array
    height_high_ft: Array


@dataclass(frozen=True, eq=False)
class Belief:
    """What a hitter believes it is, moment by moment.

    Attributes
    ----------
    time_ms : float64 array, shape (c,)
        After release, to the last moment at which what is seen can still move the bat.
    types : tuple of str
        Names of the pitches he has in mind, the fastball first.
    mean, low, high : float64 array, shape (H, c)
        Percent: mean over the throws, and 5 and 95 % of them.
    """

    time_ms: Array
    types: tuple[str, ...]
    mean: Array
    low: Array
    high: Array


@dataclass(frozen=True)
class Expectation:
    """Where and when a hitter, as he decides, expects the mean pitch to arrive.

    Attributes
    ----------
    side_ft, height_ft : float
        At the plate's front edge: the mean arrival and the mean over throws of how far he is off.
    side_low_ft, side_high_ft, height_low_ft, height_high_ft : float
        5 and 95 % of the throws.
    arrival_ms : float
        When, after release.
    """

    side_ft: float
    side_low_ft: float
    side_high_ft: float
    height_ft: float
    height_low_ft: float
    height_high_ft: float
    arrival_ms: float


@dataclass(frozen=True, eq=False)
class Portrait:
    """One pitch beside the fastball.

    Attributes
    ----------
    name, fastball : str
        What people read for the pitch and the fastball.
    thrown, beside : Track
        The pitch; the fastball at its own target.
    thrown_spread, beside_spread : Spread
        Of the pitch and of the fastball.
    decides_ms, decided_ms : float
        After release: his last look that counts, and a latency later, when he goes or not by what he saw.
    belief : Belief
        What he believes it is.
    expectation : Expectation
        Where he expects it as he decides.
    arrivals_ft, fastball_arrivals_ft : float64 array, shape (k, 2)
        Side and height at the plate of some throws, at most 300.
    """

    name: str
    fastball: str
    thrown: Track
    beside: Track
    thrown_spread: Spread
    beside_spread: Spread
    decides_ms: float
    decided_ms: float
    belief: Belief
    expectation: Expectation
    arrivals_ft: Array
    fastball_arrivals_ft: Array


@dataclass(frozen=True)
class Zone:
    """Strike zone as it is drawn, ft."""

    left_ft: float
    right_ft: float
    low_ft: float
    high_ft: float


@dataclass(frozen=True, eq=False)
class PortraitResult:
    """Pitches that can be drawn.

    Attributes
    ----------
    fastball : str
        What people read for the reference fastball.
    hand, bats : {"right", "left"}
        The pitcher's hand, and the side from which the hitter bats.
    eye_ft : tuple of float
        The hitter's eye: side (to the catcher's right), height, and how far behind the plate's front edge; ft.
    zone : Zone
        The strike zone.
    pitches : dict of str to Portrait
        The compared pitches.
    """

    fastball: str
    hand: str
    bats: str
    eye_ft: tuple[float, float, float]
    zone: Zone
    pitches: dict[str, Portrait]
