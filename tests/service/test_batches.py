"""What is done together for speed must not show in the answer: blocks, draws, memories and noise."""

import numpy as np
import pytest
from starters import starter

from latebreak.service.judging import batch, measures, setting
from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.setting import settle
from latebreak.service.judging.versions import measure_versions
from latebreak.service.questions import compare
from latebreak.service.questions.answer import Json
from latebreak.service.scenario import Loaded, from_mapping


def two_curves(throws: int) -> Loaded:
    """The starter with a second, slower curve."""
    mapping = starter()
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
    batch.noise_of_block.cache_clear()
    assert estimates(400, intervals=False) == first


def test_every_pitch_of_a_batch_is_thrown_once() -> None:
    """With the same draws and the same noise, so that two pitches differ by what they are, and not by the eye's day."""
    lineup = line_up(settle(two_curves(100), None, None), "compare", None, False)
    curve, slow, fastball = (lineup.judge(name) for name in ("curve", "slow", "fastball"))
    blocks = [batch.draw(lineup.setting.draws, [block]) for block in (0, 0, 1)]
    np.testing.assert_array_equal(blocks[0].noise, blocks[1].noise)
    assert not np.array_equal(blocks[0].noise, blocks[2].noise)
    of_curve, of_slow, of_fastball = (one._thrown(blocks[0]) for one in (curve, slow, fastball))
    assert slow._thrown(blocks[0]) is of_slow
    assert slow._thrown(blocks[0]) is not of_curve
    assert of_fastball is blocks[0].flown(slow.bundles["fastball"], slow.means["fastball"])
    np.testing.assert_array_equal(curve._thrown(blocks[0]).paths.nodes, of_curve.paths.nodes)


def test_versions_side_by_side_are_those_alone() -> None:
    """Columns do not touch each other: three versions of a pitch, of which the middle one is the pitch itself."""
    lineup = line_up(settle(two_curves(100), None, None), "compare", None, False)
    entry = lineup.setting.scenario.pitch["curve"]
    versions = [entry.model_copy(update={"speed_mph": speed}) for speed in (70.0, entry.speed_mph, 80.0)]
    together, _ = measure_versions(lineup, "curve", versions, lineup.setting.draws)
    alone = measures.measure_pitch(lineup.judge("curve"), lineup.setting.draws)
    for key, one in alone.items():
        # the force laws of the versions are fitted together: within 0.002 in at the plate of those of the pitch alone
        assert together[key].value[1] == pytest.approx(one.value[0], rel=1e-3, abs=1e-3), key
    times = together["recognition_after_release_ms"].value
    assert len(set(times)) == 3


def test_one_thread_of_blas_and_back() -> None:
    """Of numpy's, which is loaded before any question; what is loaded later is no business of ours."""

    def threads() -> list[int]:
        return [pool["num_threads"] for pool in setting._thread_pools().info() if pool["user_api"] == "blas"]

    before = threads()
    assert before
    with setting.one_blas_thread():
        assert set(threads()) == {1}
    assert threads() == before
