"""What hitters of one side know of a pitcher: his types, their lines out of the hand, how often he throws each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types, remember

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.int64]

#: Pitches' worth of the side's own shares in the shares of a count (chosen: rare counts say little).
_SHRINKAGE = 30.0
_FEWEST = 5  # pitches from which a line out of the hand is taken


@dataclass(frozen=True, eq=False)
class Facing:
    """A pitcher before hitters of one side; H types.

    Attributes
    ----------
    bats, throws : {"right", "left"}
        Sides of hitter and pitcher.
    names : tuple of str
        Of his types; the fastball that hitters are ready for first.
    means : tuple of Paths
        Mean path of each, one throw.
    lines, line_sd : float64 array, shapes (H, 2), (H,)
        Line of each out of the hand toward this side, and its SD; NaN = too few throws, as hitters expect it of any.
    shares : float64 array, shape (4, 3, H)
        Of the types, by balls and strikes.
    """

    bats: str
    throws: str
    names: tuple[str, ...]
    means: tuple[Paths, ...]
    lines: Array
    line_sd: Array
    shares: Array

    @property
    def same_side(self) -> bool:
        """Whether the hitter bats on the side of the pitcher's hand."""
        return self.bats == self.throws

    def types(self, parameters: Parameters) -> Types:
        """Return what a hitter has in mind, all types alike likely; parameters of one column."""
        sd = np.where(np.isnan(self.line_sd)[:, None], parameters.line_scatter, self.line_sd[:, None])
        found = remember(self.names, [1.0 / len(self.names)] * len(self.names), self.means, parameters, sd)
        known = ~np.isnan(self.line_sd)
        found.line[known, 0] = self.lines[known]
        return found


def facing(
    bats: str,
    throws: str,
    names: Sequence[str],
    means: Sequence[Paths],
    kind: Numbers,
    lines: Array,
    counts: tuple[Numbers, Numbers],
    his: Flags,
) -> Facing:
    """Learn lines and shares from a pitcher's throws.

    Parameters
    ----------
    bats, throws, names, means
        As in `Facing`.
    kind : int array, shape (n,)
        Number of each throw's type in `names`.
    lines : float64 array, shape (2, n)
        Its line out of the hand.
    counts : tuple of int arrays, shape (n,)
        Balls and strikes before it.
    his : bool array, shape (n,)
        Whether it was thrown to a hitter of this side; those of the other side tell of lines that this side hardly saw.
    """
    balls, strikes = counts
    size = len(names)
    line, line_sd, shares = np.zeros((size, 2)), np.full(size, np.nan), np.empty((4, 3, size))
    toward = his if his.any() else np.ones_like(his)
    usual = np.bincount(kind[toward], minlength=size) / toward.sum()
    for k in range(size):
        mine = toward & (kind == k)
        mine = mine if mine.sum() >= _FEWEST else kind == k
        if mine.sum() >= _FEWEST:
            line[k], line_sd[k] = lines[:, mine].mean(axis=1), lines[:, mine].std(axis=1).mean()
    for b in range(4):
        for s in range(3):
            thrown = np.bincount(kind[toward & (balls == b) & (strikes == s)], minlength=size) + _SHRINKAGE * usual
            shares[b, s] = thrown / thrown.sum()
    return Facing(bats, throws, tuple(names), tuple(means), line, line_sd, shares)
