"""Mean pitches under draws of what is not known about ball and means."""

from collections.abc import Callable

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.pitch.aim import MeanPitches, mean_pitches
from latebreak.engine.pitch.pitch import Pitch
from latebreak.engine.pitch.uncertainty import BallDraws, MeanErrors, draw_ball, uncertain
from latebreak.engine.units import DEGREE, FOOT, MPH, RPM

MakePitch = Callable[..., Pitch]

CONDITIONS = Conditions(air_density=1.2)
RUBBER = 60.5 * FOOT
DRAWS = 4000
#: Four standard errors of a standard deviation from 4,000 draws, 1/sqrt(2 n) each, relative.
SD = 4 / np.sqrt(2 * DRAWS)


@pytest.fixture(scope="module")
def ball() -> BallDraws:
    return draw_ball(DRAWS, np.random.default_rng(11))


def draw(pitch: Pitch, ball: BallDraws, errors: MeanErrors | None = None, seed: int = 12) -> MeanPitches:
    return uncertain(mean_pitches(pitch, RUBBER), errors or MeanErrors(), CONDITIONS, ball, np.random.default_rng(seed))


def test_the_first_column_is_the_pitch_itself(make_pitch: MakePitch, ball: BallDraws) -> None:
    errors = MeanErrors(np.full(9, 0.01), 0.03, 0.1, 0.05)
    pitch = make_pitch(seam_force=0.05, drag_scale=1.1, lift_scale=0.9)
    mean, found = mean_pitches(pitch, RUBBER), draw(pitch, ball, errors)
    assert found.levers.shape == (9, DRAWS + 1)
    assert found.target is not None
    assert found.target.shape == (2, DRAWS + 1)
    np.testing.assert_array_equal(found.levers[:, :1], mean.levers)
    for name in ("seam", "drag_scale", "lift_scale"):
        assert getattr(found, name).shape == (DRAWS + 1,)
        assert getattr(found, name)[0] == getattr(mean, name)[0]
    np.testing.assert_array_equal(found.releases()[:, :1], mean.releases())


def test_what_is_known_stays(make_pitch: MakePitch, ball: BallDraws) -> None:
    found = draw(make_pitch(seam_force=0.05), ball)
    np.testing.assert_array_equal(found.levers, np.repeat(found.levers[:, :1], DRAWS + 1, axis=1))
    np.testing.assert_array_equal(found.seam, np.full(DRAWS + 1, 0.05))


def test_means_scatter_by_their_standard_errors(make_pitch: MakePitch, ball: BallDraws) -> None:
    errors = np.array([0.4 * MPH, 30 * RPM, 2 * DEGREE, 3 * DEGREE, 0.01, 0.02, 0.03, 0.1 * DEGREE, 0.2 * DEGREE])
    found = draw(make_pitch(), ball, MeanErrors(errors)).levers
    shift = (found[:, 1:] - found[:, :1]) / errors[:, None]
    np.testing.assert_allclose(shift.std(axis=1), np.ones(9), atol=SD)
    np.testing.assert_allclose(shift.mean(axis=1), np.zeros(9), atol=4 / np.sqrt(DRAWS))
    assert np.abs(np.corrcoef(shift)[~np.eye(9, dtype=bool)]).max() < 4.5 / np.sqrt(DRAWS)  # of 36 pairs


@pytest.mark.parametrize("drag_scale", [1.0, 0.8])
def test_the_drag_coefficient_scatters_from_ball_to_ball(
    make_pitch: MakePitch, ball: BallDraws, drag_scale: float
) -> None:
    """SD 0.02 of C_D, absolute, whatever its mean: published 0.33 to 0.45 over seam heights (Kensrud et al. 2015, as
    quoted by others).
    """
    scales = draw(make_pitch(drag_scale=drag_scale), ball).drag_scale[1:]
    assert (0.345 * scales).std() == pytest.approx(0.02, rel=SD)
    assert scales.mean() == pytest.approx(drag_scale, abs=4 * 0.02 / 0.345 / np.sqrt(DRAWS))


