"""Teaching: known hitters are found again, few swings move little, one hitter is shrunk toward the others."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from simulated_swings import first_days, known_hitter, pitches, simulated

from latebreak.perception.parameters import Parameters, fitted, keys, parameter_table
from latebreak.perception.swings.record import Record
from latebreak.perception.swings.teaching import BETWEEN, FEWEST_SWINGS, Known, Taught, enough, known_of, teach

PITCHES = 1600
#: The other hitter: later, keener to swing, less steady with the bat.
OTHER = {"latency": 1.08, "motor_height": 1.15}
KEENER = 0.15


@pytest.fixture(scope="module")
def known() -> Known:
    hitter = known_hitter()
    return known_of(hitter.parameters, frozenset(), fitted())


@pytest.fixture(scope="module")
def truth(known: Known) -> Parameters:
    values = {name: factor * getattr(known.middle, name) for name, factor in OTHER.items()}
    biases = ("bias_no_strikes", "bias_one_strike", "bias_two_strikes")
    return replace(known.middle, **values, **{name: getattr(known.middle, name) + KEENER for name in biases})


@pytest.fixture(scope="module")
def whole(truth: Parameters, tmp_path_factory: pytest.TempPathFactory) -> Record:
    return simulated(pitches(PITCHES, 1), truth, 2, tmp_path_factory.mktemp("swings") / "swings.csv")


@pytest.fixture(scope="module")
def taught(whole: Record, known: Known) -> Taught:
    return teach(whole, known, known_hitter().model)


def off(taught: Taught, truth: Parameters) -> np.ndarray:
    """By how much the taught x is off the true one."""
    shapes = {name: getattr(truth, name) / getattr(taught.before.middle, name) for name in OTHER}
    true = np.zeros(len(taught.known.names))
    for name, ratio in shapes.items():
        true[taught.known.names.index(name)] = np.log(ratio[0])  # both have the shape "log"
    for name in ("bias_no_strikes", "bias_one_strike", "bias_two_strikes"):
        true[taught.known.names.index(name)] = KEENER
    return np.asarray(taught.shift - true)


def test_a_known_hitter_is_found_again(taught: Taught, truth: Parameters) -> None:
    """Each parameter within 3 SDs; together within the 99.9 % point of chi^2 with 24 degrees of freedom, 51.2."""
    error = off(taught, truth)
    assert np.all(np.abs(error) < 3.0 * taught.known.sd)
    assert np.sum(np.linalg.solve(taught.known.factor, error) ** 2) < 51.2


def test_the_swings_take_doubt_away(taught: Taught) -> None:
    """Misses of some 300 swings tell the bat's noise; nothing is less sure than before."""
    left = taught.known.sd / taught.before.sd
    assert left[taught.known.names.index("motor_height")] < 0.8
    assert np.all(left < 1.05)  # the bootstrap over days scatters


def test_more_swings_are_surer(whole: Record, taught: Taught, known: Known) -> None:
    """The determinant of the covariance falls with each record that holds the one before."""
    fewer = teach(first_days(whole, 500), known, known_hitter().model)
    sizes = [np.linalg.slogdet(one.factor)[1] for one in (known, fewer.known, taught.known)]
    assert sizes[0] > sizes[1] > sizes[2]


def test_few_swings_leave_what_was_known(whole: Record, known: Known) -> None:
    few = first_days(whole, FEWEST_SWINGS)  # not all of them are swung at
    assert not enough(few)
    left = teach(few, known, known_hitter().model)
    assert left.known is known
    assert not left.shift.any()


def test_what_is_given_is_not_taught(whole: Record) -> None:
    hitter = known_hitter()
    given = known_of(hitter.parameters, frozenset({"latency"}), fitted())
    assert "latency" not in given.names
    found = teach(first_days(whole, 500), given, hitter.model)
    assert found.known.middle.latency == hitter.parameters.latency


def test_what_was_known_is_the_fit_and_how_hitters_differ(known: Known) -> None:
    own, table = fitted(), parameter_table()["parameter"]
    sd = np.array([table[keys()[name]]["sd"] for name in own.names])
    assert known.names == own.names
    expected = own.factor @ own.factor.T + np.diag((BETWEEN * sd) ** 2)
    np.testing.assert_allclose(known.factor @ known.factor.T, expected, atol=1e-12)


def test_one_hitter_is_known_less_than_all(known: Known) -> None:
    one = known.one_of_them()
    assert np.all(one.sd > known.sd)
    assert one.middle is known.middle
