"""Aim: on target, the flatter way, or not at all."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import UnreachableTargetError, prepare
from latebreak.engine.flight.flying import EXACT_STEPS
from latebreak.engine.flight.kernel import AT_X, AT_Z
from latebreak.engine.pitch.aim import AZIMUTH, ELEVATION, aimed, mean_pitches
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.units import DEGREE, FOOT, INCH

MakePitch = Callable[..., Pitch]

AIR = Conditions(air_density=1.2)
RUBBER = AIR.rubber_to_plate


def test_many_columns_each_with_its_own_coefficients(make_pitch: MakePitch) -> None:
    pitch = make_pitch(78.0, 2500.0, 200.0, 30.0, target_ft=(-0.5, 1.5))
    columns = replace(
        mean_pitches(pitch, RUBBER, 5),
        drag_scale=np.linspace(0.8, 1.2, 5),
        lift_scale=np.linspace(1.3, 0.7, 5),
        seam=np.array([0.0, 0.02, 0.0, 0.05, 0.08]),
    )
    flight = prepare(pitch, AIR).flight
    columns, reached = aimed(columns, flight)
    assert reached.all()
    arrival = flight.arrivals(columns.releases(), 32)
    np.testing.assert_allclose(arrival[AT_X], -0.5 * FOOT, atol=1e-4 * INCH)
    np.testing.assert_allclose(arrival[AT_Z], 1.5 * FOOT, atol=1e-4 * INCH)
    assert np.unique(columns.levers[ELEVATION]).size == 5


def test_given_launch_angles_stay(make_pitch: MakePitch) -> None:
    bundle = prepare(make_pitch(launch_deg=(-1.3, 2.1)), AIR)
    assert bundle.mean.levers[ELEVATION, 0] == pytest.approx(-1.3 * DEGREE)
    assert bundle.mean.levers[AZIMUTH, 0] == pytest.approx(2.1 * DEGREE)


def test_of_two_solutions_the_flatter(make_pitch: MakePitch) -> None:
    # In near vacuum the two elevations are known: tan a = (v^2 -+ sqrt(v^4 - g (g d^2 + 2 h v^2))) / (g d).
    pitch = make_pitch(40.0, 0.0, 0.0, 0.0, release_side_ft=0.0)
    bundle = prepare(pitch, Conditions(air_density=0.0))
    g, v2 = 9.80665, pitch.speed**2
    d = (60.5 - 6.2 - 17.0 / 12.0) * FOOT
    h = (2.6 - 5.9) * FOOT
    root = np.sqrt(v2**2 - g * (g * d**2 + 2.0 * h * v2))
    flat, steep = np.arctan2(v2 - root, g * d), np.arctan2(v2 + root, g * d)
    assert bundle.mean.levers[ELEVATION, 0] == pytest.approx(flat, abs=1e-6)
    assert steep > flat + 0.5


@pytest.mark.parametrize("target_ft", [(0.0, 2.5), (3.0, 0.5), (-3.0, 5.0)])
@pytest.mark.parametrize("mph", [34.0, 40.0, 60.0, 110.0])
def test_everything_within_reach_is_hit(make_pitch: MakePitch, mph: float, target_ft: tuple[float, float]) -> None:
    for clock in (0.0, 100.0, 180.0, 260.0):
        bundle = prepare(make_pitch(mph, 3000.0, clock, 20.0, target_ft=target_ft, spread_scale=1.0), AIR)
        arrival = bundle.flight.arrivals(bundle.releases(np.zeros((9, 1))), EXACT_STEPS)[[AT_X, AT_Z], 0]
        np.testing.assert_allclose(arrival, np.array(target_ft) * FOOT, atol=1e-4 * INCH)


def test_unreachable_target_is_said(make_pitch: MakePitch) -> None:
    # 20 mph carry 8 m at best.
    with pytest.raises(UnreachableTargetError, match="target"):
        prepare(make_pitch(20.0, 1000.0), AIR)


def test_one_unreachable_column_spares_its_neighbours(make_pitch: MakePitch) -> None:
    pitch = make_pitch(60.0, 1500.0)
    columns = mean_pitches(pitch, RUBBER, 3)
    columns.levers[0, 1] = 8.0  # m/s
    columns, reached = aimed(columns, prepare(pitch, AIR).flight)
    np.testing.assert_array_equal(reached, [True, False, True])
    assert np.isfinite(columns.levers).all()
