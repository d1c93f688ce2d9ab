"""A bundle: many throws of one pitch, scattered as the pitcher scatters them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.ball_scatter import scatter_balls
from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.errors import LatebreakError
from latebreak.engine.flight.flying import Flight, fitted_flight, rough_flight, with_fewest_steps
from latebreak.engine.flight.kernel import DRAG_SCALE, LIFT_SCALE, SEAM
from latebreak.engine.pitch.aim import MeanPitches, aimed, mean_pitches, side_by_side
from latebreak.engine.pitch.pitch import LEVERS, Pitch, Spread
from latebreak.engine.pitch.release import drawn_releases, releases

Array = NDArray[np.float64]

PILOTS = 256
_FEWEST_PILOTS = 32  # of each version
PILOT_WIDTH = 1.5  # times the spread, so that the pilot covers the tails of a large bundle


class UnreachableTargetError(LatebreakError):
    """The mean pitch can't reach its target at this speed."""


@dataclass(frozen=True, eq=False)
class Bundle:
    """A pitch that is ready to be thrown many times.

    Attributes
    ----------
    pitch : Pitch
        What is thrown; the first of several versions.
    mean : MeanPitches
        The mean pitch, aimed; one column, or one for each version.
    factor : float64 array, shape (9, 9)
        Lower triangular; factor factor' is the covariance of the levers.
    flight : Flight
        How it is flown.
    pilots : float64 array, shape (15, n)
        A sample scattered 1.5 times wider than the bundle, 256 throws or more.
    """

    pitch: Pitch
    mean: MeanPitches
    factor: Array
    flight: Flight
    pilots: Array

    def releases(self, normals: Array) -> Array:
        """Releases of the first column, shape (15, n), for standard normal draws of shape (13, n).

        Draws of shape (9, n) are of the levers alone: every ball is then the mean one.
        """
        return _releases(self.mean, self.factor, self.pitch.spread.ball, np.ascontiguousarray(normals))

    def scattered(self, pitches: MeanPitches, normals: Array) -> Array:
        """Releases of every column of some mean pitches, each with every throw's scatter.

        Parameters
        ----------
        pitches : MeanPitches
            m columns, this bundle's pitch under other coefficients, say.
        normals : float64 array, shape (13, n) or (9, n)
            Standard normal draws.

        Returns
        -------
        float64 array, shape (15, m n)
            All throws of the first column, then of the second, ...
        """
        scatter = (self.factor @ normals[: len(LEVERS)])[:, None, :]
        if pitches.spread_scale is not None:
            scatter = scatter * pitches.spread_scale[:, :, None]
        scattered = releases(
            (pitches.levers[:, :, None] + scatter).reshape(len(LEVERS), -1),
            pitches.rubber,
            seam_clock=pitches.seam_clock,
        )
        of_column = scattered.reshape(len(scattered), pitches.seam.size, -1)
        for row, values in ((SEAM, pitches.seam), (DRAG_SCALE, pitches.drag_scale), (LIFT_SCALE, pitches.lift_scale)):
            of_column[row] = values[:, None]
        if len(normals) > len(LEVERS):
            scatter_balls(scattered, self.pitch.spread.ball, np.tile(normals[len(LEVERS) :], pitches.seam.size))
        return scattered


def prepare(pitch: Pitch, conditions: Conditions) -> Bundle:
    """Fit the force laws, aim the mean pitch, choose the step count.

    Parameters
    ----------
    pitch : Pitch
        What is thrown.
    conditions : Conditions
        Where.

    Returns
    -------
    Bundle
        Ready to be thrown.

    Raises
    ------
    UnreachableTargetError
        If no launch direction takes the mean pitch to its target.
    InputError
        If a force law is not registered.
    """
    bundle, reached = prepare_versions([pitch], conditions)
    if not reached.all():
        raise UnreachableTargetError("no launch direction takes the mean pitch to its target")
    return bundle


def prepare_versions(versions: Sequence[Pitch], conditions: Conditions) -> tuple[Bundle, NDArray[np.bool_]]:
    """Prepare versions of a pitch that differ in their means alone, to be flown side by side with the same laws.

    Parameters
    ----------
    versions : sequence of Pitch
        v pitches with equal spread, seam direction and kind of aim.
    conditions : Conditions
        Where.

    Returns
    -------
    bundle : Bundle
        v columns.
    reached : bool array, shape (v,)
        Whether each version hits its target.

    Raises
    ------
    InputError
        If a force law is not registered.
    """
    pitch = versions[0]
    factor, ball = covariance_factor(pitch.spread), pitch.spread.ball
    normals = _pilot_normals(max(PILOTS // len(versions), _FEWEST_PILOTS))
    mean = side_by_side([mean_pitches(version, conditions.rubber_to_plate) for version in versions])
    # First with laws that are fitted for any pitch, to see what S and V this one visits; then for good.
    rough = rough_flight(conditions)
    first, _ = aimed(mean, rough)
    flight = fitted_flight(conditions, rough, _pilots(first, factor, ball, normals))
    mean, reached = aimed(mean, flight)
    if not reached.any():
        return Bundle(pitch, mean, factor, flight, _pilots(mean, factor, ball, normals)), reached
    pilots = _pilots(mean.columns(np.flatnonzero(reached)), factor, ball, normals)
    return Bundle(pitch, mean, factor, with_fewest_steps(flight, pilots), pilots), reached


def covariance_factor(spread: Spread) -> Array:
    """Lower triangular L with L L' = covariance, also for a singular correlation.

    Parameters
    ----------
    spread : Spread
        Standard deviations and correlation.

    Returns
    -------
    float64 array, shape (9, 9)
        Diagonal where nothing is correlated; so the draw of a lever moves that lever first.
    """
    if np.array_equal(spread.correlation, np.eye(len(LEVERS))):
        return np.diag(spread.standard_deviations)
    values, vectors = np.linalg.eigh(spread.correlation)
    upper = np.linalg.qr((vectors * np.sqrt(values.clip(0.0))).T).R
    upper *= np.where(np.diag(upper) < 0.0, -1.0, 1.0)[:, None]
    return np.ascontiguousarray(spread.standard_deviations[:, None] * upper.T)


@cache
def _pilot_normals(count: int) -> Array:
    """Draws of the pilots of each version, the same for every pitch."""
    return PILOT_WIDTH * Draws(0, count * FEWEST_BLOCKS).normals(0)


def _pilots(mean: MeanPitches, factor: Array, ball: Array, normals: Array) -> Array:
    columns = (mean.columns(np.array([column])) for column in range(mean.levers.shape[1]))
    return np.concatenate([_releases(column, factor, ball, normals) for column in columns], axis=1)


def _releases(mean: MeanPitches, factor: Array, ball: Array, normals: Array) -> Array:
    releases = drawn_releases(
        mean.levers[:, 0].copy(), factor, normals[: len(LEVERS)], mean.rubber,
        float(mean.seam[0]), mean.seam_clock, float(mean.drag_scale[0]), float(mean.lift_scale[0]),
    )  # fmt: skip
    if len(normals) > len(LEVERS):
        scatter_balls(releases, ball, normals[len(LEVERS) :])
    return releases
