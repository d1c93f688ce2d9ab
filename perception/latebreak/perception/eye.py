"""The hitter's eye: where it is. How well it sees is one of the traits of the hitter (`parameters.toml`)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.flying import PLATE_FRONT

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Eye:
    """A hitter's eye.

    Attributes
    ----------
    side : float
        m from the middle of the plate towards the hitter's box. Default 0.76, an assumption: no published measurement
        was found.
    height : float
        m above the ground, in the stance. Default 1.55, an assumption.
    depth : float
        m behind the plate's front edge. Default 0.30, an assumption.
    bats : {"right", "left"}
        Side; a right-handed hitter stands at negative x.
    """

    side: float = 0.76
    height: float = 1.55
    depth: float = 0.30
    bats: str = "right"

    @property
    def place(self) -> Array:
        """Position (x, y, z) in the frame of the field, m."""
        return np.array([-self.side if self.bats == "right" else self.side, PLATE_FRONT - self.depth, self.height])
