"""What a page shows is what the questions answer."""

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import Reader, Units
from latebreak.service.questions import Answer, compare, fit, levers, portray, reach
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.goal import usual_goal
from latebreak.service.report.material import Material, Measured, gather, with_names
from latebreak.service.scenario import load, parse

FEW: dict[str, Any] = {"throws": 200}


@cache
def two_grips() -> Material:
    return gather("two-grips", **FEW)


def numbers(answer: Answer[Any]) -> dict[str, Any]:
    """All of an answer but its words, in which a page has names for files' keys."""
    words = ("why", "judged_among")
    return {key: value for key, value in answer.to_dict()["result"].items() if key not in words}


def test_every_pitch_has_a_name_that_people_read() -> None:
    scenario = two_grips().scenario
    assert [scenario.called(key) for key in scenario.pitch] == ["Fastball", "Curve spike", "Curve standard"]
    entries = load("two-grips").scenario.pitch
    own = {"curve_spike": entries["curve_spike"].model_copy(update={"name": "Curve standard"})}
    given = with_names(load("two-grips").scenario.model_copy(update={"pitch": entries | own}))
    # no two are called the same
    assert [given.called(key) for key in given.pitch] == ["Fastball", "Curve standard", "curve_standard"]


def test_it_holds_the_answers_to_the_digit() -> None:
    found = two_grips()
    assert numbers(found.compared) == numbers(compare("two-grips", **FEW))
    drawn, plain = (one.to_dict()["result"] for one in (found.portrayed, portray("two-grips", **FEW)))
    for one, other in zip(drawn["pitches"].values(), plain["pitches"].values(), strict=True):
        assert one["thrown"] == other["thrown"]
        assert one["expectation"] == other["expectation"]
    worth = {name: one[MIX].value for name, one in found.compared.result.pitches.items()}
    assert found.pitch == max(worth, key=worth.__getitem__)
    assert numbers(found.levers) == numbers(levers("two-grips", pitch=found.pitch, measure=MIX, **FEW))
    roads = numbers(reach("two-grips", pitch=found.pitch, measure=MIX, goal="+1", **FEW))
    assert numbers(found.reached) == roads | {"frontier": []}  # a page draws no pairs
    assert found.fitted is None


def test_the_usual_goal_is_for_the_better_and_matters() -> None:
    assert [usual_goal(key) for key in (MIX, "miss_chance_percent", "tunnel_exit_ft")] == ["+1", "+2", "-2"]


def test_pitch_measure_and_goal_can_be_named() -> None:
    found = gather("two-grips", pitch="curve_spike", measure="late_break_in", goal="like:curve_standard", **FEW)
    assert found.pitch == found.levers.result.pitch == found.reached.result.pitch == "curve_spike"
    assert gather("two-grips", pitches=["Curve spike"], pitch="Curve spike", **FEW).pitch == "curve_spike"
    assert (found.reached.result.measure, found.reached.result.goal.pitch) == ("late_break_in", "curve_standard")


def test_one_pitch_of_several_is_judged_as_compare_judges_it() -> None:
    found = gather("staff", pitches=["changeup"], seed=4, **FEW)
    now = found.compared.result.pitches["changeup"][MIX]
    assert numbers(found.compared) == numbers(compare("staff", pitches=["changeup"], seed=4, **FEW))
    assert found.levers.result.now[MIX] == found.reached.result.now == now


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"pitch": "curve_spice"}, "did you mean curve_spike?"),
        ({"pitches": ["curve_spike"], "pitch": "curve_standard"}, "none of the compared pitches"),
        ({"pitches": ["nobody"]}, "there is no pitch 'nobody'"),
        ({"measure": "late_brake_in", "goal": "much"}, "there is no measure 'late_brake_in'.*'much' is no goal"),
        ({"goal": "much"}, "much"),
        ({"seed": -1}, "seed"),
    ],
)
def test_what_is_asked_wrongly_is_said(how: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match="(?s)" + words.replace("?", r"\?")):
        gather("two-grips", **(FEW | how))


def test_from_measured_throws(tmp_path: Path) -> None:
    found = gather("before-the-bullpen", measured=Measured("new-grip", columns="new-grip"), **FEW)
    assert found.fitted is not None
    alone = fit("new-grip", base="before-the-bullpen", columns="new-grip", throws_per_pitch=200)
    assert found.fitted.to_dict() == alone.to_dict()
    assert numbers(found.compared) == numbers(compare(parse(alone.result.scenario)))
    assert not found.fitted.result.changes


def test_two_sessions_say_what_changed() -> None:
    measured = Measured("new-grip", later="new-grip", columns="new-grip")
    found = gather("before-the-bullpen", measured=measured, **FEW)
    assert found.fitted is not None
    for name in found.compared.result.pitches:
        assert found.fitted.result.changes[name]


def test_progress_never_runs_back() -> None:
    told: list[float] = []
    gather("two-grips", progress=told.append, throws=64)
    assert told == sorted(told)
    assert 0.0 < told[0] < told[-1] == pytest.approx(1.0)


def test_the_verdict_says_the_digits_of_the_numbers_in_either_unit() -> None:
    """Of a pitch that is compared alone, the verdict says where it leaves the tunnel."""
    cases: tuple[tuple[Units, float, str], ...] = (("us", 1.0, "{:.1f} ft"), ("metric", 0.3048, "{:.2f} m"))
    scenario = load("two-grips").scenario
    for pitch in ("curve_spike", "curve_standard"):
        result = compare(scenario, pitches=[pitch], intervals=False, **FEW).result
        for units, factor, words in cases:
            why = why_better(scenario, result.fastball, result.pitches, result.better, Reader(units))
            said = words.format(factor * result.pitches[pitch]["tunnel_exit_ft"].value)
            assert said in " ".join(map(str, why))
