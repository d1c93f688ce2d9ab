"""What every benchmark flies: one ordinary bundle, and the clock."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM

SPREAD = np.array(
    [1.0 * MPH, 80 * RPM, 4 * DEGREE, 5 * DEGREE, 1.2 * INCH, 0.8 * INCH, 1.3 * INCH, 0.8 * DEGREE, 0.8 * DEGREE]
)


@pytest.fixture(scope="session")
def conditions() -> Conditions:
    """Ordinary air with some wind."""
    return Conditions(air_density=1.19, wind_to_right=1.0, wind_to_plate=-1.0)


@pytest.fixture(scope="session")
def bundle(conditions: Conditions) -> Bundle:
    """A curve with everything on: gyro spin, seam-made force, spin decay, wind."""
    return prepare(
        Pitch(
            speed=80 * MPH,
            spin_rate=2450 * RPM,
            break_clock=205 * DEGREE,
            gyro=40 * DEGREE,
            release_side=-1.8 * FOOT,
            release_height=5.9 * FOOT,
            extension=6 * FOOT,
            aim=Target(0.0, 2.2 * FOOT),
            seam_force=0.03,
            seam_clock=120 * DEGREE,
            spread=Spread(SPREAD, np.eye(9), drag_scale=0.05, lift_scale=0.04, seam_force=0.008),
        ),
        conditions,
    )


@pytest.fixture(scope="session")
def releases(bundle: Bundle) -> np.ndarray:
    """4,096 releases of the bundle."""
    return bundle.releases(Draws(1, 8 * 4096).normals(0))


@pytest.fixture(scope="session")
def seconds() -> Callable[[Callable[[], object], int], float]:
    """Fastest of several runs of a function, in s: the run that the machine disturbed least."""

    def fastest(function: Callable[[], object], runs: int) -> float:
        function()
        times = []
        for _ in range(runs):
            start = perf_counter()
            function()
            times.append(perf_counter() - start)
        return min(times)

    return fastest
