"""A record of swings: real pitches, who faced them in which count, whether he swung, and whether he missed."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.bundle.draws import FEWEST_BLOCKS, Draws
from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_X, AT_Z
from latebreak.engine.stopping import checkpoint
from latebreak.perception.decision import Zone
from latebreak.perception.model import HitterModel, Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.seeing import NOISE
from latebreak.perception.swings.facing import Facing

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
Numbers = NDArray[np.int64]

_DRAWS = 32  # of the hitter's noise at each pitch


@cache
def noise() -> Array:
    """Draws of the hitter's noise, (9, 32), the same at every pitch: scrambled Sobol points."""
    return np.ascontiguousarray(Draws(1, _DRAWS * FEWEST_BLOCKS).normals(0)[: len(NOISE)])


@dataclass(frozen=True, eq=False)
class Record:
    """The pitches that count; N of them.

    Attributes
    ----------
    paths : Paths
        One column.
    names : tuple of str
        Of the types.
    kind : int array, shape (N,)
        Number in `names`.
    facings : tuple of Facing
        Pitchers before hitters of one side.
    facing : int array, shape (N,)
        Number in `facings`.
    balls, strikes : int array, shape (N,)
        Before the pitch.
    swung, missed : bool array, shape (N,)
        A foul tip is no miss.
    fitted : bool array, shape (N,)
        Whether the day is one of those that are fitted.
    day : int array, shape (N,)
        Number of the day.
    zone : Zone
        The hitters'.
    """

    paths: Paths
    names: tuple[str, ...]
    kind: Numbers
    facings: tuple[Facing, ...]
    facing: Numbers
    balls: Numbers
    strikes: Numbers
    swung: Flags
    missed: Flags
    fitted: Flags
    day: Numbers
    zone: Zone = field(default_factory=lambda: Situation().zone)

    @property
    def place(self) -> Array:
        """Side and height at the plate, m: (2, N)."""
        return self.paths.arrivals[[AT_X, AT_Z]]

    @property
    def same_side(self) -> Flags:
        """Whether the hitter bats on the side of the pitcher's hand: (N,)."""
        return np.array([one.same_side for one in self.facings])[self.facing]

    def answers(self, model: HitterModel, parameters: Parameters, which: Flags | None = None) -> Array:
        """Chances of a swing, and of a swing that meets the ball.

        Parameters
        ----------
        model : HitterModel
            Who hits.
        parameters : Parameters
            One column.
        which : bool array, shape (N,), optional
            Pitches that are asked about; default: all.

        Returns
        -------
        float64 array, shape (2, N)
            0 for pitches that are not asked about.
        """
        result, own = np.zeros((2, self.kind.size)), model.parameters(parameters)
        asked = np.ones(self.kind.size, dtype=bool) if which is None else which
        draws = noise().shape[1]
        for number, one in enumerate(self.facings):
            types = one.types(own)
            for balls in range(4):
                for strikes in range(3):
                    count = (self.balls == balls) & (self.strikes == strikes)
                    mine = np.flatnonzero(asked & count & (self.facing == number))
                    if not mine.size:
                        continue
                    checkpoint()
                    situation = Situation(one.bats, one.throws, self.zone, (balls, strikes))
                    known = types.expected(one.shares[balls, strikes])
                    repeated = throws_of(self.paths, np.repeat(mine, draws))
                    judged = model.judge(repeated, known, parameters, situation, np.tile(noise(), mine.size))
                    swing = judged.swing[0].reshape(mine.size, draws)
                    met = judged.contact[0, 0].reshape(mine.size, draws)
                    result[0, mine], result[1, mine] = swing.mean(axis=1), (swing * met).mean(axis=1)
        return result


def throws_of(paths: Paths, numbers: Numbers) -> Paths:
    """Some throws of a bundle, in this order."""
    nodes = np.ascontiguousarray(paths.nodes[:, :, numbers])
    return Paths(np.ascontiguousarray(paths.releases[:, numbers]), nodes, paths.plate)
