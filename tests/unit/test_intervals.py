"""Intervals and chances from draws, against hand calculation and the exact law."""

from math import hypot

import numpy as np
import pytest
from starters import starter

from latebreak.engine.units import MPH, RPM
from latebreak.service.judging.ensemble import Ensemble, sample_ensemble
from latebreak.service.judging.estimates import ENOUGH, MEMBERS, Estimate, chance_of_lead, estimate, interval
from latebreak.service.judging.hitter import hitter_of
from latebreak.service.judging.setting import settle
from latebreak.service.scenario import from_mapping


def ensemble(*names: str, seed: int = 4, errors: bool = True) -> Ensemble:
    """Draws for these pitches of the starter; `curve`, `slow` and `other` are there besides the fastball."""
    mapping = starter()
    pitches = mapping["pitch"]
    pitches["slow"] = pitches["curve"] | {"speed_mph": 68.0}
    pitches["other"] = dict(pitches["curve"])
    if errors:
        for name in ("curve", "slow", "other"):
            pitches[name] |= {"mean_error": {"speed_mph": 0.4, "spin_rpm": 30.0}}
    setting = settle(from_mapping(mapping), seed, None)
    return sample_ensemble(setting, setting.bundles(list(names)), hitter_of(setting.scenario))


# --- intervals ------------------------------------------------------------------------------------------------------
def test_an_interval_is_the_spread_of_the_shifts() -> None:
    """101 draws from -5 to 5 in even steps: the 5 % and 95 % points are -4.5 and 4.5 about the value, not about the
    draws' own middle, which rests on fewer throws.
    """
    over_draws = np.concatenate([[7.0], 7.0 + np.linspace(-5.0, 5.0, 101)])
    assert interval(20.0, over_draws) == pytest.approx((15.5, 24.5), rel=1e-12)


def test_an_interval_need_not_be_even() -> None:
    over_draws = np.concatenate([[1.0], 1.0 + np.linspace(-1.0, 9.0, 101)])
    assert interval(20.0, over_draws) == pytest.approx((20.0 - 0.5, 20.0 + 8.5), rel=1e-12)


def test_an_interval_holds_the_value() -> None:
    """Draws that all lie above the scenario's own value leave the lower end at the value."""
    over_draws = np.concatenate([[1.0], np.linspace(2.0, 3.0, 50)])
    low, high = interval(20.0, over_draws)
    assert low == 20.0
    assert high > 21.0


def test_sampling_widens_in_quadrature() -> None:
    """1.645 standard errors are 90 % of a normal error, independent of the draws."""
    over_draws = np.concatenate([[0.0], np.linspace(-5.0, 5.0, 101)])
    low, high = interval(20.0, over_draws, sampling_error=2.0)
    assert 20.0 - low == pytest.approx(hypot(4.5, 1.645 * 2.0), rel=1e-3)
    assert high - 20.0 == pytest.approx(hypot(4.5, 1.645 * 2.0), rel=1e-3)
    assert interval(20.0, np.zeros(50), sampling_error=2.0) == pytest.approx((20.0 - 3.29, 20.0 + 3.29), rel=1e-3)


def test_no_interval_goes_below_what_there_can_be() -> None:
    over_draws = np.concatenate([[7.0], 7.0 + np.linspace(-5.0, 5.0, 101)])
    assert interval(1.0, over_draws)[0] == 0.0
    assert interval(1.0, over_draws, least=-2.0)[0] == -2.0
    assert interval(1.0, over_draws, least=-100.0)[0] == pytest.approx(-3.5)


def test_an_interval_covers_nine_tenths() -> None:
    """Normal draws with spread 3: about -4.93 to 4.93; 4 standard errors of a 5 % point from 20,000 draws are 0.18."""
    over_draws = np.concatenate([[0.0], np.random.default_rng(5).normal(0.0, 3.0, 20_000)])
    assert interval(10.0, over_draws) == pytest.approx((10.0 - 4.935, 10.0 + 4.935), abs=0.18)


# --- estimates ------------------------------------------------------------------------------------------------------
SHIFTS = np.concatenate([[0.0], np.linspace(-5.0, 5.0, MEMBERS)])
EVERY = np.ones(MEMBERS + 1, dtype=bool)


def test_an_estimate_stays_within_what_there_can_be() -> None:
    """A chance near 0 or 100 % has an interval that ends there; a quantity with a sign has none of these ends."""
    assert estimate(99.0, 0.1, SHIFTS + 50.0, EVERY, most=100.0).high == 100.0
    assert estimate(1.0, 0.1, SHIFTS + 50.0, EVERY, most=100.0).low == 0.0
    signed = estimate(-1.0, 0.0, SHIFTS, EVERY, least=-np.inf)
    assert signed.low is not None
    assert signed.low < -5.0
    assert signed.high is not None
    assert signed.high > 3.0


def test_no_interval_without_draws() -> None:
    assert estimate(3.0, 0.2, None, EVERY) == Estimate(3.0, 0.2)


