"""How far a goal is: what is told of each session, in which setting it is judged, and how honest the intervals are."""

from datetime import date
from functools import cache
from typing import Any

import numpy as np
import pytest
from simulated_bullpen import as_csv, measured

from latebreak.engine.errors import InputError
from latebreak.service.questions import Answer, FitResult, compare, fit, reach
from latebreak.service.questions.following.kept_goal import KeptGoal, keep
from latebreak.service.questions.following.result import GoalProgress
from latebreak.service.scenario import Loaded, Scenario, load, parse
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS
from latebreak.service.throws import Throws, parse_throws

TRUTH = load("two-grips").scenario
PITCH, MEASURE = "curve_spike", "miss_chance_percent"
FEW = 1000


def with_pitch(**changes: float) -> Scenario:
    """The scenario, its pitch moved by these."""
    own = TRUTH.pitch[PITCH]
    moved = own.model_copy(update={key: getattr(own, key) + change for key, change in changes.items()})
    return TRUTH.model_copy(update={"pitch": {**TRUTH.pitch, PITCH: moved}})


def session(name: str, seed: int = 1, count: int = 12, pitches: tuple[str, ...] = (PITCH,), **changes: float) -> Throws:
    scenario, rng = with_pitch(**changes), np.random.default_rng(seed)
    content = as_csv({one: measured(scenario, one, count, rng) for one in pitches})
    return parse_throws(content, source=f"{name}.csv")


@cache
def goal(written: str = "+3", measure: str = MEASURE) -> KeptGoal:
    asked = reach(load("two-grips"), pitch=PITCH, measure=measure, goal=written, throws=FEW)
    return keep(asked, TRUTH, date(2026, 3, 31))


def answered(first: Throws, *later: Throws, kept: KeptGoal | None = None, base: Any = "two-grips") -> Answer[FitResult]:
    return fit(first, later=later, base=base, goal=kept or goal(), throws_per_pitch=FEW)


def followed(first: Throws, *later: Throws, **how: Any) -> GoalProgress:
    found = answered(first, *later, **how).result.goal
    assert found is not None
    return found


def share(found: GoalProgress, at: int = -1) -> float:
    measure = found.sessions[at].measure
    assert measure is not None
    assert measure.share_percent is not None
    return measure.share_percent.value


def test_two_sessions_that_went_the_wrong_way() -> None:
    found = followed(session("april"), session("may", 2, speed_mph=-3.0, efficiency_percent=-10.0))
    assert [one.session for one in found.sessions] == ["april", "may"]
    assert found.beside == "goal"
    assert share(found) < share(found, 0)
    assert share(found) < -20.0
    last = found.sessions[-1]
    assert last.measure is not None
    assert last.measure.chance_percent is not None
    assert last.measure.chance_percent < 10.0
    speed = last.levers["speed_mph"]
    assert speed.share_percent is not None
    assert speed.share_percent.value < -100.0
    assert "the wrong way" in found.said[0]


def test_a_goal_that_is_reached() -> None:
    found = followed(session("april"), session("may", 2, 40, speed_mph=6.0))
    measure = found.sessions[-1].measure
    assert measure is not None
    assert measure.chance_percent is not None
    assert share(found) > 100.0
    assert measure.chance_percent > 80.0
    speed = found.sessions[-1].levers["speed_mph"]
    assert speed.chance_percent == pytest.approx(100.0, abs=0.1)


def test_one_session_alone() -> None:
    answer = answered(session("april"))
    found = answer.result.goal
    assert found is not None
    assert not answer.result.changes
    (only,) = found.sessions
    assert (only.session, only.used) == ("", 12)
    assert set(only.levers) == set(goal().roads)


