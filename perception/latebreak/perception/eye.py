"""The hitter's eye: where it is, and how well it sees.

Noise is a density: a look of duration dt has variance n^2/dt, so the evidence of a stretch of flight does not depend on
how finely it is cut into looks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight import PLATE_FRONT
from latebreak.engine.units import ARCMIN, DEGREE

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
    position_noise : float
        rad sqrt(s), of the seen direction. Default 0.2 arcmin sqrt(s), chosen: with `size_noise` it gives a Weber
        fraction of 6 % for speed and of 8 to 10 % for the time of arrival.
    size_noise : float
        sqrt(s), of the logarithm of the seen size. Default 0.008, chosen, see `position_noise`.
    pursuit_limit : float
        rad/s, the fastest that gaze follows. Default 90 deg/s: Watts and Bahill (1990), as quoted by others.
    eccentricity_scale : float
        rad, the eccentricity E2 at which noise doubles. Default 0.8 deg: Levi, Klein and Aitsebaomo (1985), Vernier
        acuity, crowding and cortical magnification; value from memory.
    """

    side: float = 0.76
    height: float = 1.55
    depth: float = 0.30
    bats: str = "right"
    position_noise: float = 0.2 * ARCMIN
    size_noise: float = 0.008
    pursuit_limit: float = 90.0 * DEGREE
    eccentricity_scale: float = 0.8 * DEGREE

    @property
    def place(self) -> Array:
        """Position (x, y, z) in the frame of the field, m."""
        return np.array([-self.side if self.bats == "right" else self.side, PLATE_FRONT - self.depth, self.height])
