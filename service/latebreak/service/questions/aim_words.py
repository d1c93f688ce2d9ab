"""Where a pitch is best aimed, in plain sentences."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from latebreak.service.quantities import QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.quantities.quantity import SIDE
from latebreak.service.questions.verdict import SURE_ENOUGH
from latebreak.service.scenario import Scenario

if TYPE_CHECKING:
    from latebreak.service.questions.aim import AimResult, Target


def why_there(scenario: Scenario, result: AimResult, reader: Reader) -> tuple[Sentence, ...]:
    """Say where a pitch is best aimed, what that gives, and what a ball's width costs.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    result : AimResult
        What was found out; its own `why` is not looked at.
    reader : Reader
        In whose units.
    """
    quantity, chance = QUANTITIES[result.measure], result.chance_percent
    held: dict[str, str | Sentence] = {
        "pitch": Name(scenario.called(result.pitch)),
        "there": place_of(result.best, reader),
        "here": place_of(result.now, reader),
        "measure": quantity.brief,
        "best": value_of(quantity, reader).say(result.best.estimate.value),
        "now": value_of(quantity, reader).say(result.now.estimate.value),
        "gain": change_of(quantity, reader).difference(result.gain, chance),
    }
    if not result.moves:
        pattern = (
            "{pitch} is aimed well, {here}: {measure} {now}, and no target is better by a difference that matters."
        )
    elif chance is not None and chance < SURE_ENOUGH:
        pattern = (
            "No target of {pitch} is better beyond chance: {measure} {best} aimed {there} against {now} aimed {here} "
            "as now, a difference of {gain}."
        )
    else:
        pattern = (
            "{pitch} is best aimed {there}: {measure} {best} against {now} aimed {here} as now, a difference of {gain}."
        )
    costs = _costs(result, reader)
    return (sentence(pattern, **held), *([costs] if costs else []))


def place_of(target: Target, reader: Reader) -> str:
    """Say a place at the plate: "2.1 ft high, 0.24 ft glove side"."""
    height = value_of(QUANTITIES["target_height_ft"], reader).say(target.target_height_ft)
    side = value_of(QUANTITIES["target_side_ft"], reader)
    where = side.say(target.target_side_ft) if side.toward(target.target_side_ft) else "over the middle"
    return f"{height} high, {where}"


def _costs(result: AimResult, reader: Reader) -> Sentence | None:
    """What a ball's width away from the best target costs, all four ways."""
    right, left = reader.sides(SIDE)
    called = {"up": "higher", "down": "lower", "right": f"to the {right}", "left": f"to the {left}"}
    wording = change_of(QUANTITIES[result.measure], reader)
    better = 1.0 if QUANTITIES[result.measure].better == "more" else -1.0
    lost = {called[way]: max(-better * one.value, 0.0) for way, one in result.away.items() if isfinite(one.value)}
    if not lost:
        return None
    told = ", ".join(f"{wording.number(loss)} {way}" for way, loss in lost.items())
    return sentence(f"A ball's width away it loses, in {wording.symbol}: {told}.")
