"""Throws watched look by look: the belief in the thrown type, and how far its forecast is from the fastball's.

What is seen, y, counts through sums over looks alone, of which each grows with the share w_k(c) of look k that the
cut-off c leaves:  x(c) = sum w_k(c) B_k' y_k.  With B = J_h/R for what a type forecasts, and B = F (J, D)/R for belief,

    forecast_h = A_h + S_h'(x_h[y] - x_h[mu_h]),                  S_h = (C0^-1 + J_h'WJ_h)^-1 dA_h/dtheta
    L_h = ln(share_h/share_1) + a_h'(x[y] - x[mu_1 + D_h/2]),     a_h = (-E_h, 1_h),  E_h = (C0^-1 + J'WJ)^-1 J'WD_h

which are the forecast and the log odds of `forecast` and `recognition`; there in W of the log odds is F.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.jit import inlined, kernel
from latebreak.engine.stopping import checkpoint
from latebreak.perception.encounter import Encounter
from latebreak.perception.sources import SOURCES
from latebreak.perception.view import HEIGHT_AT_PLATE, SIDE_AT_PLATE

Array = NDArray[np.float64]

_THROWS = 4096  # between two checkpoints
_LANES = 64  # throws a pass: what they see stays in the second-level cache


@inlined
def _add_look(sums: Array, grown: float, sight: Array, j: int, k: int, seen: Array, lanes: int) -> None:
    """Add a look to the sums of all lanes: x += grown B_k' y_k."""
    o = 3 * k * _LANES
    for p in range(sight.shape[2]):
        a, b, c = grown * sight[j, 3 * k, p], grown * sight[j, 3 * k + 1, p], grown * sight[j, 3 * k + 2, p]
        for i in range(lanes):
            sums[p * _LANES + i] += a * seen[o + i] + b * seen[o + _LANES + i] + c * seen[o + 2 * _LANES + i]


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_watched(
        flown: Array,
        noise: Array,
        weight: Array,
        eye_sd: Array,
        inner_sd: Array,
        belief_sight: Array,
        odds_slope: Array,
        odds: Array,
        odds_change: Array,
        forecast_sight: Array,
        forecast_slope: Array,
        forecast: Array,
        forecast_fastball: Array,
        thrown: int,
        belief: Array,
        apart: Array,
    ) -> None:
        _ = sources
        columns, cuts, others, terms = odds_slope.shape
        rows, throws, theta = flown.shape[1], flown.shape[2], forecast_slope.shape[3]
        # flat, rows of lanes one after the other: so the loops over lanes vectorise
        scatter, e = flown.reshape(flown.size), noise.reshape(noise.size)
        believed, watched = np.zeros(rows * _LANES), np.zeros(rows * _LANES)
        x, u = np.empty(terms * _LANES), np.empty((others + 1) * theta * _LANES)
        value = np.zeros((others + 1) * _LANES)
        for j in range(columns):
            for first in range(0, throws, _LANES):
                lanes = min(_LANES, throws - first)
                for row in range(rows):  # y = scatter z + noise, internal for belief, the eye's for forecasts
                    o, mine, at = row * _LANES, (j * rows + row) * throws + first, 2 * row * throws + first
                    for i in range(lanes):
                        believed[o + i] = scatter[mine + i] + inner_sd[j, row] * e[at + i]
                        watched[o + i] = scatter[mine + i] + eye_sd[j, row] * e[at + throws + i]
                x[:], u[:] = 0.0, 0.0
                for c in range(cuts):
                    for k in range(weight.shape[2]):
                        grown = weight[j, c, k] - (weight[j, c - 1, k] if c > 0 else 0.0)
                        if grown != 0.0:
                            _add_look(x, grown, belief_sight, j, k, believed, lanes)
                            _add_look(u, grown, forecast_sight, j, k, watched, lanes)
                    for h in range(others):  # L_h
                        o = (h + 1) * _LANES
                        for i in range(lanes):
                            value[o + i] = odds[j, c, h]
                        for p in range(terms):
                            slope = odds_slope[j, c, h, p]
                            for i in range(lanes):
                                value[o + i] += slope * x[p * _LANES + i]
                    for i in range(lanes):
                        here, there, most, most_there, total = 0, 0, 0.0, 0.0, 0.0
                        own = value[thrown * _LANES + i]
                        for h in range(others + 1):
                            odd = value[h * _LANES + i]
                            total += exp(odd - own) if h != thrown else 1.0
                            if odd > most:
                                here, most = h, odd
                            if odd + odds_change[j, c, h] > most_there:
                                there, most_there = h, odd + odds_change[j, c, h]
                        belief[j, c, first + i] = 1.0 / total
                        square = 0.0
                        for q in range(forecast_slope.shape[4]):
                            gap = forecast_fastball[j, there, c, q] - forecast[j, here, c, q]
                            if here != there:  # else what is seen cancels
                                for p in range(theta):
                                    gap += forecast_slope[j, there, c, p, q] * u[(there * theta + p) * _LANES + i]
                                    gap -= forecast_slope[j, here, c, p, q] * u[(here * theta + p) * _LANES + i]
                            square += gap**2
                        apart[j, c, first + i] = sqrt(square)

    return fill_watched


