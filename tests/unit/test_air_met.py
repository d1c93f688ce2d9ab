"""The range of S and V that flights visit, against numpy."""

from collections.abc import Callable

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.flight.air_met import air_met
from latebreak.engine.flight.flying import EXACT_STEPS
from latebreak.engine.flight.kernel import AT_TIME, AT_VX, AT_VZ, MAX_VY, SPIN_X, SPIN_Z
from latebreak.engine.pitch.pitch import Pitch

WINDY = Conditions(air_density=1.2, wind_to_right=3.0, wind_to_plate=-5.0)


@pytest.fixture(scope="module")
def bundle(make_pitch: Callable[..., Pitch]) -> Bundle:
    return prepare(make_pitch(78.0, 2500.0, 200.0, 30.0, spread_scale=1.0), WINDY)


def test_against_numpy(bundle: Bundle) -> None:
    """S = R |w x u| exp(-t/tau) / u^2 at every node, with the velocity u through the air; to rounding."""
    nodes = bundle.flight.paths(bundle.pilots, EXACT_STEPS).nodes
    u = nodes[:, AT_VX : AT_VZ + 1] - np.array([[3.0], [5.0], [0.0]])  # the wind blows towards the mound
    v = np.linalg.norm(u, axis=1)
    left = np.exp(-nodes[:, AT_TIME] / WINDY.ball.spin_decay_time)
    across = np.linalg.norm(np.cross(bundle.pilots[None, SPIN_X : SPIN_Z + 1], u, axis=1), axis=1)
    s = WINDY.ball.radius * left * across / v**2
    found = air_met(bundle.pilots, nodes, bundle.flight.constants)
    np.testing.assert_allclose(found, [s.min(), s.max(), v.min(), v.max()], rtol=1e-12)


def test_what_stops_on_its_way_does_not_count(bundle: Bundle) -> None:
    nodes = bundle.flight.paths(bundle.pilots, EXACT_STEPS).nodes
    stalled = nodes.copy()
    stalled[-1, MAX_VY, 1:] = 0.5  # m/s, away from the plate
    alone = air_met(bundle.pilots[:, :1].copy(), nodes[:, :, :1].copy(), bundle.flight.constants)
    assert air_met(bundle.pilots, stalled, bundle.flight.constants) == pytest.approx(alone, rel=1e-14)
    stalled[-1, MAX_VY, 0] = np.nan
    low_s, high_s, low_v, high_v = air_met(bundle.pilots, stalled, bundle.flight.constants)
    assert low_s > high_s
    assert low_v > high_v
