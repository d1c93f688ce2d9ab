"""Lift and drag laws against published values."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.laws.drag import FALLING_DRAG_CONDITIONS, constant_drag, falling_drag
from latebreak.engine.laws.lift import exponential_lift, piecewise_lift, power_lift, rational_lift, saturating_lift
from latebreak.engine.units import MPH

Law = Callable[[NDArray[np.float64]], NDArray[np.float64]]
LIFT_LAWS = [saturating_lift, piecewise_lift, power_lift, exponential_lift, rational_lift]

# C_L at these S, computed from the published formulas and rounded to 1e-4. Sources and what is known of them:
# piecewise: Sawicki, Hubbard, Stronge 2003, Am. J. Phys. 71:1152 (formula: value from memory)
# rational: Cross 2011, Physics of Baseball & Softball (value from memory)
# exponential: Nathan 2020, note on determining the 3D spin axis of a tracked pitch (coefficients: value from memory)
# power: Beckstein 2022, PHY432 course notes, Arizona State University (read)
S = np.array([0.02, 0.06, 0.10, 0.12, 0.16, 0.20, 0.24, 0.30, 0.36, 0.40, 0.46, 0.50, 0.60])
PUBLISHED = [
    (
        piecewise_lift,
        [0.0300, 0.0900, 0.1500, 0.1620, 0.1860, 0.2100, 0.2340, 0.2700, 0.3060, 0.3300, 0.3660, 0.3900, 0.4500],
    ),
    (
        rational_lift,
        [0.0448, 0.1113, 0.1582, 0.1769, 0.2075, 0.2315, 0.2508, 0.2737, 0.2915, 0.3012, 0.3135, 0.3205, 0.3348],
    ),
    (
        exponential_lift,
        [0.0382, 0.1022, 0.1524, 0.1733, 0.2082, 0.2356, 0.2572, 0.2811, 0.2978, 0.3060, 0.3151, 0.3196, 0.3270],
    ),
    (
        power_lift,
        [0.0401, 0.0865, 0.1237, 0.1405, 0.1719, 0.2010, 0.2283, 0.2669, 0.3033, 0.3265, 0.3600, 0.3817, 0.4336],
    ),
]


@pytest.mark.parametrize(("law", "lift_coefficients"), PUBLISHED)
def test_published_lift(law: Law, lift_coefficients: list[float]) -> None:
    np.testing.assert_allclose(law(S), lift_coefficients, rtol=0.0, atol=6e-5)  # the rounding of the table


@pytest.mark.parametrize("other", [piecewise_lift, power_lift])
def test_default_lift_is_near_two_published_laws(other: Law) -> None:
    # The range of a pitched ball: 5 % of the lift is 0.9 in of an 18-in movement.
    s = np.linspace(0.2, 0.4, 201)
    np.testing.assert_allclose(saturating_lift(s), other(s), rtol=0.05)


@pytest.mark.parametrize("law", LIFT_LAWS)
def test_lift_is_finite_grows_with_spin_and_vanishes_without(law: Law) -> None:
    s = np.linspace(0.0, 1.0, 1001)
    lift = law(s)
    assert lift[0] == 0.0
    assert np.isfinite(lift).all()
    assert (np.diff(lift) > 0.0).all()


@pytest.mark.parametrize("law", LIFT_LAWS)
def test_lift_keeps_the_shape(law: Law) -> None:
    grid = S[:12].reshape(3, 4)
    np.testing.assert_array_equal(law(grid), law(S[:12]).reshape(3, 4))
    assert law(np.array(0.2)).shape == ()


def test_wind_tunnel_of_1959_is_a_lower_bound() -> None:
    # Briggs 1959, Am. J. Phys. 27:589, as quoted by press texts: 17.5 in over 60 ft at 100 ft/s and 1800 rpm. That
    # implies C_L = 0.151 at S = 0.228 (computed with 1.2 kg/m3), below all later work.
    for law in LIFT_LAWS:
        assert law(np.array([0.228]))[0] > 0.151


def test_falling_drag_is_the_textbook_deceleration() -> None:
    # Giordano 1997, Computational Physics, ch. 2: B2/m = 0.0039 + 0.0058 / (1 + exp((v - 35) / 5)) in 1/m (value from
    # memory); computed at v = 20, 35, 50 m/s by hand with exp(3) = 20.0855.
    deceleration = falling_drag(np.array([20.0, 35.0, 50.0]), 0.0) * FALLING_DRAG_CONDITIONS.force_constant
    np.testing.assert_allclose(deceleration, [9.42493e-3, 6.8e-3, 4.17507e-3], rtol=1e-5)


def test_falling_drag_in_assumed_air_gives_the_measured_coefficients() -> None:
    # Adair, The Physics of Baseball, ch. 2, as summarised by Fox 2007: about 0.40 at 75 mph, below 0.30 at 100 mph.
    # 0.02 is what "about" leaves, and also the spread from ball to ball.
    at_75_mph, at_100_mph = falling_drag(np.array([75.0, 100.0]) * MPH, 0.2)
    assert at_75_mph == pytest.approx(0.40, abs=0.02)
    assert at_100_mph < 0.30


def test_constant_drag_loses_a_tenth_of_the_speed() -> None:
    # dv/dy = K C_D v: exp(-K C_D y). Fox 2007 (read): means of about 40,000 pitches, 87.6 mph at the start, 78.8 at the
    # end, over about 55 ft; in air of 1.2 kg/m3. Air and start of the tracks are not stated: 1 mph.
    drag = float(constant_drag(38.0, 0.2))
    assert 87.6 * np.exp(-Conditions(air_density=1.2).force_constant * drag * 55.0 * 0.3048) == pytest.approx(
        78.8, abs=1.0
    )


@pytest.mark.parametrize("law", [constant_drag, falling_drag])
def test_drag_broadcasts(law: Callable[..., NDArray[np.float64]]) -> None:
    speed, spin_parameter = np.linspace(1.0, 5000.0, 4)[:, None], np.linspace(0.0, 1.0, 3)
    drag = law(speed, spin_parameter)
    assert drag.shape == (4, 3)
    assert ((drag > 0.2) & (drag < 0.6)).all()  # also at absurd speeds: no overflow
    assert drag.flags.writeable