_fill_watched = _compile(SOURCES)


def watch(
    encounter: Encounter, fastball_place: Array, cuts: Array, normals: Array, noise: Array
) -> tuple[Array, Array]:
    """Watch throws.

    Parameters
    ----------
    encounter : Encounter
        m columns, K looks.
    fastball_place : float64 array, shape (m, K, 3)
        Mean path of the fastball on the pitch's line, at the looks.
    cuts : float64 array, shape (C, m)
        Cut-offs, s after release.
    normals : float64 array, shape (9, n)
        The throws' draws.
    noise : float64 array, shape (3k, 2, n)
        Standard normal draws: for what is believed, and for what is forecast; of the first k <= K looks, those that
        begin before the last cut-off.

    Returns
    -------
    belief : float64 array, shape (C, n, m)
        In the thrown type.
    apart : float64 array, shape (C, n, m)
        m, between its forecast and the one that is formed, with the same noise, when the fastball flies on the line.
    """
    e, used = encounter.first_looks(noise.shape[0] // 3), encounter.traits.evidence_efficiency[:, None]
    weight, prior_inverse = e.shares_of_looks(cuts), np.linalg.inv(e.prior)[:, None]
    seen = e.seen(fastball_place[:, : e.looks.size])[..., None]  # y of the fastball's mean path

    jacobian, difference = e.jacobian.mean(axis=1), np.swapaxes(e.mu[:, 1:] - e.mu[:, :1], 1, 2)  # J, D
    belief_sight = np.concatenate([jacobian, difference], axis=2) * (used / e.variance)[..., None]  # B = F (J, D)/R
    theta, others = jacobian.shape[2], difference.shape[2]
    told = _sums(weight, belief_sight, jacobian)  # J'WJ above D'WJ
    explained = np.linalg.solve(prior_inverse + told[..., :theta, :], np.swapaxes(told[..., theta:, :], -1, -2))  # E
    own = np.broadcast_to(np.eye(others), (*told.shape[:2], others, others))
    odds_slope = np.concatenate([-np.swapaxes(explained, -1, -2), own], axis=3)  # a
    middle = _sums(weight, belief_sight, np.swapaxes(e.mu[:, :1], 1, 2) + 0.5 * difference)  # x[mu_1 + D_h/2]
    shares = np.maximum(e.shares, 1e-300)  # a share of 0 is possible: never believed
    odds = np.log(shares[1:] / shares[0]) - (odds_slope * np.swapaxes(middle, -1, -2)).sum(axis=3)
    odds_change = np.zeros((*told.shape[:2], others + 1))  # when the fastball flies
    odds_change[..., 1:] = np.matmul(odds_slope, _sums(weight, belief_sight, seen))[..., 0]

    weight_of_types = weight[:, None]
    sight = e.jacobian / e.variance[:, None, :, None]  # B = J_h/R
    information = prior_inverse[:, None] + _sums(weight_of_types, sight, e.jacobian)
    wanted = e.expected_jacobian[:, :, [HEIGHT_AT_PLATE, SIDE_AT_PLATE]]
    slope = np.linalg.solve(information, np.swapaxes(wanted, 2, 3)[:, :, None])  # S, (m, H, C, 5, 2)
    expected = e.expected[:, :, None, [HEIGHT_AT_PLATE, SIDE_AT_PLATE]]
    forecast = expected - (slope * _sums(weight_of_types, sight, e.mu[..., None])).sum(axis=3)
    forecast_fastball = forecast + (slope * _sums(weight_of_types, sight, seen[:, None])).sum(axis=3)

    eye_sd = np.sqrt(e.variance)
    parts = (
        weight, eye_sd, eye_sd / np.sqrt(used), belief_sight, odds_slope, odds, odds_change,
        np.swapaxes(sight, 1, 2).reshape(*eye_sd.shape, -1), slope, forecast, forecast_fastball,
    )  # fmt: skip
    belief, apart = (np.empty((*told.shape[:2], normals.shape[1])) for _ in range(2))
    step = max(1, _THROWS // normals.shape[1])
    for first in range(0, cuts.shape[1], step):
        checkpoint()
        some = slice(first, first + step)
        flown = np.matmul(e.scatter[some], normals)
        _fill_watched(flown, noise, *(part[some] for part in parts), e.thrown, belief[some], apart[some])
    return belief.transpose(1, 2, 0), apart.transpose(1, 2, 0)


def _sums(weight: Array, sight: Array, seen: Array) -> Array:
    """Sums x = sum w_k B_k' y_k at every cut-off, (..., C, P, Q), of w (..., C, K), B (..., 3K, P), y (..., 3K, Q)."""
    b, y = (a.reshape(*a.shape[:-2], a.shape[-2] // 3, 3, a.shape[-1]) for a in (sight, seen))
    looks = np.matmul(np.swapaxes(b, -1, -2), y)
    flat = looks.reshape(*looks.shape[:-2], -1)
    sums: Array = np.matmul(weight, flat).reshape(*flat.shape[:-2], weight.shape[-2], *looks.shape[-2:])
    return sums
