"""A hitter: the eye, how much of the evidence is used, when the swing must start; presets by level."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE
from latebreak.perception.eye import Eye

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Hitter:
    """What of a hitter bears on what he can see.

    Attributes
    ----------
    eye : Eye
        Place and acuity.
    evidence_efficiency : float
        F = (d'_human/d'_ideal)^2: the share of the visual evidence that is used. 1 is an ideal observer.
    commit_before_arrival : float
        s before arrival at which the swing must start.
    """

    eye: Eye
    evidence_efficiency: float
    commit_before_arrival: float


# F, n_pos (arcmin sqrt(s)), n_size (sqrt(s)) by level. Professional: F fitted in a draft to the published odds ratio of
# contact when the pitch type is known (Elmore and Matthews 2022), noise chosen (see `Eye`). College: chosen near it;
# high school and youth: chosen, continued in the same direction.
_PRESETS = {
    "professional": (0.06, 0.20, 0.008),
    "college": (0.045, 0.25, 0.010),
    "high_school": (0.035, 0.30, 0.012),
    "youth": (0.025, 0.35, 0.014),
}
LEVELS = tuple(_PRESETS)


def preset(level: str, eye: Eye, commit_before_arrival: float) -> Hitter:
    """Return a hitter of a level.

    Parameters
    ----------
    level : str
        One of `LEVELS`.
    eye : Eye
        Whose place and side are taken; its noise is set by the level.
    commit_before_arrival : float
        s.
    """
    efficiency, position, size = _PRESETS[level]
    return Hitter(replace(eye, position_noise=position * ARCMIN, size_noise=size), efficiency, commit_before_arrival)


@dataclass(frozen=True, eq=False)
class Vision:
    """What a hitter sees with, side by side for m sets of parameters; each array has shape (m,).

    Attributes
    ----------
    evidence_efficiency, position_noise, size_noise, pursuit_limit, eccentricity_scale : float64 array
        As in `Hitter` and `Eye`.
    """

    evidence_efficiency: Array
    position_noise: Array
    size_noise: Array
    pursuit_limit: Array
    eccentricity_scale: Array


def vision_of(hitter: Hitter) -> Vision:
    """Return the hitter's own parameters: one set."""
    eye = hitter.eye
    return Vision(
        *(
            np.array([value])
            for value in (
                hitter.evidence_efficiency,
                eye.position_noise,
                eye.size_noise,
                eye.pursuit_limit,
                eye.eccentricity_scale,
            )
        )
    )


# Standard deviation of ln F: its fitted interval 0.018 to 0.16 taken as 90 %.
_SD_LOG_EFFICIENCY = np.log(0.16 / 0.018) / (2 * 1.645)
# Of ln n_pos: the range 0.06 to 0.6 arcmin sqrt(s) taken as 90 %; chosen, weak.
_SD_LOG_POSITION = np.log(0.6 / 0.06) / (2 * 1.645)
# Of ln n_size: a factor of 1.5 either way taken as 90 %; chosen.
_SD_LOG_SIZE = np.log(1.5) / 1.645
# The pursuit limit: 70 to 120 deg/s (newspaper and one laboratory value) taken as 90 %; kept above 30 deg/s.
_SD_PURSUIT = 15.0 * DEGREE
_LEAST_PURSUIT = 30.0 * DEGREE
# E2 from 0.6 deg (vernier) to 16 deg (motion): Makela (1994), Spatial scaling in human peripheral vision.
_E2_RANGE = (0.6 * DEGREE, 16.0 * DEGREE)


def uncertain_vision(hitter: Hitter, draws: int, generator: np.random.Generator) -> Vision:
    """Draw the parameters that nobody knows well: the model uncertainty of what this hitter sees.

    Parameters
    ----------
    hitter : Hitter
        Whose values are the middle.
    draws : int
        Number of further sets.
    generator : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    Vision
        draws + 1 sets; the first is the hitter's own.
    """
    own = vision_of(hitter)
    z = generator.standard_normal((4, draws))
    return Vision(
        _after(own.evidence_efficiency, np.minimum(own.evidence_efficiency * np.exp(_SD_LOG_EFFICIENCY * z[0]), 1.0)),
        _after(own.position_noise, own.position_noise * np.exp(_SD_LOG_POSITION * z[1])),
        _after(own.size_noise, own.size_noise * np.exp(_SD_LOG_SIZE * z[2])),
        _after(own.pursuit_limit, np.maximum(own.pursuit_limit + _SD_PURSUIT * z[3], _LEAST_PURSUIT)),
        _after(own.eccentricity_scale, _E2_RANGE[0] * (_E2_RANGE[1] / _E2_RANGE[0]) ** generator.random(draws)),
    )


def _after(first: Array, others: Array) -> Array:
    return np.concatenate([first, others])
