"""The whole mix: what a pitch does for the others, by which measure, at which count, before which hitter."""

from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.errors import InputError
from latebreak.service.judging.estimates import Estimate, Estimator, weighted
from latebreak.service.judging.whole_mix import MIX, OF_PITCH
from latebreak.service.questions import Answer, CompareResult, compare
from latebreak.service.questions.compare_words import over_hitters
from latebreak.service.questions.deciding import BeforeHitter
from latebreak.service.questions.verdict import MEASURE, Better
from latebreak.service.scenario import Scenario, from_mapping

THROWS = 1000
STEADY = {
    "launch_elevation_deg": 0.05, "launch_azimuth_deg": 0.05, "release_side_in": 0.1, "release_height_in": 0.1,
    "speed_mph": 0.1, "spin_rpm": 10.0, "break_clock_deg": 0.5, "gyro_deg": 0.5,
}  # fmt: skip


def scenario(pitches: dict[str, dict[str, Any]], **hitter: Any) -> Scenario:
    """The starter's pitcher with these pitches in place of his curve: changes of it, by name."""
    tables = starter()
    curve = tables["pitch"].pop("curve")
    tables["pitch"] |= {name: curve | changes for name, changes in pitches.items()}
    tables["hitter"] = tables.get("hitter", {}) | hitter
    tables["hitter"].pop("expects", None)
    return from_mapping(tables).scenario


TWO = {"slow": {"speed_mph": 68.0}, "hard": {"speed_mph": 78.0}}


@pytest.fixture(scope="module")
def two() -> Answer[CompareResult]:
    return compare(scenario(TWO), throws=THROWS)


def test_a_pitch_that_is_always_a_strike_and_one_that_never_is() -> None:
    middle = {"target_side_ft": 0.0, "target_height_ft": 2.5, "spread": STEADY}
    outside = {"target_side_ft": 3.0, "target_height_ft": 2.5, "spread": STEADY}
    found = compare(scenario({"strike": middle, "ball": outside}), throws=THROWS, intervals=False).result.pitches
    strike, ball = ({key: one.value for key, one in found[name].items()} for name in ("strike", "ball"))
    assert strike["zone_percent"] == 100.0
    assert strike["ball_percent"] == 0.0
    assert strike["called_strike_percent"] == pytest.approx(100.0 - strike["swing_percent"])
    assert ball["zone_percent"] == ball["called_strike_percent"] == 0.0
    assert ball["ball_percent"] == pytest.approx(100.0 - ball["swing_percent"])
    assert ball["chase_percent"] == pytest.approx(ball["swing_percent"])
    assert ball["swing_percent"] < 5.0  # three feet outside nobody swings (common practice, no source)
    assert strike[OF_PITCH] > ball[OF_PITCH] + 20.0


def test_the_mix_is_the_sum_of_its_pitches_by_share(two: Answer[CompareResult]) -> None:
    result = two.result
    for name, pitch in result.pitches.items():
        fastball = result.mixes[name]["fastball"][OF_PITCH].value
        assert pitch[MIX].value == pytest.approx(0.6 * fastball + 0.4 * pitch[OF_PITCH].value, rel=1e-12)
        low, high = pitch[MIX].low, pitch[MIX].high
        assert low is not None
        assert high is not None
        assert low < pitch[MIX].value < high


def test_the_fastball_is_judged_with_this_pitch_in_mind(two: Answer[CompareResult]) -> None:
    """As if the scenario held no other: a verdict does not depend on how many candidates a file lists."""
    for name, changes in TWO.items():
        alone = compare(scenario({name: changes}), throws=THROWS).result
        for key, one in two.result.mixes[name]["fastball"].items():
            assert one.value == pytest.approx(alone.mixes[name]["fastball"][key].value, rel=1e-12)
            assert one.value == pytest.approx(alone.others["fastball"][key].value, rel=1e-9)
            assert one.low == pytest.approx(alone.mixes[name]["fastball"][key].low, rel=1e-9)
        assert two.result.pitches[name][MIX].value == pytest.approx(alone.pitches[name][MIX].value, rel=1e-12)
    seen = {name: two.result.mixes[name]["fastball"]["miss_chance_percent"].value for name in TWO}
    assert seen["slow"] != pytest.approx(seen["hard"], rel=1e-3)


