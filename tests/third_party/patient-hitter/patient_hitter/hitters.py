"""A hitter model: the one of one glance with other parameters."""

from dataclasses import replace

from latebreak.perception.model import HitterModel
from latebreak.perception.parameters import Parameters


def _waits(parameters: Parameters) -> Parameters:
    """He waits longer for slower pitches, and his hurried swing is half as precise in time."""
    return replace(
        parameters,
        waiting_share=0.5 + 0.5 * parameters.waiting_share,
        motor_time=2.0 * parameters.motor_time,
    )


patient_hitter = HitterModel(parameters=_waits)
