"""How far a goal is, in plain sentences."""

from __future__ import annotations

from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import (
    QUANTITIES,
    Name,
    Reader,
    Sentence,
    Wording,
    chance_in_words,
    sentence,
    value_of,
)
from latebreak.service.questions.following.kept_goal import KeptGoal
from latebreak.service.questions.following.result import GoalProgress, Progress, SessionProgress
from latebreak.service.scenario import Scenario

_WRONG = "the wrong way"


def progress_said(result: GoalProgress, scenario: Scenario, reader: Reader) -> tuple[Sentence, ...]:
    """Say how far a goal is by the last session in which the pitch was thrown: the measure, then lever by lever.

    Parameters
    ----------
    result : GoalProgress
        With a session in which it was thrown.
    scenario : Scenario
        Says what pitches are called.
    reader : Reader
        In whose units.
    """
    kept = result.kept
    last = [one for one in result.sessions if one.used][-1]
    return (
        _measure_said(kept, last, Name(scenario.called(kept.pitch)), reader),
        *(
            _said(QUANTITIES[key].name.capitalize(), value_of(QUANTITIES[key], reader), one, kept.roads[key].wanted)
            for key, one in last.levers.items()
        ),
        *_untold(kept, last),
        *([sentence(BESIDE[result.beside])] if result.beside else []),
    )


#: Behind whose fastball, and at whose target.
BESIDE = {
    "goal": "Every session is judged behind the fastball and at the target of the goal: nothing but the pitch differs "
    "from the day it was written. What the model does not know of both days alike is in the interval of the measure, "
    "not in that of the way.",
    "last": "Every session is judged behind the fastball and at the target of the last one. How much of the way that "
    "is can't be told: the base is not the scenario that the goal is of. With --base that one, it is told.",
}


def _measure_said(kept: KeptGoal, last: SessionProgress, name: Name, reader: Reader) -> Sentence:
    quantity = QUANTITIES[kept.measure]
    wording = value_of(quantity, reader)
    what = sentence("{name}, {measure}", name=name, measure=quantity.name)
    if last.measure is None:
        return sentence("{what}: {wanted} wanted; it can't be told.", what=what, wanted=wording.say(kept.goal.value))
    return _said(what, wording, last.measure, kept.goal.value, colon=": ")


def _said(what: str | Sentence, wording: Wording, one: Progress, wanted: float, colon: str = " ") -> Sentence:
    """Say one quantity: "Speed 77.2 mph of 79.0 mph wanted (90 %: 76.6 to 77.8 mph); 60 % of the way"."""
    said = wording.estimate(one.estimate)
    chance, share = one.chance_percent, one.share_percent
    return sentence(
        "{what}{colon}{value} of {wanted} wanted{interval}{way}{chance}.",
        what=what,
        colon=colon,
        value=said.value,
        wanted=wording.say(wanted),
        interval=f" (90 %: {said.interval})" if said.interval else "",
        way="" if share is None else f"; {way_said(share)}",
        chance="" if chance is None else f"; chance that it is there {there_said(chance)}",
    )


def way_said(share: Estimate) -> str:
    """Say a share of the way: "60 % of the way (40 to 80 %)", "20 % the wrong way (60 % the wrong way to 20 %)"."""
    brief, low, high = brief_way(share), share.low, share.high
    if low is None or high is None:
        return brief
    if round(low) < 0 <= round(high):
        return f"{brief} ({-round(low)} % {_WRONG} to {round(high)} %)"
    nearer, farther = sorted((abs(round(low)), abs(round(high))))
    return f"{brief} ({nearer} to {farther} %)"


def brief_way(share: Estimate) -> str:
    """Say a share of the way without its interval, for a drawing of it."""
    percent = round(share.value)
    return f"{abs(percent)} % {_WRONG if percent < 0 else 'of the way'}"


def there_said(chance: float) -> str:
    """Say a chance without claiming certainty."""
    return "under 1 %" if chance < 0.5 else chance_in_words(chance)


def _untold(kept: KeptGoal, last: SessionProgress) -> list[Sentence]:
    names = [QUANTITIES[key].name for key in kept.roads if key not in last.levers]
    return [sentence(f"The throws tell nothing about {', '.join(names)}.")] if names else []
