"""A lift law with a hole."""

import numpy as np
from numpy.typing import NDArray


def torn_lift(spin_parameter: NDArray[np.float64]) -> NDArray[np.float64]:
    """C_L = 0.3 sqrt(1 - S), which is no number beyond S = 1."""
    return 0.3 * np.sqrt(1.0 - spin_parameter)
