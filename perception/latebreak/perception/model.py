"""Hitter models: one glance as a sum of parts that can be replaced, and the built-in alternatives.

    what is seen until the decision -> belief -> forecast -> swing or take -> contact or miss

A part is a plain function over arrays of m columns (sets of parameters, or versions of a pitch) of n throws. Another
package registers a whole model by an entry point in the group ``latebreak.hitter_models`` that names a `HitterModel`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.units import FOOT
from latebreak.perception.bat import swing_at
from latebreak.perception.belief import believe
from latebreak.perception.decision import Zone, decide
from latebreak.perception.forecast import foresee
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import see
from latebreak.perception.timing import moment

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Situation:
    """Who hits against whom, in which count.

    Attributes
    ----------
    bats, throws : {"right", "left"}
        Sides of hitter and pitcher.
    zone : Zone
        The hitter's.
    count : tuple of int, optional
        Balls and strikes before the pitch; None = over all counts.
    """

    bats: str = "right"
    throws: str = "right"
    zone: Zone = field(default_factory=lambda: Zone(1.5 * FOOT, 3.5 * FOOT))
    count: tuple[int, int] | None = None

    @property
    def same_side(self) -> bool:
        """Whether the hitter bats on the side of the pitcher's hand."""
        return self.bats == self.throws

    @property
    def inside(self) -> float:
        """Sign of the side of the plate on which he stands; positive = catcher's right."""
        return -1.0 if self.bats == "right" else 1.0


@dataclass(frozen=True, eq=False)
class Judgement:
    """What a hitter makes of throws; arrays of m columns of n throws.

    Attributes
    ----------
    glance : float64 array, shape (16, m, n)
        What was seen until the decision.
    belief : float64 array, shape (H, m, n)
        In each type.
    forecast : float64 array, shape (6, m, n)
        Side, height, time to go, SD.
    swing : float64 array, shape (m, n)
        Chance that he swings.
    contact : float64 array, shape (2, m, n)
        Chances of contact and of clean contact where he swings.
    """

    glance: Array
    belief: Array
    forecast: Array
    swing: Array
    contact: Array


@dataclass(frozen=True)
class HitterModel:
    """A hitter as a sum of parts.

    Attributes
    ----------
    see : callable
        (paths, times, parameters, same_side) to a glance; `latebreak.perception.seeing.see`.
    believe : callable
        (glance, types, parameters, noise) to beliefs (H, m, n); `latebreak.perception.belief.believe`.
    foresee : callable
        (glance, belief, types, parameters, noise) to a forecast; `latebreak.perception.forecast.foresee`.
    decide : callable
        (forecast, parameters, zone, inside, count) to chances of a swing; `latebreak.perception.decision.decide`.
    swing_at : callable
        (glance, forecast, parameters, zone, inside, same_side) to chances of contact and of clean contact;
        `latebreak.perception.bat.swing_at`.
    parameters : callable
        Parameters to parameters: what this hitter changes of the level's.
    """

    see: Callable[..., Array] = see
    believe: Callable[..., Array] = believe
    foresee: Callable[..., Array] = foresee
    decide: Callable[..., Array] = decide
    swing_at: Callable[..., Array] = swing_at
    parameters: Callable[[Parameters], Parameters] = lambda parameters: parameters

    def judge(
        self, paths: Paths, types: Types, parameters: Parameters, situation: Situation, noise: Array
    ) -> Judgement:
        """Face throws.

        Parameters
        ----------
        paths : Paths
            m columns of n throws, all throws of the first column first.
        types : Types
            In mind; m columns.
        parameters : Parameters
            m columns.
        situation : Situation
            Sides, zone, count.
        noise : float64 array, shape (9, n)
            Standard normal draws, rows as in `latebreak.perception.seeing.NOISE`.
        """
        return self.weigh(self.look(paths, types, parameters, situation), types, parameters, situation, noise)

    def look(self, paths: Paths, types: Types, parameters: Parameters, situation: Situation) -> Array:
        """See throws until the decision: the glance, the same whatever else than the fastball is in mind."""
        p = self.parameters(parameters)
        flight_time = paths.arrivals[AT_TIME].reshape(p.lapse.size, -1)
        return self.see(paths, moment(flight_time, types.ready_time, p), p, situation.same_side)

    def weigh(
        self, glance: Array, types: Types, parameters: Parameters, situation: Situation, noise: Array
    ) -> Judgement:
        """Make of a glance what `judge` makes of the throws."""
        p, zone, inside = self.parameters(parameters), situation.zone, situation.inside
        belief = self.believe(glance, types, p, noise)
        forecast = self.foresee(glance, belief, types, p, noise)
        swing = self.decide(forecast, p, zone, inside, situation.count)
        contact = self.swing_at(glance, forecast, p, zone, inside, situation.same_side)
        return Judgement(glance, belief, forecast, swing, contact)


def _told(glance: Array, types: Types, parameters: Parameters, noise: Array) -> Array:
    """Belief of one who trusts speed alone: no line, no bend."""
    return believe(glance, types, parameters.with_(line_efficiency=1e-6, bend_efficiency=1e-6), noise)


#: The default: decides at one glance, some 250 ms before arrival.
one_glance = HitterModel()
#: The bound: no noise of the eye, all cues used, every movement remembered.
keen_eye = HitterModel(
    parameters=lambda parameters: parameters.with_(
        direction_noise=1e-5, speed_noise=1e-3, line_efficiency=1.0, bend_efficiency=1.0, memory_error=0.0
    )
)
#: Tells types by speed alone.
speed_alone = HitterModel(believe=_told)
