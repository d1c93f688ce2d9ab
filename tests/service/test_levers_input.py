"""The question `levers` at the edge: steps that are cut, bad questions, and what is said beside every answer."""

import importlib
from typing import Any

import pytest
from levered import asked, compared
from starters import STILL, starter

from latebreak.engine.errors import InputError
from latebreak.service.judging.versions import measure_versions
from latebreak.service.questions import levers
from latebreak.service.scenario import from_mapping

#: The module; its name in the package is taken by the function.
questions_levers = importlib.import_module("latebreak.service.questions.levers")


# --- steps that are cut ---------------------------------------------------------------------------------------------
def test_a_step_past_a_limit_is_cut_and_said() -> None:
    answer = asked(starter(efficiency_percent=98, spread=STILL | {"break_clock_deg": 0.4}))
    moves, warnings = answer["result"]["levers"], " ".join(answer["warnings"])
    assert moves["efficiency_percent"]["step"] == pytest.approx(2.0)
    assert "5 % from 98 % is cut to 2 % at the limit of 100 %" in moves["efficiency_percent"]["note"]
    assert moves["spread.break_clock_deg"]["step"] == pytest.approx(-0.4)
    assert "1 deg from 0.4 deg is cut to 0.4 deg at the limit of 0 deg" in moves["spread.break_clock_deg"]["note"]
    for key in ("efficiency_percent", "spread.break_clock_deg"):
        assert f"{key}: {moves[key]['note']}" in warnings
    assert "note" not in moves["speed_mph"]


def test_a_pitch_without_spread_can_not_scatter_less() -> None:
    """No step, no change, to the last digit; its axis does not wander."""
    result = asked(starter(spread=STILL))["result"]
    for key in ("spread_scale", "spread.break_clock_deg"):
        changes = result["levers"][key]["measures"].values()
        assert all(change["value"] in (0.0, None) for change in changes), key  # of none outside none are chased
    assert "spread.break_clock_deg" not in result["leaks"]


def test_a_clock_steps_over_noon() -> None:
    mapping = starter(break_clock="11:55", speed_mph=86.0, efficiency_percent=90)
    change = asked(mapping)["result"]["levers"]["break_clock_deg"]
    assert change["step"] == 7.5
    assert "note" not in change
    before = compared(mapping)
    mapping["pitch"]["curve"]["break_clock"] = "12:10"
    after = compared(mapping)
    for measure in ("late_break_in", "arrival_surprise_side_in"):
        expected = after[measure]["value"] - before[measure]["value"]
        assert change["measures"][measure]["value"] == pytest.approx(expected, abs=0.002)


def test_a_step_that_can_not_be_thrown_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """No ordinary pitch has such a step (one that just reaches its target flies off above the catcher), so one is made
    up: the second version of every look, the faster one, is told not to reach its target.
    """

    def without_the_faster(*args: Any, **how: Any) -> Any:
        response, reached = measure_versions(*args, **how)
        reached[1] = False
        return response, reached

    monkeypatch.setattr(questions_levers, "measure_versions", without_the_faster)
    answer = asked(starter())
    move = answer["result"]["levers"]["speed_mph"]
    assert move == {"step": 1.0, "measures": {}, "note": "with this step the pitch can't reach its target"}
    assert f"speed_mph: {move['note']}" in answer["warnings"]
    assert "speed_mph" not in answer["result"]["leaks"]


# --- what is refused, and what is said beside it --------------------------------------------------------------------
@pytest.mark.parametrize(("pitch", "words"), [("fastball", "judged behind"), ("slider", "there is no pitch 'slider'")])
def test_a_wrong_pitch(pitch: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        asked(starter(), pitch)
    assert words in str(caught.value)
    assert "any of curve" in str(caught.value)


def test_no_fastball() -> None:
    mapping = starter()
    mapping["pitch"]["fastball"]["role"] = "offspeed"
    with pytest.raises(InputError) as caught:
        asked(mapping)
    assert 'role = "fastball"' in str(caught.value)


def test_a_few_throws_are_enough_to_answer() -> None:
    assert asked(starter(), throws=1)["result"]["leaks"] == {}  # nothing beyond a sampling error that is not known
    assert asked(starter(), throws=7)["throws"] == 7


def test_progress_rises_to_the_end() -> None:
    told: list[float] = []
    levers(from_mapping(starter()), pitch="curve", intervals=False, throws=80, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == pytest.approx(1.0)