def test_the_mix_decides_unless_another_measure_is_named(two: Answer[CompareResult]) -> None:
    better = two.result.better
    assert better.measure == MEASURE == MIX
    assert better.difference is not None
    values = sorted(one[MIX].value for one in two.result.pitches.values())
    assert better.difference.value == pytest.approx(values[1] - values[0])
    missed = compare(scenario(TWO), by="clean_contact_percent", throws=THROWS).result
    assert missed.better.measure == "clean_contact_percent"
    values = sorted(one["clean_contact_percent"].value for one in missed.pitches.values())
    assert missed.better.difference is not None
    assert missed.better.difference.value == pytest.approx(values[0] - values[1])  # fewer is better
    assert "clean contact" in missed.why[0]


@pytest.mark.parametrize(
    ("asked", "where", "words"),
    [
        ({"by": "miss_chanc_percent"}, "by", "there is no measure"),
        ({"by": "swing_percent"}, "by", "neither more nor less"),
        ({"count": "4-0"}, "count", "is no count"),
        ({"count": "2"}, "count", "is no count"),
    ],
)
def test_what_cant_be_asked_is_said(asked: dict[str, Any], where: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        compare(scenario(TWO), throws=10, pitches=["nobody"], **asked)
    assert [fault.where for fault in caught.value.faults] == ["pitches", where]  # all faults at once
    assert words in str(caught.value)


# --- counts and hitters ---------------------------------------------------------------------------------------------
def test_the_table_of_counts_is_the_count_asked_for() -> None:
    told = compare(scenario(TWO), counts=True, throws=THROWS, intervals=False).result.counts
    assert list(told)[:4] == ["0-0", "0-1", "0-2", "1-0"]
    assert len(told) == 12
    for source, asked in ((scenario(TWO), {"count": "0-2"}), (scenario(TWO, balls=0, strikes=2), {})):
        at = compare(source, throws=THROWS, intervals=False, **asked).result  # type: ignore[arg-type]
        assert {name: one[MIX].value for name, one in at.pitches.items()} == pytest.approx(
            {name: one.value for name, one in told["0-2"].items()}, rel=1e-12
        )


def test_with_two_strikes_hitters_chase_more() -> None:
    """Common practice, no source."""
    none, two = (
        compare(scenario(TWO), count=count, throws=THROWS, intervals=False).result.pitches["hard"]["chase_percent"]
        for count in ("1-0", "1-2")
    )
    assert two.value > none.value + 3.0 * np.hypot(two.sampling_error, none.sampling_error)


def test_each_hitter_is_the_scenario_with_that_hitter() -> None:
    told = compare(scenario(TWO), hitters=True, throws=THROWS).result.hitters
    assert [(one.bats, one.familiarity) for one in told] == [
        (bats, known) for bats in ("right", "left") for known in (0.0, 0.5, 1.0)
    ]
    left = next(one for one in told if one.bats == "left" and one.familiarity == 1.0)
    own = compare(scenario(TWO, bats="left", familiarity=1.0), throws=THROWS).result
    assert left.better == own.better
    assert left.pitches == {name: one[MIX] for name, one in own.pitches.items()}


def before(bats: Any, pitch: str | None) -> BeforeHitter:
    values = {name: Estimate(30.0, 0.1, 25.0, 35.0) for name in TWO}
    return BeforeHitter(bats, 0.5, values, Better(pitch, MIX, Estimate(2.0, 0.1, 1.0, 3.0), 90.0))


def test_a_verdict_that_turns_over_says_so_first() -> None:
    def said(right: str | None, left: str | None) -> str:
        (sentence,) = over_hitters(scenario(TWO), [before("right", right), before("left", left)])
        return str(sentence)

    turned = said("slow", "hard")
    assert turned.startswith("The verdict turns over with the hitter: slow is ahead against every right-handed hitter")
    assert "but hard is ahead against every left-handed hitter" in turned
    assert said("slow", "slow") == "slow is ahead against every one of these hitters."
    assert "against the others there is no difference" in said("slow", None)
    assert said(None, None).startswith("Against none of these hitters")


# --- adding up ------------------------------------------------------------------------------------------------------
def test_weighted_measures_add_up_block_by_block_and_member_by_member() -> None:
    def one(value: float, usable: list[bool]) -> Estimator:
        blocks = np.array([[value - 1.0], [value + 1.0]])
        members = value + np.arange(3.0)[None]
        return Estimator(
            np.array([value]), blocks, np.ones(2), members, np.array([usable]), np.array([int(value)], np.int64)
        )

    both = weighted([(0.75, one(10.0, [True, True, False])), (0.25, one(30.0, [True, False, True]))])
    assert both.value == pytest.approx([15.0])
    assert both.blocks[:, 0] == pytest.approx([14.0, 16.0])
    assert both.members is not None
    assert both.members[0] == pytest.approx([15.0, 16.0, 17.0])
    assert both.usable.tolist() == [[True, False, False]]
    assert both.throws.tolist() == [10]
