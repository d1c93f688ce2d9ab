"""The bat in closed form against drawing every swing, and against what it must do."""

import numpy as np
import pytest
from batting import MIX, PROFESSIONAL, face
from numpy.typing import NDArray

from latebreak.engine.units import FOOT, INCH
from latebreak.perception.bat import ALONG, CLEAN, CLEAN_HEIGHT, CLEAN_TIME, CONTACT, REACH, TOUCH, swing_at
from latebreak.perception.decision import HALF_WIDTH, Zone
from latebreak.perception.forecast import FORECAST_ROWS, FORECAST_X, FORECAST_Z, TIME_TO_GO
from latebreak.perception.model import Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, GLANCE, REMAINING

Array = NDArray[np.float64]

ZONE = Zone(1.5 * FOOT, 3.5 * FOOT)


def swung(arrival: Array, forecast: Array, late: float = 0.0, p: Parameters = PROFESSIONAL) -> Array:
    """Chances (2,) of a ball that arrives at a place and was forecast at another, m."""
    glance, foreseen = np.zeros((len(GLANCE), 1, 1)), np.zeros((FORECAST_ROWS, 1, 1))
    glance[[ARRIVAL_X, ARRIVAL_Z], 0, 0], glance[REMAINING] = arrival, 0.2 + late
    foreseen[[FORECAST_X, FORECAST_Z], 0, 0], foreseen[TIME_TO_GO] = forecast, 0.2
    chances: Array = swing_at(glance, foreseen, p, ZONE, -1.0, False)[:, 0, 0]
    return chances


@pytest.mark.parametrize("name", MIX)
def test_against_drawing_every_swing(name: str) -> None:
    """Motor noise drawn 4,000 times for each of 100 throws, and contact counted; to four standard errors."""
    p, draws, rng = PROFESSIONAL, 4000, np.random.default_rng(1)
    faced = face(name, throws=100, situation=Situation(bats="left"))
    x, z = faced.glance[[ARRIVAL_X, ARRIVAL_Z], 0]
    fx, fz, to_go = faced.forecast[:3, 0]
    inside, middle = float(p.wanted_inside[0]), Situation().zone.middle + float(p.wanted_height[0])
    usual = middle + float(p.usual_height[0])
    correction, gain = float(p.correction_share[0]), float(p.bat_gain[0])
    bat_x = inside + gain * (fx + correction * (x - fx) - inside)
    bat_z = usual + gain * (fz + correction * (z - fz) - usual)
    r = np.hypot((x - inside) / HALF_WIDTH, (z - middle) / Situation().zone.half_height)
    motor = p.motor_height * np.sqrt(1.0 + p.motor_growth * r**4)
    m_x, m_z, m_t = (rng.standard_normal((draws, 100)) for _ in range(3))
    off_x, off_z = x - bat_x + ALONG * motor * m_x, z - bat_z + motor * m_z
    late = faced.glance[REMAINING, 0] - to_go + p.motor_time * m_t
    tries = rng.random((draws, 100)) >= p.lapse
    tries &= np.abs(off_x) < REACH
    touched = tries & (np.abs(off_z) < TOUCH) & (np.abs(late) < p.timing_window)
    clean = tries & (np.abs(off_z) < CLEAN_HEIGHT) & (np.abs(late) < CLEAN_TIME)
    for row, counted in ((CONTACT, touched), (CLEAN, clean)):
        chance = faced.contact[row, 0]
        error = np.sqrt(chance * (1.0 - chance) / draws)
        assert (np.abs(counted.mean(axis=0) - chance) < 4.0 * error + 1e-3).all()
        mean_error = np.sqrt((chance * (1.0 - chance)).sum() / draws) / 100.0
        assert abs(counted.mean() - chance.mean()) < 4.0 * mean_error


def test_a_ball_at_his_usual_place_and_time_is_hit() -> None:
    """Touch is 2.76 in, 2.5 SD of the bat: some 97 % of all, and the lapse."""
    p = PROFESSIONAL
    usual = np.array([-float(p.wanted_inside[0]), ZONE.middle + float((p.wanted_height + p.usual_height)[0])])
    assert 0.95 < swung(usual, usual)[CONTACT] < 1.0 - float(p.lapse[0])


@pytest.mark.parametrize("axis", [0, 1])
def test_the_farther_off_the_forecast_the_less_contact(axis: int) -> None:
    p = PROFESSIONAL
    usual = np.array([-float(p.wanted_inside[0]), ZONE.middle + float((p.wanted_height + p.usual_height)[0])])
    for sign in (1.0, -1.0):
        for row in (CONTACT, CLEAN):
            offs = sign * np.linspace(0.0, 30.0, 20) * INCH
            chances = [swung(usual, usual + off * np.eye(2)[axis])[row] for off in offs]
            assert (np.diff(chances) <= 1e-6).all()
            assert chances[-1] < chances[0]
    for sign in (1.0, -1.0):
        chances = [swung(usual, usual, sign * late)[CONTACT] for late in np.linspace(0.0, 0.1, 20)]
        assert (np.diff(chances) <= 1e-6).all()
        assert chances[-1] < 1e-3


def test_full_correction_forgives_any_forecast_of_the_place() -> None:
    p = PROFESSIONAL.with_(correction_share=1.0)
    arrival = np.array([0.1, 0.9])
    right, wrong = (swung(arrival, forecast, p=p) for forecast in (arrival, np.array([3.0, -2.0])))
    np.testing.assert_allclose(wrong, right, rtol=1e-12)


def test_an_exact_bat_meets_what_it_is_aimed_at() -> None:
    p = PROFESSIONAL.with_(motor_height=1e-6, motor_time=1e-6, lapse=0.03, bat_gain=1.0)
    place = np.array([0.3, 1.4])
    np.testing.assert_allclose(swung(place, place, p=p), 0.97, rtol=1e-6)
