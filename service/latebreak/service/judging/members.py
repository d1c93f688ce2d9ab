"""Versions of one pitch, as they are and in every member of the ensemble."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.service.judging.ensemble import Ensemble
from latebreak.service.judging.estimates import MEMBERS

Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Versions:
    """Versions of one pitch, as they are and under what is not known.

    Attributes
    ----------
    name : str
        Of the pitch.
    bundle : Bundle
        v columns.
    on_target : bool array, shape (v,)
        Which can be thrown to their target.
    members : MeanPitches or None
        Under the ensemble, v (MEMBERS + 1) columns, version by version; None without.
    members_on_target : bool array, shape (v (MEMBERS + 1),), or None
        Which of those can be thrown to their target.
    """

    name: str
    bundle: Bundle
    on_target: Flags
    members: MeanPitches | None = None
    members_on_target: Flags | None = None

    @property
    def count(self) -> int:
        """Number of versions, v."""
        return int(self.bundle.mean.seam.size)

    def members_of(self, version: int) -> MeanPitches:
        """Return a version under the ensemble, MEMBERS + 1 columns."""
        assert self.members is not None  # there is an ensemble
        return self.members if self.count == 1 else self.members.columns(_columns(version))

    def usable(self, version: int, ensemble: Ensemble, mix: Iterable[str]) -> Flags:
        """Return in which members this version and every other pitch of a mix can be thrown, (MEMBERS + 1,)."""
        assert self.members_on_target is not None  # there is an ensemble
        others = [ensemble.on_target[one] for one in mix if one != self.name]
        own = self.members_on_target[_columns(version)] & self.on_target[version]
        every: Flags = np.logical_and.reduce([own, *others])
        return every


def _columns(version: int) -> NDArray[np.int64]:
    return np.arange(version * (MEMBERS + 1), (version + 1) * (MEMBERS + 1))