def test_a_steadier_pitch_is_told_by_its_spread() -> None:
    """Forty throws each without the device's noise, as ever and half as wild; spreads are drawn towards the usual."""
    steady = TRUTH.pitch[PITCH].spread
    halved = {key: 0.5 * value for key in SPREAD_KEYS if (value := getattr(steady, key))}
    calm = TRUTH.pitch[PITCH].model_copy(update={"spread": steady.model_copy(update=halved)})
    scenario = TRUTH.model_copy(update={"pitch": {**TRUTH.pitch, PITCH: calm}})
    rng = np.random.default_rng(4)
    april, may = (as_csv({PITCH: measured(one, PITCH, 40, rng, noise=0.0)}) for one in (TRUTH, scenario))
    found = followed(parse_throws(april, source="april.csv"), parse_throws(may, source="may.csv"))
    wild, tame = (one.levers["spread_scale"].estimate for one in found.sessions)
    assert wild.low is not None
    assert wild.high is not None
    assert wild.low < 1.0 < wild.high
    assert tame.high is not None
    assert tame.high < wild.low
    assert 0.5 < tame.value < 0.75
    assert any(one.startswith("Spread") for one in found.said)


def test_sessions_of_one_file_and_of_several_are_told_alike() -> None:
    rng = np.random.default_rng(3)
    parts = {f"{PITCH}:{day}": measured(TRUTH, PITCH, 12, rng) for day in ("april", "may", "june")}
    sessions = {label: label.rpartition(":")[2] for label in parts}
    whole = followed(parse_throws(as_csv(parts, sessions), source="all.csv"))
    files = [parse_throws(as_csv({PITCH: one}), source=f"{sessions[label]}.csv") for label, one in parts.items()]
    assert followed(*files) == whole
    assert [one.session for one in whole.sessions] == ["april", "may", "june"]


def test_a_session_without_the_pitch() -> None:
    found = followed(session("april"), session("may", pitches=("fastball",)), session("june", 3))
    assert [(one.session, one.used) for one in found.sessions] == [("april", 12), ("may", 0), ("june", 12)]
    assert (found.sessions[1].measure, found.sessions[1].levers) == (None, {})
    ended = followed(session("april"), session("may", pitches=("fastball",)))
    assert ended.sessions[1].used == 0
    assert ended.said[0] == followed(session("april")).said[0]  # of the last session in which it was thrown


def test_throws_of_other_pitches_alone_are_a_fault() -> None:
    with pytest.raises(InputError, match=r"goal\.pitch: no throw is of a pitch 'curve_spike'.*'fastball'"):
        answered(session("april", pitches=("fastball",)))


def test_a_goal_of_another_pitcher_warns() -> None:
    pitcher = TRUTH.pitcher.model_copy(update={"hand": "left", "level": "youth"})
    other = goal().model_copy(update={"pitcher": pitcher, "title": "Somebody"})
    (warning,) = (one for one in answered(session("april"), kept=other).warnings if "another pitcher" in one)
    for words in ("'left'", "'youth'", "'Somebody'"):
        assert words in warning
    assert not any("another pitcher" in one for one in answered(session("april")).warnings)


def test_where_the_base_is_the_goals_scenario_a_goal_starts_where_it_was_written() -> None:
    """Exact throws without scatter of the means: nothing is done of the way, whatever the later fastball is."""
    base = parse(fit(session("april", pitches=("fastball", PITCH)), base="two-grips").result.scenario, "april.toml")
    kept = keep(reach(base, pitch=PITCH, measure=MEASURE, goal="+3", throws=FEW), base.scenario, date(2026, 3, 31))
    found = followed(session("april", pitches=("fastball", PITCH)), kept=kept, base=base)
    assert found.beside == "goal"
    assert share(found) == pytest.approx(0.0, abs=4.0)
    # and it is judged as `reach` judges: the same pitch, the same number
    measure = found.sessions[0].measure
    assert measure is not None
    assert measure.estimate.value == pytest.approx(kept.now.value, abs=0.2)


def test_elsewhere_no_share_of_the_measure_is_told() -> None:
    """Another fastball alone would be part of the way; the last session is as `compare` has it of the new scenario."""
    kept = goal().model_copy(update={"now": goal().now.model_copy(update={"value": goal().now.value - 9.0})})
    answer = answered(session("april"), session("may", 2), kept=kept)
    found = answer.result.goal
    assert found is not None
    assert found.beside == "last"
    assert all(one.measure is not None and one.measure.share_percent is None for one in found.sessions)
    assert found.sessions[-1].levers["speed_mph"].share_percent is not None
    again = compare(parse(answer.result.scenario, "new"), pitches=None).result.pitches[PITCH][MEASURE]
    measure = found.sessions[-1].measure
    assert measure is not None
    assert measure.estimate == again
    assert "--base" in " ".join(found.said)


