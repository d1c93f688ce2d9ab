"""A road to a goal: how far a lever must be moved, or why that does not do."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from latebreak.service.questions.answer import Estimate, Json


@dataclass(frozen=True)
class Road:
    """What one lever can do.

    Attributes
    ----------
    change : Estimate
        The change that reaches the goal; where none does, the one that comes nearest, without an interval.
    new_value : float
        Where the lever then stands, in the unit of its key.
    reachable : bool
        Whether the goal is reached within possible and plausible bounds.
    reason : str
        Why not; or what to mind.
    measure_there : float
        Value of the measure at the new value.
    """

    change: Estimate
    new_value: float
    reachable: bool
    reason: str
    measure_there: float

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return {
            "change": self.change.to_dict(),
            "new_value": self.new_value,
            "reachable": self.reachable,
            "reason": self.reason,
            "measure_there": self.measure_there if np.isfinite(self.measure_there) else None,
        }
