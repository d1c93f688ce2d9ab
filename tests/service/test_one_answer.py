"""Two places never give two answers to one question: what is asked in two ways, of several scenarios."""

import re
from copy import deepcopy
from functools import cache
from itertools import cycle
from typing import Any

import pytest

from latebreak.service import questions as ask
from latebreak.service.judging.whole_mix import MIX, OF_PITCH
from latebreak.service.quantities import Reader
from latebreak.service.questions import CompareResult
from latebreak.service.questions.verdict import ranked
from latebreak.service.report.changes import pitch_changes
from latebreak.service.report.material import Material, Measured, gather
from latebreak.service.report.roads import work_on
from latebreak.service.report.words import verdict
from latebreak.service.scenario import from_mapping, load, parse

FEW: dict[str, Any] = {"throws": 200}
SCENARIOS = ("two-grips", "staff", "left-eleven-to-five", "youth-46ft")
#: Points. Versions share laws of force that are fitted on what all of them visit; a pitch alone has its own.
LAWS = 1e-4


@cache
def compared(name: str) -> CompareResult:
    return ask.compare(name, **FEW).result


@cache
def page(name: str) -> Material:
    return gather(name, **FEW)


def numbers(text: object) -> list[float]:
    return [float(one) for one in re.findall(r"\d+(?:\.\d+)?", str(text))]


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_a_pitch_is_now(name: str) -> None:
    """To the last bit: value, interval, sampling error. Each pitch by the next measure: over the scenarios, by all."""
    result = compared(name)
    measures = cycle((MIX, "miss_chance_percent", "late_break_in"))
    for (pitch, found), measure in zip(result.pitches.items(), measures, strict=False):
        moves = ask.levers(name, pitch=pitch, **FEW).result
        assert moves.now == found
        assert moves.judged_among == result.judged_among
        roads = ask.reach(name, pitch=pitch, measure=measure, goal="+0.5", by=["speed_mph"], **FEW).result
        assert roads.now == found[measure]
        alone = ask.levers(name, pitch=pitch, measure=measure, **FEW).result
        assert alone.now == {measure: found[measure]}
        assert all(
            move.measures.get(measure) == moves.levers[key].measures.get(measure) for key, move in alone.levers.items()
        )


@pytest.mark.parametrize("name", SCENARIOS)
def test_aimed_as_now_it_is_worth_what_the_comparison_says(name: str) -> None:
    pitch = page(name).pitch
    found = compared(name).pitches[pitch]
    assert page(name).aimed.result.measure == OF_PITCH
    for measure, aimed in (
        (OF_PITCH, page(name).aimed.result),
        (MIX, ask.aim(name, pitch=pitch, measure=MIX, **FEW).result),
    ):
        now = aimed.now.estimate
        assert now.value == pytest.approx(found[measure].value, abs=LAWS)
        assert (now.low, now.high) == pytest.approx((found[measure].low, found[measure].high), abs=LAWS)
        # no road through the height of the target ends above the best of all targets
        along = ask.reach(name, pitch=pitch, measure=measure, goal="=99", by=["target_height_ft"], **FEW).result
        there = along.levers["target_height_ft"].measure_there
        assert there <= aimed.best.estimate.value + 2.0 * aimed.gain.sampling_error


@pytest.mark.parametrize("name", SCENARIOS)
def test_todays_mix_is_the_whole_mix_of_the_comparison(name: str) -> None:
    """With one of the alternatives thrown alone, in the share of all: so the comparison judges each of them."""
    result = compared(name)
    for pitch in result.pitches:
        tables: Any = deepcopy(dict(load(name).tables))
        for other in result.pitches:
            if other != pitch:
                del tables["pitch"][other]
        expects = tables.get("hitter", {}).get("expects")
        if expects:
            expects[pitch] = sum(expects.pop(other, 0.0) for other in result.pitches)
        today = ask.mix(from_mapping(tables), **FEW).result.today
        alone = result.pitches[pitch][MIX]
        assert vars(today.estimate) == pytest.approx(vars(alone), rel=1e-12)  # shares add up in another order
        own = {pitch: result.pitches[pitch], **result.mixes[pitch]}
        for key, its in today.pitches.items():
            assert vars(its) == pytest.approx(vars(own[key][OF_PITCH]), rel=1e-12)


@pytest.mark.parametrize("name", SCENARIOS[:2])
def test_a_step_is_what_the_comparison_finds_after_it_and_what_reach_asks_for(name: str) -> None:
    pitch = page(name).pitch
    step = page(name).levers.result.levers["speed_mph"]
    tables: Any = deepcopy(dict(load(name).tables))
    entry = tables["pitch"][pitch]
    entry["speed_mph"] += step.step
    after = ask.compare(from_mapping(tables), **FEW).result.pitches[pitch][MIX].value
    change = step.measures[MIX].value
    assert after - compared(name).pitches[pitch][MIX].value == pytest.approx(change, abs=LAWS)
    road = ask.reach(name, pitch=pitch, measure=MIX, goal=f"{change:+.12f}", by=["speed_mph"], **FEW).result
    found = road.levers["speed_mph"].change
    assert found.value == pytest.approx(step.step, abs=0.5 * found.sampling_error)  # it stops a quarter from the goal


@pytest.mark.parametrize("name", SCENARIOS)
def test_the_page_says_the_numbers_of_the_comparison(name: str) -> None:
    told, result = page(name), compared(name)
    order = ranked(result.pitches, MIX)
    assert told.compared.result.better == result.better
    assert told.pitch == (result.better.pitch or order[0])
    said = numbers(verdict(told.scenario, told.compared.result))
    values = [round(result.pitches[key][MIX].value, 1) for key in order]
    assert values[0] in said
    assert values[1:2] == [one for one in values[1:2] if one in said]
    work = work_on(told.scenario, told.reached.result, Reader())
    wanted = [round(result.pitches[told.pitch][MIX].value + more, 1) for more in (1.0, 0.0)]
    assert numbers(work.wanted) == [100.0, *wanted]


def test_sessions_are_told_as_the_comparison_of_both_pitches_finds() -> None:
    """What `fit` says of two sessions, found again: the earlier pitch beside the later one, thrown at its target."""
    base = "left-eleven-to-five"
    told = gather(base, measured=Measured("april", "june"), **FEW)
    assert told.fitted is not None
    fitted = told.fitted.result
    later = parse(fitted.scenario).tables
    assert told.compared.result.pitches == ask.compare(from_mapping(later), **FEW).result.pitches
    tables: Any = deepcopy(dict(later))
    before = dict(parse(ask.fit("april", base=base, throws_per_pitch=200).result.scenario).tables["pitch"]["curve"])
    aim = ("target_side_ft", "target_height_ft")
    tables["pitch"]["before"] = before | {key: tables["pitch"]["curve"][key] for key in aim}
    tables.setdefault("hitter", {})["expects"] = {**told.scenario.hitter.expects, "before": 0.0}
    found = ask.compare(from_mapping(tables), pitches=["curve", "before"], **FEW).result
    change = fitted.changes["curve"][MIX].estimate
    values = [found.pitches[key][MIX].value for key in ("curve", "before")]
    half = 0.5 * ((change.high or 0.0) - (change.low or 0.0))
    assert values[0] - values[1] == pytest.approx(change.value, abs=0.25 * half)  # each fit knows its own sessions
    headline = pitch_changes(fitted, told.scenario, Reader(), "curve")["Curve"].headline
    chance = fitted.changes["curve"][MIX].chance_percent
    if chance >= 80.0:
        assert round(abs(change.value), 1) in numbers(headline)
