"""A thrown pitch before a hitter who has types in mind: everything linear, about the thrown pitch's mean path.

Looks k = 1..K; what is seen are three numbers a look (angle right, angle up, log size). For each type h

    mu_h = M (p_h - p_a),   J_h = M dp_h/dtheta,   G_h = M dp_h/deps,

with p_a the mean path that is thrown, M its sight matrix, theta = (speed, release side, release height, launch azimuth,
launch elevation) and eps = (size, direction) of the spin-made movement. Angles along a faster template's own path would
blow up where it passes the eye first; along the thrown path they do not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import SPEED, MeanPitches
from latebreak.engine.flight import Flight
from latebreak.perception.hitter import Hitter, Traits
from latebreak.perception.noise import eccentricity, look_variance
from latebreak.perception.sight import angular_speed, sight_matrix
from latebreak.perception.templates import Template
from latebreak.perception.view import ALL_LEVERS, EPS, HEIGHT_AT_PLATE, LOOK, SIDE_AT_PLATE, THETA, look_times, view

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Encounter:
    """Arrays have m columns first; H types, K looks; what is seen is flattened to 3K.

    Attributes
    ----------
    looks : float64 array, shape (K,)
        Middles of the looks, s after release.
    variance : float64 array, shape (m, 3K)
        R: of one whole look.
    mu : float64 array, shape (m, H, 3K)
        What is seen of each type's template, less the thrown pitch's.
    jacobian, movement : float64 array, shapes (m, H, 3K, 5), (m, H, 3K, 2)
        J_h and G_h.
    scatter : float64 array, shape (m, 3K, 9)
        What a throw's nine standard normal draws change in what is seen.
    expected, expected_jacobian, expected_movement : float64 array, shapes (m, H, 3), (m, H, 3, 5), (m, H, 3, 2)
        A_h: arrival time (s), height and side (m) of each template, and their slopes.
    arrival, arrival_scatter : float64 array, shapes (m, 3), (m, 3, 9)
        The thrown pitch's own, and what its draws change.
    memory : float64 array, shape (m, H, 2)
        T: SD of the remembered movement of each type, as a share of its size, and of its direction in rad.
    prior : float64 array, shape (m, 5, 5)
        C0: what the hitter expects theta to vary.
    names : tuple of str
        Of the types.
    shares : float64 array, shape (H,)
        Of the types.
    thrown : int
        Index of the thrown pitch's own type.
    place, velocity : float64 array, shape (m, K, 3)
        Of the thrown pitch's mean path.
    matrix : float64 array, shape (m, K, 3, 3)
        M.
    traits : Traits
        m columns.
    commit_before_arrival : float
        s, as in `Hitter`.
    """

    looks: Array
    variance: Array
    mu: Array
    jacobian: Array
    movement: Array
    scatter: Array
    expected: Array
    expected_jacobian: Array
    expected_movement: Array
    arrival: Array
    arrival_scatter: Array
    memory: Array
    prior: Array
    names: tuple[str, ...]
    shares: Array
    thrown: int
    place: Array
    velocity: Array
    matrix: Array
    traits: Traits
    commit_before_arrival: float

    def seen(self, place: Array) -> Array:
        """What is seen, (m, 3K), of a path (m, K, 3) less the thrown pitch's."""
        return _flat(np.matmul(self.matrix, (place - self.place)[..., None])[..., 0])

    def first_looks(self, count: int) -> Encounter:
        """Return what is seen in the first looks alone."""
        rows = 3 * count
        return replace(
            self,
            looks=self.looks[:count],
            variance=self.variance[:, :rows],
            mu=self.mu[:, :, :rows],
            jacobian=self.jacobian[:, :, :rows],
            movement=self.movement[:, :, :rows],
            scatter=self.scatter[:, :rows],
            place=self.place[:, :count],
            velocity=self.velocity[:, :count],
            matrix=self.matrix[:, :count],
        )

    def shares_of_looks(self, cuts: Array) -> Array:
        """Share of each look that counts up to cut-offs (C, m), s after release: (m, C, K), continuous in all times."""
        after = (self.looks - self.traits.view_start[:, None]) / LOOK + 0.5
        before = (cuts.T[..., None] - self.looks) / LOOK + 0.5
        shares: Array = after.clip(0.0, 1.0)[:, None] * before.clip(0.0, 1.0)
        return shares

    def weights(self, cut: Array) -> Array:
        """Share of each look, for each of its three numbers, that counts up to a cut-off (m,): (m, 3K)."""
        return np.repeat(self.shares_of_looks(cut[None])[:, 0], 3, axis=1)