@pytest.mark.parametrize("written", ["40", "like:curve_standard", "-2"])
def test_every_kind_of_goal(written: str) -> None:
    found = followed(session("april", 4, 30), kept=goal(written))
    measure = found.sessions[0].measure
    assert measure is not None
    assert measure.chance_percent is not None
    if written == "40":  # nothing was moved, and the goal is far off
        assert measure.chance_percent < 50.0


def test_every_measure_can_be_followed() -> None:
    for measure in ("late_break_in", "mix_strike_without_contact_percent", "tunnel_exit_ft"):
        found = followed(session("april"), kept=goal("+0.2", measure))
        assert found.beside == "goal"
        assert abs(share(found)) < 1000.0


def test_versions_get_names_that_no_pitch_has() -> None:
    pitch = {**TRUTH.pitch, f"{PITCH} (1)": TRUTH.pitch["curve_standard"]}
    scenario = TRUTH.model_copy(update={"pitch": pitch})
    expects = {**dict.fromkeys(pitch, 0.1), "fastball": 0.7}
    hitter = scenario.hitter.model_copy(update={"expects": expects})
    base = Loaded(scenario.model_copy(update={"hitter": hitter}), (), "base")
    kept = keep(reach(base, pitch=PITCH, measure=MEASURE, goal="+3", throws=FEW), base.scenario, date(2026, 3, 31))
    assert followed(session("april"), kept=kept, base=base).beside == "goal"


@pytest.mark.slow
def test_intervals_of_the_way_hold_the_truth_as_often_as_they_say() -> None:
    """A scenario and a goal from one bullpen, a pitch that is then faster and cleaner, another bullpen: of 60 intervals
    of the lever 90 % hold the truth (binomial, 3.5 SD), and of the measure no fewer: what the model does not know of
    both days is in them too.
    """
    changes: Any = {"speed_mph": 1.2, "spin_rpm": 80.0, "efficiency_percent": 4.0}
    held: dict[str, list[bool]] = {"speed_mph": [], MEASURE: []}
    true = with_pitch(**changes).pitch[PITCH]
    for seed in range(60):
        before = session("april", 100 + seed, 15, ("fastball", PITCH))
        text = fit(before, base="two-grips", throws_per_pitch=FEW).result.scenario
        base = parse(text, "april.toml")
        asked = reach(base, pitch=PITCH, measure=MEASURE, goal="+3", by=["speed_mph"], throws=FEW)
        kept = keep(asked, base.scenario, date(2026, 3, 31))
        found = followed(session("may", 500 + seed, 15, **changes), kept=kept, base=base)
        assert found.beside == "goal"
        (last,) = found.sessions
        own = base.scenario.pitch[PITCH]
        aim = {key: getattr(own, key) for key in ("target_side_ft", "target_height_ft")}
        pitches = {**base.scenario.pitch, PITCH: true.model_copy(update=aim)}
        truly = compare(base.scenario.model_copy(update={"pitch": pitches}), throws=FEW, intervals=False)
        way = (truly.result.pitches[PITCH][MEASURE].value - kept.now.value) / (kept.goal.value - kept.now.value)
        assert last.measure is not None
        told = [(MEASURE, last.measure, 100.0 * way)]
        if "speed_mph" in kept.roads:
            road = kept.roads["speed_mph"]
            told.append(
                ("speed_mph", last.levers["speed_mph"], 100.0 * (true.speed_mph - road.now) / (road.wanted - road.now))
            )
        for key, one, truth in told:
            within = one.share_percent
            assert within is not None
            assert within.low is not None
            assert within.high is not None
            held[key].append(within.low <= truth <= within.high)
    for key, hits in held.items():
        spread = 3.5 * np.sqrt(0.9 * 0.1 / len(hits))
        assert np.mean(hits) >= 0.9 - spread, key
        if key == "speed_mph":
            assert len(hits) > 40
            assert np.mean(hits) <= 0.9 + spread