@pytest.mark.parametrize(("count", "is_enough"), [(ENOUGH - 1, False), (ENOUGH, True)])
def test_too_few_usable_draws_give_no_interval(count: int, is_enough: bool) -> None:
    usable = np.arange(MEMBERS + 1) <= count  # the scenario's own values, and that many draws
    assert (estimate(3.0, 0.2, SHIFTS, usable).low is not None) == is_enough
    lost = np.where(usable, SHIFTS, np.nan)  # a draw without a value is no draw
    assert (estimate(3.0, 0.2, lost, EVERY).low is not None) == is_enough


def test_no_interval_where_the_scenarios_own_values_are_not_usable() -> None:
    assert estimate(3.0, 0.2, SHIFTS, np.arange(MEMBERS + 1) > 0) == Estimate(3.0, 0.2)


# --- chance of the lead ---------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("leader", "rival", "percent"),
    [
        ([2.0, 2.0, 2.0], [1.0, 1.0, 1.0], 100 * 3.5 / 4),
        ([1.0, 1.0, 1.0], [2.0, 2.0, 2.0], 100 * 0.5 / 4),
        ([1.0, 1.0, 1.0], [1.0, 1.0, 1.0], 50.0),  # ties count half
        ([1.0, 2.0, 3.0, 4.0], [2.0, 2.0, 2.0, 2.0], 100 * 3.0 / 5),
    ],
)
def test_chance_by_hand(leader: list[float], rival: list[float], percent: float) -> None:
    assert chance_of_lead(np.array(leader), np.array(rival)) == pytest.approx(percent, rel=1e-12)


def test_the_chances_of_two_sum_to_one() -> None:
    generator = np.random.default_rng(6)
    a, b = generator.normal(0.3, 1.0, 64).round(1), generator.normal(0.0, 1.0, 64).round(1)  # some are equal
    assert chance_of_lead(a, b) + chance_of_lead(b, a) == pytest.approx(100.0)


def test_no_number_of_draws_makes_sure() -> None:
    many = np.ones(MEMBERS)
    assert 99.0 < chance_of_lead(many, 0.0 * many) < 100.0
    assert 0.0 < chance_of_lead(0.0 * many, many) < 1.0


def test_draws_are_compared_pairwise() -> None:
    """What is common to both does not matter: a lead of 0.1 in every draw is sure, though each varies by 10."""
    rival = np.random.default_rng(7).normal(0.0, 10.0, MEMBERS)
    assert chance_of_lead(rival + 0.1, rival) > 99.0


# --- the draws of a question ----------------------------------------------------------------------------------------
def test_the_scenarios_own_values_come_first() -> None:
    found = ensemble("fastball", "curve")
    for name in found.pitches:
        assert found.on_target[name].shape == (MEMBERS + 1,)
        assert found.on_target[name].all()
    assert set(found.pitches) == {"fastball", "curve"}
    levers = found.pitches["curve"].levers
    assert levers.shape == (9, MEMBERS + 1)
    assert levers[0, 0] / MPH == pytest.approx(74.0)
    assert levers[1, 0] / RPM == pytest.approx(2320.0)
    assert found.parameters.line_efficiency.shape == (MEMBERS + 1,)


def test_the_draws_of_a_pitch_do_not_depend_on_its_company() -> None:
    """So a verdict does not depend on how many candidates a file lists, or in which order."""
    alone, together = ensemble("fastball", "curve"), ensemble("slow", "other", "curve", "fastball")
    for name in ("fastball", "curve"):
        np.testing.assert_array_equal(alone.pitches[name].levers, together.pitches[name].levers)
        np.testing.assert_array_equal(alone.pitches[name].drag_scale, together.pitches[name].drag_scale)
    np.testing.assert_array_equal(alone.parameters.direction_noise, together.parameters.direction_noise)


def test_two_pitches_with_equal_numbers_are_measured_apart() -> None:
    """Their means come from different throws, so their errors are independent; what they share is the ball."""
    found = ensemble("fastball", "curve", "other").pitches
    speeds = found["curve"].levers[0, 1:], found["other"].levers[0, 1:]
    assert abs(np.corrcoef(*speeds)[0, 1]) < 4 / np.sqrt(MEMBERS)
    np.testing.assert_array_equal(found["curve"].drag_scale, found["other"].drag_scale)


def test_another_seed_is_another_draw() -> None:
    one, again, other = (ensemble("fastball", "curve", seed=seed) for seed in (4, 4, 5))
    np.testing.assert_array_equal(one.pitches["curve"].levers, again.pitches["curve"].levers)
    assert not np.array_equal(one.pitches["curve"].levers[0], other.pitches["curve"].levers[0])
    assert not np.array_equal(one.parameters.direction_noise, other.parameters.direction_noise)


def test_every_draw_is_aimed_again() -> None:
    """A ball that bends less is aimed lower: the target is what the pitcher means to hit."""
    found = ensemble("fastball", "curve", errors=False).pitches["curve"]
    np.testing.assert_array_equal(found.levers[:7], np.repeat(found.levers[:7, :1], MEMBERS + 1, axis=1))
    assert np.corrcoef(found.lift_scale[1:], found.levers[7, 1:])[0, 1] > 0.8  # a curve that drops more starts higher
