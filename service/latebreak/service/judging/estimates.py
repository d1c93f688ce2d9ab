"""Estimates: value, sampling error, interval, change and chance of a measure.

A measure of v versions of a pitch is known from all throws, from each block of them alone, and from fewer throws under
each member of the ensemble of what is not known. Versions share throws and members, so a change from one to another is
surer than either.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import isfinite, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.service.plain import OPTIONAL

Array = NDArray[np.float64]

#: Sets of parameters behind an interval (chosen: the 5 % and 95 % points then rest on thirteen members each).
MEMBERS = 256
#: Fewer usable members than this tell too little: then there is no interval.
ENOUGH = MEMBERS // 2
#: 90 % interval.
_LOW, _HIGH = 0.05, 0.95
_NORMAL_90 = 1.6448536269514722  # 95 % point of the standard normal distribution


@dataclass(frozen=True)
class Estimate:
    """A model's estimate.

    Attributes
    ----------
    value : float
        At the scenario's values and the default coefficients.
    sampling_error : float
        Monte Carlo standard error.
    low, high : float or None
        90 % interval over what is not known of flight, hitter and means; None where no interval was asked for.
    """

    value: float
    sampling_error: float
    low: float | None = field(default=None, metadata=OPTIONAL)
    high: float | None = field(default=None, metadata=OPTIONAL)


def finite(value: float | None) -> float | None:
    """Return a number as JSON can hold it: None where it is not finite."""
    return float(value) if value is not None and isfinite(value) else None


@dataclass(frozen=True, eq=False)
class Estimator:
    """One measure of v versions.

    Attributes
    ----------
    value : float64 array, shape (v,)
        From all throws.
    blocks : float64 array, shape (b, v)
        From each block of throws alone; no blocks where nothing is sampled.
    weights : float64 array, shape (b,)
        Throws of each block.
    members : float64 array, shape (v, MEMBERS + 1), or None
        Under the ensemble, the scenario's own values first, from fewer throws; None for no interval.
    usable : bool array, shape (v, MEMBERS + 1)
        Which members count; a single column without an ensemble.
    throws : int array, shape (v,)
        Throws behind the value.
    least, most : float
        The smallest and the largest value there can be.
    """

    value: Array
    blocks: Array
    weights: Array
    members: Array | None
    usable: NDArray[np.bool_]
    throws: NDArray[np.int64]
    least: float = 0.0
    most: float = np.inf

    def estimate(self, version: int = 0) -> Estimate:
        """Return the estimate of a version."""
        members = None if self.members is None else self.members[version]
        error = self._error(self.blocks[:, version], self.value[version])
        return estimate(self.value[version], error, members, self.usable[version], least=self.least, most=self.most)

    def change(self, version: int, since: int = 0) -> Estimate:
        """Return the estimate of one version less another."""
        members = None if self.members is None else self.members[version] - self.members[since]
        usable = self.usable[version] & self.usable[since]
        error = self.error_of_change(version, since)
        return estimate(self.value[version] - self.value[since], error, members, usable, least=-np.inf)

    def error_of_change(self, version: int, since: int = 0) -> float:
        """Monte Carlo standard error of one version less another."""
        return self._error(self.blocks[:, version] - self.blocks[:, since], self.value[version] - self.value[since])

    def chance_of_lead(self, version: int, since: int = 0) -> float | None:
        """Chance (percent) that the measure is truly larger for one version than another; None where none is told."""
        usable = (self.usable[version] & self.usable[since])[1:]
        if self.members is None or usable.sum() < ENOUGH:
            return None
        # moved so that the scenario's own values, from fewer throws, lie at those from all throws
        members = self.members - self.members[:, :1] + self.value[:, None]
        return chance_of_lead(members[version, 1:][usable], members[since, 1:][usable])

    def versions(self, numbers: NDArray[np.int64]) -> Estimator:
        """Return some versions, in this order."""
        return replace(
            self,
            value=self.value[numbers],
            blocks=self.blocks[:, numbers],
            members=None if self.members is None else self.members[numbers],
            usable=self.usable[numbers],
            throws=self.throws[numbers],
        )

    def version(self, number: int) -> Estimator:
        """Return one version."""
        return self.versions(np.array([number]))

    def beside(self, other: Estimator) -> Estimator:
        """Put versions of another pitch beside these: same throws, same ensemble."""
        mine, its = self.members, other.members
        return replace(
            self,
            value=np.concatenate([self.value, other.value]),
            blocks=np.concatenate([self.blocks, other.blocks], axis=1),
            members=None if mine is None or its is None else np.concatenate([mine, its]),
            usable=np.concatenate([self.usable, other.usable]),
            throws=np.concatenate([self.throws, other.throws]),
        )

    def _error(self, blocks: Array, value: float) -> float:
        """Monte Carlo standard error, from the scatter of the blocks; NaN for a single block."""
        if blocks.size == 0:
            return 0.0
        there = np.isfinite(blocks)
        w = self.weights[there]
        count = w.size
        if count < 2:
            return float("nan")
        deviation = w * (blocks[there] - value)
        return sqrt(float(deviation @ deviation) * count / (count - 1.0)) / float(w.sum())


def weighted(parts: Sequence[tuple[float, Estimator]]) -> Estimator:
    """Add up measures of pitches with weights: same throws, same ensemble, versions one by one."""
    weights, each = [weight for weight, _ in parts], [one for _, one in parts]

    def added(values: Iterable[Array]) -> Array:
        return np.asarray(sum(weight * value for weight, value in zip(weights, values, strict=True)))

    members = [one.members for one in each if one.members is not None]
    return replace(
        each[0],
        value=added(one.value for one in each),
        blocks=added(one.blocks for one in each),
        members=added(members) if len(members) == len(each) else None,
        usable=np.logical_and.reduce([one.usable for one in each]),
        throws=np.minimum.reduce([one.throws for one in each]),
    )


def estimate(
    value: float,
    sampling_error: float,
    members: Array | None,
    usable: NDArray[np.bool_],
    *,
    least: float = 0.0,
    most: float = np.inf,
) -> Estimate:
    """Return an estimate, with its interval where there is a value, enough members are usable and its own is one.

    Parameters
    ----------
    value, sampling_error : float
        From all throws.
    members : float64 array, shape (m + 1,), or None
        The same under the ensemble; None where no interval was asked for.
    usable : bool array, shape (m + 1,)
        Which members count.
    least, most : float
        The smallest and the largest value there can be.
    """
    value, sampling_error = float(value), float(sampling_error)
    if members is None or not isfinite(value):
        return Estimate(value, sampling_error)
    usable = usable & np.isfinite(members)
    if not usable[0] or usable[1:].sum() < ENOUGH:
        return Estimate(value, sampling_error)
    low, high = interval(value, members[usable], sampling_error, least)
    return Estimate(value, sampling_error, low, min(high, most))


def interval(value: float, members: Array, sampling_error: float = 0.0, least: float = 0.0) -> tuple[float, float]:
    """Return the 90 % interval of an estimate.

    Parameters
    ----------
    value : float
        The estimate, from all throws.
    members : float64 array, shape (m + 1,)
        The same under the ensemble, the scenario's own values first; from fewer throws, so only its shifts are used.
    sampling_error : float
        Of the value; widens the interval in quadrature.
    least : float
        The smallest value there can be.
    """
    shifts = np.sort(members[1:] - members[0])
    # as np.quantile, which takes ten times as long about so few
    low, high = np.interp([_LOW * (shifts.size - 1), _HIGH * (shifts.size - 1)], np.arange(shifts.size), shifts)
    sampling = _NORMAL_90 * sampling_error if np.isfinite(sampling_error) else 0.0
    below, above = np.hypot(min(low, 0.0), sampling), np.hypot(max(high, 0.0), sampling)
    return max(value - float(below), least), value + float(above)


def chance_of_lead(leader: Array, rival: Array) -> float:
    """Chance (percent) that the leader's true value is above the rival's, from joint members of shape (m,) each.

    Ties count half; one member is added on either side's half (Jeffreys), so no finite number gives 0 or 100 %.
    """
    wins = float((leader > rival).sum() + 0.5 * (leader == rival).sum())
    return 100.0 * (wins + 0.5) / (leader.size + 1.0)
