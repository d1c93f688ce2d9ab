"""Statistics of a handful of throws: means with honest errors, spreads and correlations drawn towards what is usual.

Throws are weighted equally. Slips are to be taken out before (a robust mean would guard against those that stay, at the
price of a few per cent of every small clean sample): one that is left in, four standard deviations out, moves the mean
of 12 throws by one standard error and widens the error with it.

A spread is pooled with a prior one, worth w throws: with n throws of variance s^2 and the prior's p^2

    s'^2 = ((n - 1) s^2 + w p^2) / (n - 1 + w),   dof = n - 1 + w.

References
----------
Schäfer and Strimmer (2005), A shrinkage approach to large-scale covariance matrix estimation, Stat. Appl. Genet. Mol.
Biol. 4:32: correlations drawn towards 0 by their own variance; from memory. Here each one by itself, so that one strong
correlation is not lost among 35 absent ones.
"""

from __future__ import annotations

from math import erfc, exp, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: 95 % quantile of the standard normal distribution; value -+ 1.645 errors is a 90 % interval.
Z95 = 1.6448536269514722

_EXPECTATIONS = 50  # chosen: with half of the values at the cap, m then stands to 1e-6 of s


def wrapped(angle: Array) -> Array:
    """Return angles in rad, moved into -pi to pi by whole turns."""
    result: Array = (angle + pi) % (2.0 * pi) - pi
    return result


def circular_mean(angles: Array) -> float:
    """Return the direction (rad) of the sum of unit vectors at these angles (n,); NaN left out."""
    known = angles[~np.isnan(angles)]
    return float(np.arctan2(np.sin(known).sum(), np.cos(known).sum()))


def student_factor(dof: float) -> float:
    """95 % quantile of Student's t over that of the normal distribution, for real dof > 0."""
    from scipy.special import stdtrit  # noqa: PLC0415 - only a fit needs it

    return float(stdtrit(dof, 0.95)) / Z95


def pooled_sd(sd: float, count: float, prior_sd: float, weight: float) -> float:
    """Standard deviation of `count` throws, in the sample `sd`, pooled with a prior one worth `weight` throws."""
    dof = count - 1.0 + weight
    return sqrt(((count - 1.0) * sd**2 + weight * prior_sd**2) / dof) if dof > 0.0 else prior_sd


def mean_error(sd: float, count: float, prior_sd: float, weight: float) -> float:
    """Normal-equivalent standard error of the mean of `count` throws.

    Such that mean -+ 1.645 errors covers 90 %: the quantile of Student's t is in it.
    """
    return pooled_sd(sd, count, prior_sd, weight) / sqrt(count) * student_factor(max(count - 1.0 + weight, 2.0))


def spread_error(sd: float, count: float, weight: float) -> float:
    """Normal-equivalent standard error of a pooled standard deviation: sd / sqrt(2 dof), with Student's factor."""
    dof = max(count - 1.0 + weight, 2.0)
    return sd / sqrt(2.0 * dof) * student_factor(dof)


def sample_sd(deviations: Array) -> float:
    """Standard deviation of deviations (n,) from their mean, NaN left out; 0 for a single one."""
    known = deviations[~np.isnan(deviations)]
    return float(np.sqrt((known**2).sum() / max(known.size - 1, 1)))


def uncapped(values: Array, cap: float, usual_sd: float, weight: float) -> Array:
    """Undo the cut of a device that shows `cap` for whatever lies above.

    Values (n,) at the cap are replaced by what they are on average: for a normal variable of mean m and standard
    deviation s, with z = (cap - m) / s,  E[x | x > cap] = m + s h,  h = phi(z) / Q(z). m and s are those of the result
    (the fixed point of expectation and maximisation), s pooled with a usual one. NaN stay.
    """
    known = ~np.isnan(values)
    at_cap = values >= cap
    if not at_cap.any():
        return values
    x, count, capped = values.copy(), int(known.sum()), int(at_cap.sum())
    mean, sd = float(x[known].mean()), usual_sd
    for _ in range(_EXPECTATIONS):
        z = (cap - mean) / sd
        hazard = exp(-0.5 * z**2) / sqrt(2.0 * pi) / max(0.5 * erfc(z / sqrt(2.0)), 1e-300)
        x[at_cap] = mean + sd * hazard
        mean = float(x[known].mean())
        squares = ((x[known] - mean) ** 2).sum() + capped * sd**2 * (1.0 + z * hazard - hazard**2)
        sd = sqrt((squares + weight * usual_sd**2) / (count + weight))
    return x


def shrunk_correlation(deviations: Array) -> Array:
    """Correlations, each drawn towards 0 as far as chance may have made it.

    With r from the m throws where both are known, Var r = (1 - r^2)^2 / (m - 1): the kept share is 1 - Var r / r^2,
    or nothing. Pairs need not come from the same throws; what is then not positive semidefinite is made so.

    Parameters
    ----------
    deviations : float64 array, shape (k, n)
        Deviations from the mean; NaN = not known. A row without any is correlated with nothing.

    Returns
    -------
    float64 array, shape (k, k)
        Positive semidefinite, ones on the diagonal.
    """
    known = ~np.isnan(deviations)
    x = np.where(known, deviations, 0.0)
    squares = (x**2) @ known.T  # of row j over the throws where row k is known too
    common = known.astype(float) @ known.T
    with np.errstate(invalid="ignore", divide="ignore"):
        r = np.nan_to_num((x @ x.T) / np.sqrt(squares * squares.T), posinf=0.0, neginf=0.0)
        kept = 1.0 - (1.0 - r**2) ** 2 / ((common - 1.0) * r**2)
    r *= np.where(common > 2.0, np.nan_to_num(kept, neginf=0.0).clip(0.0, 1.0), 0.0)
    np.fill_diagonal(r, 1.0)
    values, vectors = np.linalg.eigh(r)
    if values[0] < 0.0:
        r = (vectors * values.clip(0.0)) @ vectors.T
        scale = np.sqrt(np.diag(r))
        r = r / np.outer(scale, scale)
        np.fill_diagonal(r, 1.0)
    return np.asarray(r)
