"""A lift law."""

import numpy as np
from numpy.typing import NDArray


def scuffed_lift(spin_parameter: NDArray[np.float64]) -> NDArray[np.float64]:
    """C_L = 0.3 tanh(2 S): invented, and weaker than every law of a baseball."""
    return 0.3 * np.tanh(2.0 * spin_parameter)