def meet(
    thrown: MeanPitches,
    flight: Flight,
    factor: Array,
    types: Sequence[Template],
    own: int,
    hitter: Hitter,
    traits: Traits,
) -> Encounter:
    """Set a thrown pitch before a hitter.

    Parameters
    ----------
    thrown : MeanPitches
        Aimed; m columns.
    flight : Flight
        How it flies.
    factor : float64 array, shape (9, 9)
        Factor of the covariance of its levers.
    types : sequence of Template
        What the hitter has in mind, the fastball first; m columns each.
    own : int
        Which of them is the thrown pitch's.
    hitter : Hitter
        Eye, familiarity and commit point.
    traits : Traits
        The hitter's parameters, m columns.
    """
    factor, eye = thrown.factors(factor), hitter.eye.place
    until = float(flight.arrivals(thrown.releases())[2].max())
    looks = look_times(until)
    own_view = view(thrown, flight, looks, ALL_LEVERS)
    matrix = sight_matrix(own_view.place, eye)
    away = eccentricity(angular_speed(own_view.place, own_view.velocity, eye), traits.pursuit_limit, LOOK)
    variance = look_variance(traits.position_noise, traits.size_noise, away, traits.eccentricity_scale, LOOK)
    views = [view(one.mean, one.flight, looks, THETA + EPS) for one in types]
    slopes = np.stack([_flat(np.matmul(matrix, one.slopes)) for one in views], axis=1)  # (m, H, 3K, 7)
    arrival_slopes = np.stack([one.arrival_slopes for one in views], axis=1)
    speeds = np.stack([one.mean.levers[SPEED] for one in types])
    shares = np.array([one.share for one in types])
    return Encounter(
        looks=looks,
        variance=_flat(variance),
        mu=np.stack([_flat(np.matmul(matrix, (v.place - own_view.place)[..., None])[..., 0]) for v in views], axis=1),
        jacobian=slopes[..., : len(THETA)],
        movement=slopes[..., len(THETA) :],
        scatter=np.matmul(_flat(np.matmul(matrix, own_view.slopes)), factor),
        expected=np.stack([one.arrival for one in views], axis=1),
        expected_jacobian=arrival_slopes[..., : len(THETA)],
        expected_movement=arrival_slopes[..., len(THETA) :],
        arrival=own_view.arrival,
        arrival_scatter=np.matmul(own_view.arrival_slopes, factor),
        memory=_memory(traits, hitter.familiarity, types, arrival_slopes),
        prior=_prior(traits, hitter.familiarity, shares @ speeds / shares.sum()),
        names=tuple(one.name for one in types),
        shares=shares,
        thrown=own,
        place=own_view.place,
        velocity=own_view.velocity,
        matrix=matrix,
        traits=traits,
        commit_before_arrival=hitter.commit_before_arrival,
    )


def _memory(traits: Traits, familiarity: float, types: Sequence[Template], arrival_slopes: Array) -> Array:
    """T (m, H, 2): error of the remembered movement.

    What is remembered of a type is how far such pitches move, so many inches at the plate; the error is a share of
    that, not of what this pitch does. (As a share of the pitch's own movement it would fall with the pitch's speed,
    since a harder pitch of equal spin moves less, and a harder pitch would be missed less.)
    """
    size = np.hypot(arrival_slopes[..., HEIGHT_AT_PLATE, 5], arrival_slopes[..., SIDE_AT_PLATE, 5])
    usual = np.stack([one.usual_movement for one in types], axis=1)
    share = np.stack([traits.movement_error, traits.direction_error], axis=-1) * (1.0 - familiarity)
    sense = np.array([[1.0, one.sense] for one in types])
    memory: Array = share[:, None] * sense * (usual / np.maximum(size, 1e-3))[..., None]
    return memory


# Share by which a known pitcher's speed varies from throw to throw: 1.05 mph of 85 mph (own analysis, professionals).
_SPEED_SCATTER = 0.012


def _prior(traits: Traits, familiarity: float, speed: Array) -> Array:
    """C0 (m, 5, 5): speed, release side, release height, azimuth, elevation; independent."""
    sigma_v = speed * np.sqrt(_SPEED_SCATTER**2 + (traits.speed_error * (1.0 - familiarity)) ** 2)
    sd = np.stack(
        [sigma_v, traits.release_point_error, traits.release_point_error, traits.azimuth_error, traits.elevation_error],
        axis=-1,
    )
    return sd[..., None] ** 2 * np.eye(len(THETA))


def _flat(looks: Array) -> Array:
    """Join looks and the three numbers of a look: (m, K, 3, ...) to (m, 3K, ...)."""
    return looks.reshape(looks.shape[0], -1, *looks.shape[3:])
