"""A measure of a pitch, or of versions of it side by side: what all throws say, each block of them, and each draw.

Versions share their throws and the draws of what is not known, so a change from one to another is surer than either.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.chance import ENOUGH, chance_of_lead, estimate

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Sample:
    """One measure of v versions.

    Attributes
    ----------
    value : float64 array, shape (v,)
        From all throws.
    parts : float64 array, shape (blocks, v)
        From each block of throws alone; no blocks where nothing is sampled.
    weights : float64 array, shape (blocks,)
        Throws of each block.
    draws : float64 array, shape (v, draws + 1), or None
        Under draws of what is not known, the scenario's own values first, from fewer throws; None for no interval.
    least, most : float
        The smallest and the largest value there can be.
    """

    value: Array
    parts: Array
    weights: Array
    draws: Array | None
    least: float = 0.0
    most: float = np.inf

    def estimate(self, usable: NDArray[np.bool_], version: int = 0) -> Estimate:
        """Return the estimate of a version; `usable`, shape (v, draws + 1), says which draws count."""
        draws = None if self.draws is None else self.draws[version]
        error = self._error(self.parts[:, version], self.value[version])
        return estimate(self.value[version], error, draws, usable[version], least=self.least, most=self.most)

    def change(self, usable: NDArray[np.bool_], version: int, since: int = 0) -> Estimate:
        """Return the estimate of one version less another."""
        draws = None if self.draws is None else self.draws[version] - self.draws[since]
        value = self.value[version] - self.value[since]
        error = self._error(self.parts[:, version] - self.parts[:, since], value)
        return estimate(value, error, draws, usable[version] & usable[since], least=-np.inf)

    def versions(self, numbers: NDArray[np.int64]) -> Sample:
        """Return some versions, in this order."""
        return replace(
            self,
            value=self.value[numbers],
            parts=self.parts[:, numbers],
            draws=None if self.draws is None else self.draws[numbers],
        )

    def beside(self, other: Sample) -> Sample:
        """Put versions of another pitch beside these: same throws, same draws."""
        mine, its = self.draws, other.draws
        return replace(
            self,
            value=np.concatenate([self.value, other.value]),
            parts=np.concatenate([self.parts, other.parts], axis=1),
            draws=None if mine is None or its is None else np.concatenate([mine, its]),
        )

    def centered(self) -> Array | None:
        """Return the draws moved so that the scenario's own values, from fewer throws, lie at those from all throws."""
        return None if self.draws is None else self.draws - self.draws[:, :1] + self.value[:, None]

    def error_of_change(self, version: int, since: int = 0) -> float:
        """Monte Carlo standard error of one version less another."""
        return self._error(self.parts[:, version] - self.parts[:, since], self.value[version] - self.value[since])

    def _error(self, parts: Array, value: float) -> float:
        """Monte Carlo standard error, from the scatter of the blocks; NaN for a single block."""
        if parts.size == 0:
            return 0.0
        known = np.isfinite(parts)
        w = self.weights[known]
        blocks = w.size
        if blocks < 2:
            return float("nan")
        deviation = w * (parts[known] - value)
        return sqrt(float(deviation @ deviation) * blocks / (blocks - 1.0)) / float(w.sum())


@dataclass(frozen=True, eq=False)
class Response:
    """Every measure that was asked for, of v versions of a pitch.

    Attributes
    ----------
    samples : dict of str to Sample
        By key.
    usable : bool array, shape (v, draws + 1)
        Which draws count; a single column where nothing is drawn.
    kept : int array, shape (v,)
        Throws that arrived, as did the fastball of the same draw; 0 where no throws were asked for.
    """

    samples: dict[str, Sample]
    usable: NDArray[np.bool_]
    kept: NDArray[np.int64]

    def estimates(self, version: int = 0) -> dict[str, Estimate]:
        """Return the estimates of a version, by key."""
        return {key: sample.estimate(self.usable, version) for key, sample in self.samples.items()}

    def changes(self, version: int, since: int = 0) -> dict[str, Estimate]:
        """Return the estimates of one version less another, by key."""
        return {key: sample.change(self.usable, version, since) for key, sample in self.samples.items()}

    def versions(self, numbers: NDArray[np.int64]) -> Response:
        """Return some versions, in this order."""
        samples = {key: sample.versions(numbers) for key, sample in self.samples.items()}
        return Response(samples, self.usable[numbers], self.kept[numbers])

    def beside(self, other: Response) -> Response:
        """Put versions of another pitch, judged in the same question, beside these."""
        return Response(
            {key: sample.beside(other.samples[key]) for key, sample in self.samples.items()},
            np.concatenate([self.usable, other.usable]),
            np.concatenate([self.kept, other.kept]),
        )

    def chance_of_rise(self, key: str, version: int, since: int = 0) -> float | None:
        """Chance (percent) that a measure is truly larger for one version than another; None where nothing is drawn."""
        draws = self.samples[key].centered()
        usable = (self.usable[version] & self.usable[since])[1:]
        if draws is None or usable.sum() < ENOUGH:
            return None
        return chance_of_lead(draws[version, 1:][usable], draws[since, 1:][usable])