@pytest.mark.parametrize(
    ("spin_rpm", "gyro_deg", "sd"),
    [
        (2500.0, 0.0, 0.10),  # S = 0.24
        (1500.0, 0.0, 0.10 * 0.15 / 0.1427),  # S = R w/v = 0.03686 * 157.08 / 40.58
        (2500.0, 75.0, 0.10 * 0.15 / 0.06155),  # gyro spin makes no lift: S = 0.2378 cos 75
        (100.0, 0.0, 0.30),
        (0.0, 0.0, 0.30),
    ],
)
def test_the_lift_is_the_less_known_the_less_spin_there_is(
    make_pitch: MakePitch, ball: BallDraws, spin_rpm: float, gyro_deg: float, sd: float
) -> None:
    """10 % where lift is well measured, S from 0.15 on, growing as 1/S below it, at most 30 % (chosen)."""
    pitch = make_pitch(speed_mph=40.58 / MPH, spin_rpm=spin_rpm, gyro_deg=gyro_deg, lift_scale=1.2)
    logarithm = np.log(draw(pitch, ball).lift_scale[1:] / 1.2)
    assert logarithm.std() == pytest.approx(sd, rel=SD)
    assert logarithm.mean() == pytest.approx(0.0, abs=4 * sd / np.sqrt(DRAWS))


def test_all_pitches_of_a_question_share_the_ball(make_pitch: MakePitch, ball: BallDraws) -> None:
    """A draggy ball is draggy for fastball and curve: a verdict must not see them drawn apart."""
    fastball = draw(make_pitch(), ball, seed=1)
    curve = draw(make_pitch(speed_mph=78.0, spin_rpm=2500.0), ball, seed=2)
    np.testing.assert_allclose(curve.drag_scale, fastball.drag_scale, rtol=1e-14)
    np.testing.assert_allclose(curve.lift_scale, fastball.lift_scale, rtol=1e-12)


def test_what_throws_pin_down_replaces_what_is_shared(make_pitch: MakePitch, ball: BallDraws) -> None:
    errors = MeanErrors(drag_coefficient=0.004, lift_scale=0.03)
    one, other = (draw(make_pitch(lift_scale=1.1), ball, errors, seed) for seed in (1, 2))
    assert (0.345 * one.drag_scale[1:]).std() == pytest.approx(0.004, rel=SD)
    assert one.lift_scale[1:].std() == pytest.approx(0.03, rel=SD)
    for name in ("drag_scale", "lift_scale"):
        a, b = getattr(one, name)[1:], getattr(other, name)[1:]
        assert abs(np.corrcoef(a, b)[0, 1]) < 4 / np.sqrt(DRAWS)


def test_draws_stay_possible(make_pitch: MakePitch, ball: BallDraws) -> None:
    """Coefficients stay positive and no seam pulls: absurd errors are cut, not refused."""
    found = draw(make_pitch(seam_force=0.01), ball, MeanErrors(np.zeros(9), 1.0, 3.0, 0.5))
    assert found.drag_scale.min() > 0.0
    assert found.lift_scale.min() > 0.0
    assert found.seam.min() == 0.0
    assert found.seam.max() > 1.0  # two standard errors and more


def test_the_same_generator_gives_the_same_draws(make_pitch: MakePitch, ball: BallDraws) -> None:
    errors = MeanErrors(np.full(9, 0.01))
    one, again, other = (draw(make_pitch(), ball, errors, seed).levers for seed in (1, 1, 2))
    np.testing.assert_array_equal(one, again)
    assert not np.array_equal(one, other)
    twice = draw_ball(5, np.random.default_rng(3)), draw_ball(5, np.random.default_rng(3))
    np.testing.assert_array_equal(twice[0].lift, twice[1].lift)
    assert abs(np.corrcoef(ball.lift, ball.drag)[0, 1]) < 4 / np.sqrt(DRAWS)
