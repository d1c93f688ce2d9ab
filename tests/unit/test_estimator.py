"""Changes from one version of a pitch to another: exact where they must be, and their error against brute force."""

from dataclasses import replace

import numpy as np
import pytest
from starters import starter

from latebreak.engine.bundle.draws import Draws
from latebreak.service.judging.estimates import ENOUGH, MEMBERS, Estimator
from latebreak.service.judging.judged_pitch import EVENTS
from latebreak.service.judging.lineup import line_up_for
from latebreak.service.judging.measures import MEASURES
from latebreak.service.judging.setting import settle
from latebreak.service.judging.versions import measure_versions
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import from_mapping

THROWS = 800
SEEDS = 24


USABLE = np.ones((2, MEMBERS + 1), dtype=bool)


def estimator(value: list[float], blocks: list[list[float]]) -> Estimator:
    weights = np.full(len(blocks), 10.0)
    return Estimator(np.array(value), np.array(blocks), weights, None, USABLE, np.array([7, 8]))


# --- by hand --------------------------------------------------------------------------------------------------------
def test_the_error_of_a_change_is_that_of_the_difference_of_blocks() -> None:
    """Two blocks with differences 1 and 3 about 2: SD sqrt(2), over sqrt(2) blocks: 1. Each alone scatters by 10."""
    found = estimator([0.0, 2.0], [[-10.0, -9.0], [10.0, 13.0]])
    assert found.change(1).sampling_error == pytest.approx(1.0)
    assert found.error_of_change(1) == pytest.approx(1.0)
    assert found.change(1).value == 2.0
    assert found.change(0, since=1).value == -2.0
    assert found.estimate().sampling_error == pytest.approx(10.0)


def test_a_change_from_itself_is_nothing() -> None:
    found = estimator([3.0, 5.0], [[2.0, 4.0], [4.0, 6.5]])
    change = found.change(1, since=1)
    assert (change.value, change.sampling_error) == (0.0, 0.0)


def test_draws_that_move_both_alike_leave_the_change_sure() -> None:
    shifts = np.linspace(-5.0, 5.0, MEMBERS)
    both = np.concatenate([[0.0], shifts])
    found = replace(estimator([1.0, 3.0], [[1.0, 3.0], [1.0, 3.0]]), members=np.stack([both, both + 2.5]))
    change = found.change(1)
    assert (change.low, change.high) == (2.0, 2.0)
    alone = found.estimate(1)
    assert alone.low is not None
    assert alone.high is not None
    assert alone.high - alone.low > 5.0


def test_a_change_may_be_negative_where_the_measure_may_not() -> None:
    """Both are sizes, least 0; the change and its interval are not cut there."""
    draws = np.stack([np.zeros(MEMBERS + 1), np.concatenate([[0.0], np.linspace(-2.0, 2.0, MEMBERS)])])
    change = replace(estimator([5.0, 1.0], [[5.0, 1.0], [5.0, 1.0]]), members=draws).change(1)
    assert change.value == -4.0
    assert change.low is not None
    assert change.low < -5.0


def test_members_count_where_both_can_be_thrown() -> None:
    usable = np.ones((2, MEMBERS + 1), dtype=bool)
    usable[0, 1 : ENOUGH // 2] = False
    usable[1, -ENOUGH:] = False
    found = replace(estimator([0.0, 1.0], [[0.0, 1.0], [0.0, 1.0]]), members=np.zeros((2, MEMBERS + 1)), usable=usable)
    assert found.change(1).low is None  # fewer than enough are left
    assert found.estimate(0).low is not None
    assert found.chance_of_lead(1) is None


def test_the_chance_of_a_lead() -> None:
    members = np.stack(
        [np.zeros(MEMBERS + 1), np.concatenate([[0.5], np.where(np.arange(MEMBERS) < 3 * MEMBERS // 4, 1.0, -1.0)])]
    )
    found = replace(estimator([0.0, 0.5], [[0.0, 0.5], [0.0, 0.5]]), members=members)
    assert found.chance_of_lead(1) == pytest.approx(100.0 * (0.75 * MEMBERS + 0.5) / (MEMBERS + 1.0))
    assert found.chance_of_lead(0, since=1) == pytest.approx(100.0 * (0.25 * MEMBERS + 0.5) / (MEMBERS + 1.0))
    assert replace(found, members=None).chance_of_lead(1) is None


def test_versions_are_chosen_and_joined_in_order() -> None:
    one = estimator([1.0, 2.0], [[1.0, 2.0]] * 2)
    both = one.beside(one.versions(np.array([1])))
    assert both.value.tolist() == [1.0, 2.0, 2.0]
    assert both.throws.tolist() == [7, 8, 8]
    assert both.versions(np.array([2, 0])).value.tolist() == [2.0, 1.0]
    assert both.change(2, since=1).value == 0.0


# --- against brute force --------------------------------------------------------------------------------------------
def moved_by_a_step(seed: int, *, intervals: bool = False) -> dict[str, Estimator]:
    """The starter's curve, the same again, with a mph more, and with less spread."""
    setting = settle(from_mapping(starter()), seed, THROWS)
    lineup = line_up_for(setting, "levers", "curve", intervals)
    entry = setting.scenario.pitch["curve"]
    speed, spread = BY_KEY["speed_mph"], BY_KEY["spread_scale"]
    entries = [entry, entry, speed.moved(entry, "right", 75.0), spread.moved(entry, "right", 0.8)]
    return measure_versions(lineup, "curve", entries, Draws(seed, THROWS))[0]


def test_the_same_pitch_twice_does_not_change() -> None:
    """With intervals too: common throws, common draws."""
    for found in moved_by_a_step(1, intervals=True).values():
        change = found.change(1, since=0)
        assert (change.value, change.sampling_error) == (0.0, 0.0)
        assert (change.low, change.high) == (0.0, 0.0)


@pytest.fixture(scope="module")
def over_seeds() -> list[dict[str, Estimator]]:
    return [moved_by_a_step(seed) for seed in range(SEEDS)]


MEANS = [key for key in MEASURES if not key.startswith(EVENTS)]


@pytest.mark.parametrize("version", [2, 3], ids=["a mph", "less spread"])
def test_the_error_of_a_change_is_honest(over_seeds: list[dict[str, Estimator]], version: int) -> None:
    """Over 24 seeds the changes scatter as each says it does.

    The scatter of 24 is known to 15 % (one standard error), and the stated errors rest on 8 blocks each, so their mean
    square over 24 seeds to about 8 %; within a factor of 1.7 is three standard errors of the logarithm.
    """
    for key in MEANS:
        found = [response[key].change(version) for response in over_seeds]
        scatter = np.std([change.value for change in found], ddof=1)
        stated = np.sqrt(np.mean([change.sampling_error**2 for change in found]))
        assert 1 / 1.7 < scatter / stated < 1.7, key


def test_common_throws_make_a_change_surer_than_the_measures(over_seeds: list[dict[str, Estimator]]) -> None:
    """The change of the miss chance by a mph over 24 seeds, against the miss chance itself: less than a third."""
    values = np.array([response["miss_chance_percent"].value for response in over_seeds])
    assert np.std(values[:, 2] - values[:, 0]) < np.std(values[:, 0]) / 3.0
