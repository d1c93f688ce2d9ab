"""A hitter model: the observer with other traits."""

from dataclasses import replace

from latebreak.perception.hitter import Traits
from latebreak.perception.model import HitterModel


def _waits(traits: Traits) -> Traits:
    """He looks on until later, and his hurried swing is half as precise in time."""
    return replace(
        traits,
        timing_cutoff=0.8 * traits.timing_cutoff,
        height_cutoff=0.8 * traits.height_cutoff,
        motor_time=2.0 * traits.motor_time,
    )


patient_hitter = HitterModel(traits=_waits)
