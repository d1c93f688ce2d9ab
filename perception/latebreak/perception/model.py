"""Hitter models: the observer as a sum of parts that can be replaced, and the built-in alternatives.

A part is a plain function. Another package registers a whole model by an entry point in the group
``latebreak.hitter_models`` that names a `HitterModel`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.aim import GYRO, SPIN_RATE, MeanPitches
from latebreak.engine.flight import Flight
from latebreak.perception.encounter import Encounter, meet
from latebreak.perception.forecast import Forecast, foresee
from latebreak.perception.hitter import Hitter, Traits
from latebreak.perception.recognition import Recognition, recognise
from latebreak.perception.swing import HEIGHT_CUT, TIMING_CUT, Readiness, cut_offs, swing
from latebreak.perception.templates import Template

Array = NDArray[np.float64]


def _as_they_are(traits: Traits) -> Traits:
    return traits


def _all_of_them(types: Sequence[Template], own: int) -> tuple[Sequence[Template], int]:
    return types, own


@dataclass(frozen=True)
class HitterModel:
    """A hitter as a sum of parts.

    Attributes
    ----------
    traits : callable
        Traits to traits: what this hitter changes of the level's parameters.
    imagine : callable
        (types, own) to (types, own): which types he has in mind.
    meet : callable
        Eye, noise and templates: `latebreak.perception.encounter.meet` or alike.
    recognise : callable
        (encounter, cuts (C, m)) to `Recognition`.
    foresee : callable
        (encounter, timing cut (m,), height cut (m,)) to `Forecast`.
    weighted : bool
        Plan: the mean of the types by belief, in place of the most believed one.
    swing : callable
        (ready, normals (9, n), noise (2 + 3 (H - 1), n)) to the rows of `latebreak.perception.swing.SWING`.
    """

    traits: Callable[[Traits], Traits] = _as_they_are
    imagine: Callable[[Sequence[Template], int], tuple[Sequence[Template], int]] = _all_of_them
    meet: Callable[..., Encounter] = meet
    recognise: Callable[[Encounter, Array], Recognition] = recognise
    foresee: Callable[[Encounter, Array, Array], Forecast] = foresee
    weighted: bool = False
    swing: Callable[[Readiness, Array, Array], Array] = swing

    def ready(self, encounter: Encounter) -> Readiness:
        """Work out once what the hitter brings to an encounter."""
        cuts = cut_offs(encounter)
        return Readiness(
            encounter,
            self.recognise(encounter, cuts),
            self.foresee(encounter, cuts[TIMING_CUT], cuts[HEIGHT_CUT]),
            self.weighted,
        )


def _ideal(traits: Traits) -> Traits:
    return traits.with_(evidence_efficiency=1.0, movement_error=0.0, direction_error=0.0)


# The plain extrapolator expects nothing of release or speed: errors so wide that what is seen decides.
_NO_EXPECTATION = {
    "movement_error": 0.0,
    "direction_error": 0.0,
    "speed_error": 1.0,
    "release_point_error": 0.5,
    "azimuth_error": 0.2,
    "elevation_error": 0.2,
}


def _heading_only(types: Sequence[Template], own: int) -> tuple[Sequence[Template], int]:
    """One type: a ball that flies on as it is seen to fly, with gravity and drag and no spin."""
    his = types[own]
    levers = his.mean.levers.copy()
    levers[[SPIN_RATE, GYRO]] = 0.0
    bare = replace(his.mean, levers=levers, target=None, seam=np.zeros_like(his.mean.seam))
    return [Template(his.name, 1.0, bare, his.flight, his.usual_movement, his.sense)], 0


def _meet_a_stranger(
    thrown: MeanPitches,
    flight: Flight,
    factor: Array,
    types: Sequence[Template],
    own: int,
    hitter: Hitter,
    traits: Traits,
) -> Encounter:
    """As if nothing of this pitcher had been seen before."""
    return meet(thrown, flight, factor, types, own, replace(hitter, familiarity=0.0), traits)


#: The default: works on the most believed type.
observer = HitterModel()
#: The bound: uses all the evidence and remembers every movement exactly.
ideal_observer = HitterModel(traits=_ideal)
#: Plans on the mean of the types, weighted by belief.
belief_weighted = HitterModel(weighted=True)
#: Knows no types: extends the seen heading with the seen speed and gravity.
plain_extrapolator = HitterModel(
    traits=lambda traits: traits.with_(**_NO_EXPECTATION), imagine=_heading_only, meet=_meet_a_stranger
)
