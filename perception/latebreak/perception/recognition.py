"""Which type is it? Log odds of every type against the fastball, from what has been seen up to a cut-off.

With W = F diag(w/R) the evidence that is used, J the mean of the types' J_h and C0 what theta may vary,

    P = W - W J (C0^-1 + J'WJ)^-1 J'W,   D_h = mu_h - mu_1,   a_h = P D_h
    log odds  L_h = ln(share_h / share_1) + a_h'(y - mu_1 - D_h / 2).

L is linear in what is seen, y = scatter z + noise, so given a throw's draws z it is Gaussian: the looks need not be
drawn one by one. Evidence that is not used acts as internal noise: the noise has the variance R/F.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.encounter import Encounter

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Recognition:
    """Log odds at C cut-offs of H - 1 types against the first; m columns.

    Attributes
    ----------
    mean : float64 array, shape (m, C, H - 1)
        At the mean pitch.
    slope : float64 array, shape (m, C, H - 1, 9)
        Per standard normal draw of the throw.
    factor : float64 array, shape (m, C (H - 1), C (H - 1))
        Lower triangular; factor times standard normals is the noise.
    """

    mean: Array
    slope: Array
    factor: Array


@dataclass(frozen=True, eq=False)
class Evidence:
    """What the log odds are made of, at C cut-offs; m columns.

    Attributes
    ----------
    per_weight : float64 array, shape (m, C, H - 1, 3K)
        a_h for whole looks.
    weight : float64 array, shape (m, C, 3K)
        Share of each look that counts; a_h = per_weight weight.
    mean : float64 array, shape (m, C, H - 1)
        Log odds at the mean pitch.
    """

    per_weight: Array
    weight: Array
    mean: Array

    @property
    def rows(self) -> Array:
        """a_h, shape (m, C, H - 1, 3K)."""
        rows: Array = self.per_weight * self.weight[:, :, None]
        return rows


def evidence(encounter: Encounter, cuts: Array) -> Evidence:
    """Work out a_h at cut-offs of shape (C, m), s after release."""
    e = encounter
    jacobian = e.jacobian.mean(axis=1)[:, None]  # J, (m, 1, 3K, 5)
    difference = np.swapaxes(e.mu[:, 1:] - e.mu[:, :1], 1, 2)[:, None]  # D, (m, 1, 3K, H - 1)
    used = (e.traits.evidence_efficiency[:, None] / e.variance)[:, None]  # F/R
    weight = np.repeat(e.shares_of_looks(cuts), 3, axis=2)
    weighted = np.swapaxes(jacobian, 2, 3) * (weight * used)[:, :, None]  # J'W
    information = np.linalg.inv(e.prior)[:, None] + np.matmul(weighted, jacobian)
    explained = np.linalg.solve(information, np.matmul(weighted, difference))
    per_weight = np.swapaxes(difference - np.matmul(jacobian, explained), 2, 3) * used[:, :, None]
    middle = e.mu[:, :1] + 0.5 * np.swapaxes(difference[:, 0], 1, 2)  # mu_1 + D_h / 2
    shares = np.maximum(e.shares, 1e-300)  # a share of 0 is possible: never believed
    mean = np.log(shares[1:] / shares[0]) - (per_weight * weight[:, :, None] * middle[:, None]).sum(axis=3)
    return Evidence(per_weight, weight, mean)


def recognise(encounter: Encounter, cuts: Array) -> Recognition:
    """Work out the distribution of the log odds.

    Parameters
    ----------
    encounter : Encounter
        m columns, H types.
    cuts : float64 array, shape (C, m)
        Cut-offs, s after release.
    """
    found = evidence(encounter, cuts)
    slope = np.matmul(found.rows, encounter.scatter[:, None])
    m, count, others = found.mean.shape
    variance = encounter.variance / encounter.traits.evidence_efficiency[:, None]  # R/F
    # the noise of what both cut-offs have seen of a look is common to both
    common = np.minimum(found.weight[:, :, None], found.weight[:, None]) * variance[:, None, None]
    rows = found.per_weight[:, :, None] * common[:, :, :, None]  # (m, C, C, H - 1, 3K)
    covariance = np.matmul(rows, np.swapaxes(found.per_weight, 2, 3)[:, None]).transpose(0, 1, 3, 2, 4)
    size = count * others
    return Recognition(found.mean, slope, _factor(covariance.reshape(m, size, size)))


def _factor(covariance: Array) -> Array:
    """Lower triangular factor of a covariance that may be singular (two types alike)."""
    if not covariance.shape[-1]:
        return covariance
    scale = np.trace(covariance, axis1=1, axis2=2) / covariance.shape[-1]
    lift = (1e-10 * scale + 1e-30)[:, None, None] * np.eye(covariance.shape[-1])
    return np.linalg.cholesky(covariance + lift)
