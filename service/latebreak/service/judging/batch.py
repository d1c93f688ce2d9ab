"""A batch of throws: the draws that all pitches of a question share, and the flights that were flown of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.bundle import Bundle
from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.outcome import BOUNCED, has_arrived, outcomes
from latebreak.engine.pitch.aim import MeanPitches
from latebreak.perception.seeing import NOISE
from latebreak.service.judging.setting import random_stream

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

# The arrays of a batch are freed and asked for again all the time. The C library of Linux gives those above a threshold
# back to the system each time, and lifts the threshold to the largest one that was ever freed: this one, which is never
# touched and so costs nothing. First touch of fresh memory took a tenth of a question.
np.empty(31 * 2**20, np.uint8)

#: Pitches whose flights a batch keeps: the one that is judged, and the fastball beside it.
_KEPT = 2


@dataclass(frozen=True, eq=False)
class Flown:
    """Throws of a pitch: m columns of n throws, all throws of the first column first.

    Attributes
    ----------
    paths : Paths
        Their flights.
    arrived, bounced : bool array, shape (m n,)
        Whether they reached the plate in the air, or touched the ground before.
    """

    paths: Paths
    arrived: Flags
    bounced: Flags


@dataclass(frozen=True, eq=False)
class Batch:
    """Draws of n throws in some blocks.

    Attributes
    ----------
    normals : float64 array, shape (13, n)
        Of the throws.
    noise : float64 array, shape (9, n)
        Of the hitter.
    ends : tuple of int
        Where each block ends.
    """

    normals: Array
    noise: Array
    ends: tuple[int, ...]
    _kept: list[tuple[Bundle, MeanPitches, Flown]] = field(default_factory=list, repr=False)

    def part(self, first: int, end: int) -> Batch:
        """Return some of the throws, as one block."""
        normals, noise = (np.ascontiguousarray(one[:, first:end]) for one in (self.normals, self.noise))
        return Batch(normals, noise, (normals.shape[1],))

    def flown(self, bundle: Bundle, mean: MeanPitches) -> Flown:
        """Throw a pitch: every column of its means."""
        for number, (held, its, flown) in enumerate(self._kept):
            if held is bundle and its is mean:
                self._kept.append(self._kept.pop(number))  # the one used last goes last
                return flown
        flown = _fly(bundle, mean, self.normals)
        self._kept.append((bundle, mean, flown))
        del self._kept[:-_KEPT]
        return flown


def _fly(bundle: Bundle, mean: MeanPitches, normals: Array) -> Flown:
    releases = bundle.releases(normals) if mean.seam.size == 1 else bundle.scattered(mean, normals)
    paths = bundle.flight.paths(releases)
    codes = outcomes(paths.releases, paths.arrivals, bundle.flight.constants.radius)
    return Flown(paths, has_arrived(codes), codes == BOUNCED)


def draw(draws: Draws, blocks: Sequence[int]) -> Batch:
    """Draw some blocks of throws."""
    noise = [noise_of_block(draws.seed, block, draws.size(block)) for block in blocks]
    return _batch(draws, blocks, np.concatenate(noise, axis=1))


def draw_all(draws: Draws) -> Batch:
    """Draw few throws: the hitter's noise of all blocks in one piece."""
    return _batch(draws, range(draws.blocks), noise_of_block(draws.seed, 0, draws.throws))


def _batch(draws: Draws, blocks: Sequence[int], noise: Array) -> Batch:
    normals = np.concatenate([draws.normals(block) for block in blocks], axis=1)
    return Batch(normals, noise, tuple(np.cumsum([draws.size(block) for block in blocks]).tolist()))


@lru_cache(maxsize=4 * FEWEST_BLOCKS)
def noise_of_block(seed: int, block: int, throws: int) -> Array:
    """Draw the noise of the hitter for a block of throws, (9, throws).

    The same for every pitch; kept, as the points of a seed are, because the next question asks for it too.
    """
    return random_stream(seed, "noise", str(block)).standard_normal((len(NOISE), throws))
