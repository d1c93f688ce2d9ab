"""Hitters by level, and the draws of what nobody knows well about what they see."""

from dataclasses import replace

import numpy as np
import pytest

from latebreak.engine.units import ARCMIN, DEGREE
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, Hitter, Vision, preset, uncertain_vision, vision_of

EYE = Eye(side=0.7, height=1.4, depth=0.1, bats="left")
DRAWS = 4000
#: Four standard errors of a 5 % or 95 % point of the normal distribution from 4,000 draws, in standard deviations:
#: sqrt(0.05 * 0.95 / 4000) / 0.103 = 0.033 each.
QUANTILE = 4 * 0.033


@pytest.fixture(scope="module")
def professional() -> Hitter:
    return preset("professional", Eye(), 0.150)


def drawn(hitter: Hitter, seed: int = 1) -> Vision:
    return uncertain_vision(hitter, DRAWS, np.random.default_rng(seed))


def test_the_levels_are_those_of_a_scenario() -> None:
    assert set(LEVELS) == {"youth", "high_school", "college", "professional"}


def test_the_values_of_the_two_levels_that_the_model_was_made_for() -> None:
    """F 0.06 (0.045 college), n_pos 0.2 (0.25) arcmin sqrt(s), n_size 0.008 (0.010) sqrt(s): the model's own table.

    F is fitted to the odds ratio of contact when the type is known (Elmore and Matthews 2022, read); the noise is
    chosen.
    """
    for level, values in {"professional": (0.06, 0.2, 0.008), "college": (0.045, 0.25, 0.010)}.items():
        hitter = preset(level, EYE, 0.15)
        found = (hitter.evidence_efficiency, hitter.eye.position_noise / ARCMIN, hitter.eye.size_noise)
        assert found == pytest.approx(values, rel=1e-12)


def test_hitters_see_better_level_by_level() -> None:
    """Chosen that way: no level below college was measured."""
    hitters = [preset(level, EYE, 0.15) for level in ("youth", "high_school", "college", "professional")]
    assert (np.diff([hitter.evidence_efficiency for hitter in hitters]) > 0.0).all()
    assert (np.diff([hitter.eye.position_noise for hitter in hitters]) < 0.0).all()
    assert (np.diff([hitter.eye.size_noise for hitter in hitters]) < 0.0).all()


def test_a_preset_keeps_the_place_and_the_commit_point() -> None:
    hitter = preset("youth", EYE, 0.18)
    assert replace(hitter.eye, position_noise=EYE.position_noise, size_noise=EYE.size_noise) == EYE
    assert hitter.commit_before_arrival == 0.18


def test_the_hitters_own_vision_is_one_set(professional: Hitter) -> None:
    own = vision_of(professional)
    assert all(array.shape == (1,) for array in vars(own).values())
    assert own.evidence_efficiency[0] == professional.evidence_efficiency
    assert own.position_noise[0] == professional.eye.position_noise
    assert own.pursuit_limit[0] == professional.eye.pursuit_limit
    assert own.eccentricity_scale[0] == professional.eye.eccentricity_scale


def test_the_first_set_is_the_hitters_own(professional: Hitter) -> None:
    own, found = vision_of(professional), drawn(professional)
    for name, array in vars(found).items():
        assert array.shape == (DRAWS + 1,)
        assert array[0] == getattr(own, name)[0]
        assert np.unique(array[1:]).size > DRAWS / 2  # the others are drawn


def test_the_share_of_the_evidence_spans_its_fitted_interval(professional: Hitter) -> None:
    """0.018 to 0.16, a factor of 8.9, as 90 %, about the hitter's own value."""
    shares = np.log(drawn(professional).evidence_efficiency[1:] / professional.evidence_efficiency)
    low, middle, high = np.quantile(shares, [0.05, 0.5, 0.95])
    width = np.log(0.16 / 0.018)
    sd = width / 3.29
    assert high - low == pytest.approx(width, abs=QUANTILE * sd * 1.5)  # two ends, partly independent
    assert middle == pytest.approx(0.0, abs=QUANTILE * sd)


def test_the_noise_of_direction_spans_a_factor_of_ten(professional: Hitter) -> None:
    """0.06 to 0.6 arcmin sqrt(s) as 90 %: chosen, weak."""
    noise = np.log(drawn(professional).position_noise[1:])
    low, high = np.quantile(noise, [0.05, 0.95])
    assert high - low == pytest.approx(np.log(10.0), abs=QUANTILE * np.log(10.0) / 3.29 * 1.5)


def test_draws_stay_possible() -> None:
    """No hitter uses more than all of the evidence, none follows less than 30 deg/s, and the eccentricity scale lies
    between that of vernier acuity, 0.6 deg, and of motion, 16 deg: Makela (1994).
    """
    sharp = replace(preset("professional", Eye(), 0.15), evidence_efficiency=0.7)
    found = drawn(sharp)
    assert found.evidence_efficiency.max() == 1.0
    assert found.evidence_efficiency.min() > 0.0
    assert found.pursuit_limit.min() >= 30.0 * DEGREE
    assert found.eccentricity_scale[1:].min() >= 0.6 * DEGREE
    assert found.eccentricity_scale[1:].max() <= 16.0 * DEGREE


def test_the_eccentricity_scale_is_even_over_its_logarithm(professional: Hitter) -> None:
    """Half of the draws on either side of the geometric mean, sqrt(0.6 * 16) deg; 4 standard errors of a half."""
    share = (drawn(professional).eccentricity_scale[1:] < np.sqrt(0.6 * 16.0) * DEGREE).mean()
    assert share == pytest.approx(0.5, abs=4 * 0.5 / np.sqrt(DRAWS))


def test_the_parameters_are_drawn_apart(professional: Hitter) -> None:
    """No two go together: 4 standard errors of a correlation of 0."""
    columns = np.log(np.stack([array[1:] for array in vars(drawn(professional)).values()]))
    off = np.corrcoef(columns)[~np.eye(len(columns), dtype=bool)]
    assert np.abs(off).max() < 4.0 / np.sqrt(DRAWS)


def test_the_same_generator_gives_the_same_draws(professional: Hitter) -> None:
    first, again, other = (drawn(professional, seed) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first.position_noise, again.position_noise)
    assert not np.array_equal(first.position_noise, other.position_noise)
