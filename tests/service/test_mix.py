"""How often to throw each pitch: what is thrown is what is expected."""

from typing import Any

import numpy as np
import pytest
from serving import Served
from starters import starter
from wired import sent

from latebreak.engine.bundle.draws import Draws
from latebreak.engine.errors import InputError
from latebreak.service import questions as ask
from latebreak.service.client import Client
from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.setting import settle
from latebreak.service.judging.whole_mix import MIX, OF_PITCH
from latebreak.service.questions.mix_search import STEPS, Known, climbed, every
from latebreak.service.scenario import Scenario, from_mapping, load
from latebreak.service.wire.answers import answer_of, fill_answer
from latebreak.v1 import what_if_pb2

THROWS = 600


def scenario(fastball: float = 0.6, **more: dict[str, Any]) -> Scenario:
    """The starter's pitcher, and more pitches as changes of his curve; shares even among what is no fastball."""
    tables = starter()
    curve = tables["pitch"]["curve"]
    tables["pitch"] |= {name: curve | changes for name, changes in more.items()}
    others = [name for name in tables["pitch"] if name != "fastball"]
    expects = {"fastball": fastball} | {name: (1.0 - fastball) / len(others) for name in others}
    tables["hitter"] = tables.get("hitter", {}) | {"expects": expects}
    return from_mapping(tables).scenario


def test_the_best_share_is_that_of_brute_force_with_compare() -> None:
    """Each share asked of `compare` as what hitters expect: the largest whole mix is the answer."""
    shares = [step / STEPS for step in range(1, STEPS)]
    worth = [
        ask.compare(scenario(share), throws=THROWS, intervals=False).result.pitches["curve"][MIX].value
        for share in shares
    ]
    result = ask.mix(scenario(), throws=THROWS, intervals=False).result
    assert result.best.shares_percent["fastball"] == pytest.approx(100.0 * shares[int(np.argmax(worth))])
    assert result.best.estimate.value == pytest.approx(max(worth), rel=1e-9)
    assert result.today.estimate.value == pytest.approx(worth[shares.index(0.6)], rel=1e-9)
    curve = dict(zip(result.curves["fastball"].share_percent, result.curves["fastball"].value, strict=True))
    for share, value in zip(shares, worth, strict=True):
        assert curve[round(100.0 * share, 9)] == pytest.approx(value, rel=1e-9)


def test_climbing_finds_what_brute_force_finds() -> None:
    setting = settle(scenario(hard={"speed_mph": 80.0, "spin_rpm": 2700.0}), None, 256)
    known = Known(line_up(setting, "mix", None, False), ["fastball", "curve", "hard"], Draws(1, 256))
    best, top = every(known), climbed(known, (0.6, 0.2, 0.2))
    assert known.worth([top]) == pytest.approx(known.worth([best]), rel=1e-12)
    assert sum(best) == pytest.approx(1.0)
    # no move of one step from one pitch to another is better: that is what "can't be exploited by a step" means
    for giver in range(3):
        for taker in range(3):
            if giver != taker and best[giver] > 1.5 / STEPS:
                moved = list(best)
                moved[giver], moved[taker] = moved[giver] - 1 / STEPS, moved[taker] + 1 / STEPS
                moved_shares = tuple(round(share, 12) for share in moved)
                assert known.worth([moved_shares])[0] <= known.worth([best])[0] + 1e-9


def test_a_mix_is_the_sum_of_its_pitches() -> None:
    result = ask.mix("two-grips", throws=THROWS).result
    for one in (result.today, result.best):
        assert sum(one.shares_percent.values()) == pytest.approx(100.0)
        whole = sum(share / 100.0 * one.pitches[name].value for name, share in one.shares_percent.items())
        assert one.estimate.value == pytest.approx(whole, rel=1e-12)
    assert result.today.shares_percent == {"fastball": 60.0, "curve_spike": 20.0, "curve_standard": 20.0}
    assert result.gain.value == pytest.approx(result.best.estimate.value - result.today.estimate.value)
    assert result.gain.value >= 0.0
    low, high = result.gain.low, result.gain.high
    assert low is not None
    assert high is not None
    # differences are surer than either: common throws and members
    assert high - low < (result.best.estimate.high or 0.0) - (result.best.estimate.low or 0.0)


def test_a_pitch_that_is_never_a_strike_is_not_thrown() -> None:
    """Known answer: three feet outside nobody swings, so every one of them is a ball; but it may still be expected."""
    result = ask.mix(scenario(waste={"target_side_ft": 3.5}), throws=THROWS, intervals=False).result
    assert result.best.shares_percent["waste"] == 0.0
    assert result.best.pitches["waste"].value < 2.0


def test_hitters_who_expect_a_pitch_make_it_worth_less() -> None:
    """The more it is expected, the fewer strikes without contact per pitch (common practice, no source)."""
    setting = settle(scenario(), None, 1024)
    known = Known(line_up(setting, "mix", None, False), ["fastball", "curve"], Draws(1, 1024))
    found = known.ask([(0.9, 0.1), (0.6, 0.4), (0.1, 0.9)])
    assert np.all(np.diff(found[:, 1]) < 0.0)  # the curve, expected more and more
    assert np.all(np.diff(found[:, 0]) > 0.0)  # the fastball, expected less and less


def test_too_many_pitches_are_refused() -> None:
    many: dict[str, Any] = {f"curve_{number}": {"speed_mph": 70.0 + number} for number in range(8)}
    with pytest.raises(InputError, match="a mix of 10 pitches can't be searched"):
        ask.mix(scenario(**many), throws=10)
    far = scenario(**many, slow={"speed_mph": 20.0})  # 27 ft on the level at most: v^2/g
    with pytest.raises(InputError) as found:
        ask.mix(far, throws=10)
    assert [fault.where for fault in found.value.faults] == ["pitch.slow.target_height_ft", "pitch"]


@pytest.mark.parametrize("intervals", [True, False])
def test_aim_and_mix_come_back_from_the_wire_equal_to_the_digit(server: Served, intervals: bool) -> None:
    how: dict[str, Any] = {"throws": 60, "intervals": intervals}
    aimed, mixed = ask.aim("two-grips", pitch="curve_spike", **how), ask.mix("two-grips", **how)
    for answer, message in ((aimed, what_if_pb2.AimResponse()), (mixed, what_if_pb2.MixResponse())):
        fill_answer(message, answer)
        back = answer_of(sent(message))
        assert back == answer
        assert back.to_dict() == answer.to_dict()
    with Client(server.address) as client:
        assert client.aim("two-grips", pitch="curve_spike", **how) == aimed
        assert client.mix("two-grips", **how) == mixed
        compared = {"by": OF_PITCH, "count": "1-2", "counts": True, "hitters": True, **how}
        assert client.compare("two-grips", **compared) == ask.compare("two-grips", **compared)


def test_shares_follow_from_the_file_whatever_its_order() -> None:
    one = ask.mix(load("staff").scenario, throws=100, intervals=False).result
    assert list(one.best.shares_percent) == ["four_seam", "sinker", "changeup", "curve"]
    assert all(round(share / 5.0) == pytest.approx(share / 5.0) for share in one.best.shares_percent.values())
