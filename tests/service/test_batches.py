"""What is done together for speed must not show in the answer: blocks, draws, memories and noise."""

import tomllib

import numpy as np
import pytest

from latebreak.engine.units import MILLISECOND
from latebreak.service.judging import judged_pitch, measures, setting
from latebreak.service.judging.estimates import MEMBERS
from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.setting import settle
from latebreak.service.questions import compare
from latebreak.service.questions.answer import Json
from latebreak.service.scenario import Loaded, from_mapping
from latebreak.service.scenario.starter import starter_text


def two_curves(throws: int) -> Loaded:
    """The starter with a second, slower curve."""
    mapping = tomllib.loads(starter_text("base"))
    mapping["pitch"]["slow"] = mapping["pitch"]["curve"] | {"speed_mph": 68.0}
    mapping["throws"] = throws
    return from_mapping(mapping)


def estimates(throws: int, *, intervals: bool) -> Json:
    found: Json = compare(two_curves(throws), intervals=intervals).to_dict()["result"]["pitches"]
    return found


@pytest.mark.parametrize("throws", [7, 1000, 9001])
def test_how_many_blocks_are_flown_at_a_time(throws: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """One, a few or all: the same digits, since every block is summed alone."""
    found = estimates(throws, intervals=False)
    for together in (1, 3000, 10**6):
        monkeypatch.setattr(measures, "_TOGETHER", together)
        assert estimates(throws, intervals=False) == found


def test_how_many_throws_of_each_draw_are_flown_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Here sums are taken in other orders: to 1e-9 of every number."""
    found = estimates(200, intervals=True)
    monkeypatch.setattr(measures, "_TOGETHER", 700)
    for name, numbers in estimates(200, intervals=True).items():
        for key, number in numbers.items():
            assert number == pytest.approx(found[name][key], rel=1e-9, abs=1e-9), (name, key)


def test_noise_that_is_kept_is_the_noise_that_is_drawn() -> None:
    """A second question finds the draws of the first one, a question of another seed in between does not disturb it."""
    first = estimates(400, intervals=False)
    compare(two_curves(400), seed=99, intervals=False)
    assert estimates(400, intervals=False) == first
    for kept in (judged_pitch._noise_of_view, judged_pitch._noise_of_block):
        kept.cache_clear()
    assert estimates(400, intervals=False) == first


def test_a_longer_view_only_adds_noise() -> None:
    short, long = (judged_pitch._noise_of_looks(5, 20, looks) for looks in (3, 30))
    assert short.shape == (9, 2, 20)
    np.testing.assert_array_equal(long[:9], short)


def test_what_is_remembered_of_the_fastball_is_made_once_for_all_pitches() -> None:
    lineup = line_up(settle(two_curves(100), None, None), "compare", None, True)
    assert lineup.ensemble is not None
    curve = lineup.judge("curve")
    first = {**lineup.memory}, {**lineup.ensemble.memory}
    slow = lineup.judge("slow")
    assert [list(memory) for memory in first] == [[("fastball", 1)], [("fastball", MEMBERS + 1)]]
    assert (lineup.memory, lineup.ensemble.memory) == first
    # and the judged pitch is remembered as itself: 68 mph take some 45 ms longer than the 74 of the starter
    early, late = (pitch.readiness.encounter.expected[0, -1, 0] for pitch in (curve, slow))
    assert late - early > 10.0 * MILLISECOND


def test_one_thread_of_blas_and_back() -> None:
    """Of numpy's, which is loaded before any question; what is loaded later is no business of ours."""

    def threads() -> list[int]:
        return [pool["num_threads"] for pool in setting._thread_pools().info() if pool["user_api"] == "blas"]

    before = threads()
    assert before
    with setting.one_blas_thread():
        assert set(threads()) == {1}
    assert threads() == before
