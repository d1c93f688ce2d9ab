"""Hitters by level, and the draws of what nobody knows well about them."""

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, DEGREE, MILLISECOND
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, TRAITS, Hitter, Traits, parameter_table, preset, uncertain_traits

Array = NDArray[np.float64]

EYE = Eye(side=0.7, height=1.4, depth=0.1, bats="left")
BETTER_AND_BETTER = ("youth", "high_school", "college", "professional")
DRAWS = 4000
#: Four standard errors of a 5 % or 95 % point of the normal distribution from 4,000 draws, in standard deviations:
#: sqrt(0.05 * 0.95 / 4000) / 0.103 = 0.033 each.
QUANTILE = 4 * 0.033
STATUSES = {"read", "secondary", "memory", "computed", "fitted", "chosen"}


@pytest.fixture(scope="module")
def professional() -> Hitter:
    return preset("professional", Eye(), 0.150)


def drawn(hitter: Hitter, seed: int = 1) -> Traits:
    return uncertain_traits(hitter, DRAWS, np.random.default_rng(seed))


def relative(hitter: Hitter, name: str) -> Array:
    """Draws of a trait as factors on the hitter's own."""
    values: Array = getattr(drawn(hitter), name)
    factors: Array = values[1:] / values[0]
    return factors


def with_draw(kind: str) -> list[str]:
    return [name for name in TRAITS if parameter_table()[name]["draw"] == kind]


def test_the_levels_are_those_of_a_scenario() -> None:
    assert set(LEVELS) == set(BETTER_AND_BETTER)


@pytest.mark.parametrize("name", TRAITS)
def test_every_parameter_says_what_it_is_and_where_it_comes_from(name: str) -> None:
    entry = parameter_table()[name]
    assert {"symbol", "unit", "meaning", "draw", "range", "status", "source", *LEVELS} <= set(entry)
    assert entry["status"] in STATUSES
    low, high = entry["range"]
    assert 0.0 < low <= entry["professional"] <= high


def test_there_is_no_parameter_that_nobody_uses() -> None:
    assert set(parameter_table()) == set(TRAITS)


def test_values_of_the_literature_in_si_units() -> None:
    """Last useful news 200 ms (timing) and 110 ms (place) before arrival: Brenner and Smeets (1997), abstract (read).

    Timing SD 7 ms: Brenner, Driesen and Smeets (2014), abstract (read). Gaze follows 90 deg/s: Watts and Bahill (1990),
    secondary. E2 0.8 deg: Levi, Klein and Aitsebaomo (1985), memory. n_pos 0.2 arcmin sqrt(s): chosen.
    """
    traits = preset("professional", EYE, 0.15).traits
    found = np.array(
        [
            traits.timing_cutoff / MILLISECOND,
            traits.height_cutoff / MILLISECOND,
            traits.motor_time / MILLISECOND,
            traits.pursuit_limit / DEGREE,
            traits.eccentricity_scale / DEGREE,
            traits.position_noise / ARCMIN,
        ]
    )
    np.testing.assert_allclose(found[:, 0], [200.0, 110.0, 7.0, 90.0, 0.8, 0.2], rtol=1e-12)


@pytest.mark.parametrize("name", [name for name in TRAITS if name != "evidence_efficiency"])
def test_no_error_or_noise_shrinks_towards_the_young(name: str) -> None:
    """Chosen that way: no level below college was measured."""
    values = [getattr(preset(level, EYE, 0.15).traits, name)[0] for level in BETTER_AND_BETTER]
    assert (np.diff(values) <= 0.0).all()


def test_the_used_share_of_the_evidence_grows_level_by_level() -> None:
    values = [preset(level, EYE, 0.15).traits.evidence_efficiency[0] for level in BETTER_AND_BETTER]
    assert (np.diff(values) > 0.0).all()
    assert values[-1] < 1.0


def test_size_and_direction_are_misremembered_alike() -> None:
    """One parameter, tau0: the published experiments cannot tell two apart."""
    for level in LEVELS:
        traits = preset(level, EYE, 0.15).traits
        assert traits.movement_error[0] == traits.direction_error[0]


def test_a_preset_keeps_what_it_is_given() -> None:
    hitter = preset("youth", EYE, 0.18, 0.7, lapse=0.3)
    assert hitter.eye == EYE
    assert (hitter.level, hitter.commit_before_arrival, hitter.familiarity) == ("youth", 0.18, 0.7)
    assert hitter.traits.lapse[0] == 0.3
    assert hitter.traits.motor_time[0] == preset("youth", EYE, 0.18).traits.motor_time[0]


def test_a_preset_is_one_column(professional: Hitter) -> None:
    assert all(getattr(professional.traits, name).shape == (1,) for name in TRAITS)


