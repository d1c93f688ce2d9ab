"""Drag coefficient C_D of a baseball as a function of its speed v through the air and the spin parameter S.

Every law takes v in m/s and S >= 0, arrays that broadcast together, and gives C_D in their common shape.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from latebreak.engine.air.ball import Conditions

__all__ = ["constant_drag", "falling_drag"]


def constant_drag(speed: ArrayLike, spin_parameter: ArrayLike) -> NDArray[np.float64]:
    """C_D = 0.345, the default.

    Chosen by us: tracked pitches give 0.34 to 0.36 and no fall between 72 and 100 mph; 0.33 to 0.45 over seam heights
    (Kensrud et al. 2015, as quoted by B. Smith 2019). From ball to ball it varies by about 0.02.
    """
    return np.full(np.broadcast_shapes(np.shape(speed), np.shape(spin_parameter)), 0.345)


#: The air and ball that turn a deceleration per v^2 into a coefficient. Assumed, as we don't know which ones the book
#: had: standard sea level, 1.225 kg/m3, and the default ball. This gives Adair's 0.40 at 75 mph and less than 0.30 at
#: 100 mph (The Physics of Baseball, as summarised by Fox 2007), the measurements that the law describes.
FALLING_DRAG_CONDITIONS = Conditions(air_density=1.225)


def falling_drag(speed: ArrayLike, spin_parameter: ArrayLike) -> NDArray[np.float64]:
    """C_D = (0.0039 + 0.0058 / (1 + exp((v - 35) / 5))) / K: drag that falls around 35 m/s, with v in m/s, K in 1/m.

    References
    ----------
    Giordano (1997), Computational Physics, chapter 2: B2/m in 1/m, the deceleration per v^2; value from memory.
    """
    v, _ = np.broadcast_arrays(np.asarray(speed, dtype=np.float64), spin_parameter)
    # 1 / (1 + exp(u)) = (1 - tanh(u / 2)) / 2, which can't overflow
    b2_m = 0.0039 + 0.0058 * 0.5 * (1.0 - np.tanh((v - 35.0) / 10.0))
    return np.asarray(b2_m / FALLING_DRAG_CONDITIONS.force_constant)
