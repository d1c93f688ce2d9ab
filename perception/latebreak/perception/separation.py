"""Same-line separation: until when a pitch looks like the fastball.

The pitch is set against the fastball thrown from the same point on the same line. With D what differs in the eye
(angles and log size), J how what is seen changes with the release (speed, side, height, azimuth, elevation), C the
scatter of the release, and W = F diag(1/R) the evidence of the looks so far, the detectability is

    d'^2 = D'WD - u'(C^-1 + J'WJ)^-1 u,    u = J'WD:

what the looks tell, less what another release of a fastball could explain. The paths have separated when d' = 1.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import (
    AZIMUTH,
    ELEVATION,
    EXTENSION,
    HEIGHT,
    SIDE,
    MeanPitches,
)
from latebreak.engine.flight import Flight
from latebreak.engine.kernel import AT_TIME
from latebreak.perception.hitter import Traits
from latebreak.perception.noise import eccentricity, look_variance
from latebreak.perception.sight import angular_speed, sight_matrix
from latebreak.perception.view import LOOK, THETA, look_times, view

Array = NDArray[np.float64]

_FEWEST_STEPS = 4  # of the flight behind the place of the separation
_DETECTED = 1.0  # d' at which the paths have separated


@dataclass(frozen=True, eq=False)
class Separation:
    """When a pitch separates from the fastball on its line; arrays of shape (m,).

    Attributes
    ----------
    distance : float64 array
        m from the plate's front edge where the pitch then is; 0 where it never separates.
    after_release, before_arrival : float64 array
        s; the flight time and 0 where it never separates.
    reached : bool array
        Whether it separates before it arrives.
    """

    distance: Array
    after_release: Array
    before_arrival: Array
    reached: NDArray[np.bool_]


def same_line(pitch: MeanPitches, fastball: MeanPitches) -> MeanPitches:
    """Return the fastball thrown from the pitch's release point along its launch direction."""
    levers = fastball.levers.copy()
    levers[[SIDE, HEIGHT, EXTENSION, ELEVATION, AZIMUTH]] = pitch.levers[[SIDE, HEIGHT, EXTENSION, ELEVATION, AZIMUTH]]
    return replace(fastball, levers=levers, target=None)


def same_line_separation(
    pitch: MeanPitches,
    pitch_flight: Flight,
    fastball: MeanPitches,
    fastball_flight: Flight,
    factor: Array,
    eye: Array,
    traits: Traits,
) -> Separation:
    """Find when pitches separate from the fastball on their line.

    Parameters
    ----------
    pitch, fastball : MeanPitches
        Aimed mean pitches, m columns each: the same question under m sets of coefficients.
    pitch_flight, fastball_flight : Flight
        How they fly.
    factor : float64 array, shape (9, 9)
        Factor of the covariance of the levers; its part of speed, release point and launch angles is C.
    eye : float64 array, shape (3,)
        Place of the eye, m.
    traits : Traits
        m sets of the hitter's parameters.

    Returns
    -------
    Separation
        Of each column.
    """
    arrival: Array = pitch_flight.arrivals(pitch.releases())[AT_TIME]
    looks = look_times(float(arrival.max()))
    here = view(pitch, pitch_flight, looks, THETA)
    there = view(same_line(pitch, fastball), fastball_flight, looks, THETA)

    matrix = sight_matrix(here.place, eye)  # (m, looks, 3, 3)
    difference = np.matmul(matrix, (here.place - there.place)[..., None])  # D, (m, looks, 3, 1)
    jacobian = np.matmul(matrix, 0.5 * (here.slopes + there.slopes))  # J
    away = eccentricity(angular_speed(here.place, here.velocity, eye), traits.pursuit_limit, LOOK)
    variance = look_variance(traits.position_noise, traits.size_noise, away, traits.eccentricity_scale, LOOK)
    weight = traits.evidence_efficiency[:, None, None] / variance  # diagonal of W
    weight = weight * (looks[None, :, None] < arrival[:, None, None])

    chol = pitch.factors(factor)[..., list(THETA), :]
    scatter = chol @ np.swapaxes(chol, -1, -2)  # C, (5, 5) or (m, 5, 5)
    weighted = weight[..., None] * difference
    told = np.cumsum((difference * weighted).sum(axis=(2, 3)), axis=1)  # D'WD
    u = np.cumsum(np.matmul(np.swapaxes(jacobian, 2, 3), weighted)[..., 0], axis=1)
    information = np.cumsum(np.matmul(np.swapaxes(jacobian, 2, 3), weight[..., None] * jacobian), axis=1)  # J'WJ
    return _first_detected(told, u, information, scatter, arrival, pitch, pitch_flight)


def _detectability(told: Array, u: Array, information: Array, scatter: Array) -> Array:
    """Detectability d' of (m,): with A = J'WJ, u'(C^-1 + A)^-1 u = u'C (1 + A C)^-1 u, also for a singular C."""
    inner = np.eye(scatter.shape[-1]) + information @ scatter
    explained = ((u[:, None] @ scatter)[:, 0] * np.linalg.solve(inner, u[..., None])[..., 0]).sum(axis=-1)
    detectability: Array = np.sqrt(np.maximum(told - explained, 0.0))
    return detectability


def _first_detected(
    told: Array,
    u: Array,
    information: Array,
    scatter: Array,
    arrival: Array,
    pitch: MeanPitches,
    flight: Flight,
) -> Separation:
    m, looks = told.shape
    column = np.arange(m)

    def detectability(after: NDArray[np.int64]) -> Array:
        """Detectability d' after that many looks."""
        last = np.maximum(after - 1, 0)
        value = _detectability(told[column, last], u[column, last], information[column, last], scatter)
        return np.where(after > 0, value, 0.0)

    # d' never falls with more looks, so bisect: few <= separation < many, in looks
    few, many = np.zeros(m, np.int64), np.full(m, looks, np.int64)
    reached = detectability(many) >= _DETECTED
    while (many - few).max() > 1:
        middle = (few + many) // 2
        seen = detectability(middle) >= _DETECTED
        many, few = np.where(seen, middle, many), np.where(seen, few, middle)
    before, after = detectability(few), detectability(many)
    share = np.clip((_DETECTED - before) / np.maximum(after - before, 1e-12), 0.0, 1.0)
    time = np.where(reached, np.minimum((few + share) * LOOK, arrival), arrival)
    y = flight.paths(pitch.releases(), max(flight.steps, _FEWEST_STEPS)).at(time[None])[0, 1]
    return Separation(np.where(reached, y - flight.plate, 0.0), time, arrival - time, reached)