def test_traits_are_set_in_every_column(professional: Hitter) -> None:
    three = uncertain_traits(professional, 2, np.random.default_rng(0))
    changed = three.with_(lapse=0.25)
    np.testing.assert_array_equal(changed.lapse, np.full(3, 0.25))
    np.testing.assert_array_equal(changed.motor_time, three.motor_time)


def test_the_first_set_is_the_hitters_own(professional: Hitter) -> None:
    found = drawn(professional)
    for name in TRAITS:
        array = getattr(found, name)
        assert array.shape == (DRAWS + 1,)
        assert array[0] == getattr(professional.traits, name)[0]


@pytest.mark.parametrize("name", with_draw("lognormal"))
def test_lognormal_draws_have_the_range_as_their_90_percent_interval(professional: Hitter, name: str) -> None:
    low, high = parameter_table()[name]["range"]
    found = np.quantile(np.log(relative(professional, name)), [0.05, 0.5, 0.95])
    sd = np.log(high / low) / 3.29
    np.testing.assert_allclose(found, [-1.645 * sd, 0.0, 1.645 * sd], atol=QUANTILE * sd)


@pytest.mark.parametrize("name", with_draw("normal"))
def test_normal_draws_have_the_range_as_their_90_percent_interval(professional: Hitter, name: str) -> None:
    low, high = parameter_table()[name]["range"]
    value = parameter_table()[name]["professional"]
    found = np.quantile(relative(professional, name), [0.05, 0.5, 0.95])
    sd = (high - low) / value / 3.29
    np.testing.assert_allclose(found, 1.0 + sd * np.array([-1.645, 0.0, 1.645]), atol=QUANTILE * sd)


@pytest.mark.parametrize(("kind", "scale"), [("uniform", np.asarray), ("loguniform", np.log)])
def test_uniform_draws_fill_their_range_evenly(professional: Hitter, kind: str, scale: np.ufunc) -> None:
    """A tenth in every tenth: 4 standard errors, 0.019, and 0.010 of the logistic stand-in for the normal's share.

    The stand-in is off by 0.0095 at most (Bowling and others 2009, A logistic approximation to the cumulative normal
    distribution; value from memory, checked here).
    """
    names = with_draw(kind)
    assert names
    for name in names:
        low, high = parameter_table()[name]["range"]
        values = relative(professional, name) * parameter_table()[name]["professional"]
        assert low <= values.min()
        assert values.max() <= high
        edges = np.linspace(scale(low), scale(high), 11)
        shares = np.cumsum(np.histogram(scale(values), edges)[0])[:-1] / DRAWS
        # standard error of a share is at most that of a half, 0.008
        np.testing.assert_allclose(shares, np.arange(1, 10) / 10.0, atol=0.0095 + 4 * 0.008)


@pytest.mark.parametrize("name", with_draw("fixed"))
def test_what_was_measured_well_is_not_drawn(professional: Hitter, name: str) -> None:
    assert (relative(professional, name) == 1.0).all()


def test_size_and_direction_are_drawn_together(professional: Hitter) -> None:
    found = drawn(professional)
    np.testing.assert_array_equal(found.movement_error, found.direction_error)
    assert np.unique(found.movement_error).size > DRAWS / 2


def test_a_value_of_the_scenario_stays_the_middle() -> None:
    """The range keeps its ratio to the value."""
    own = preset("professional", Eye(), 0.15, motor_height=0.030)
    usual = preset("professional", Eye(), 0.15)
    np.testing.assert_allclose(relative(own, "motor_height"), relative(usual, "motor_height"), rtol=1e-12)


def test_draws_stay_possible() -> None:
    """No hitter uses more than all of the evidence or lapses more often than always; nothing is 0 or below."""
    found = drawn(preset("professional", Eye(), 0.15, evidence_efficiency=0.7, lapse=0.6))
    assert found.evidence_efficiency.max() == 1.0
    assert found.lapse.max() == 1.0
    assert all(getattr(found, name).min() > 0.0 for name in TRAITS)


def test_the_parameters_are_drawn_apart(professional: Hitter) -> None:
    """No two go together but size and direction: 4 standard errors of a correlation of 0, made 4.5 for 120 pairs."""
    names = [n for n in TRAITS if n != "direction_error" and parameter_table()[n]["draw"] != "fixed"]
    columns = np.log(np.stack([relative(professional, name) for name in names]))
    off = np.corrcoef(columns)[~np.eye(len(columns), dtype=bool)]
    assert np.abs(off).max() < 4.5 / np.sqrt(DRAWS)


def test_the_same_generator_gives_the_same_draws(professional: Hitter) -> None:
    first, again, other = (drawn(professional, seed) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first.position_noise, again.position_noise)
    assert not np.array_equal(first.position_noise, other.position_noise)
