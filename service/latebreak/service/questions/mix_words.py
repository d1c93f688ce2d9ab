"""How often to throw each pitch, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from latebreak.service.quantities import QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.questions.verdict import SURE_ENOUGH
from latebreak.service.scenario import Scenario

if TYPE_CHECKING:
    from latebreak.service.questions.mix import MixResult

#: Points: a hitter who guesses takes off at least so much before it is told (chosen; below it is the search's error).
_WORTH_TELLING = 0.3


def why_so(scenario: Scenario, result: MixResult, reader: Reader) -> tuple[Sentence, ...]:
    """Say how often to throw each pitch, what that gives, and how much freedom there is.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    result : MixResult
        What was found out; its own `why` is not looked at.
    reader : Reader
        In whose units.
    """
    value, chance = value_of(QUANTITIES[result.measure], reader), result.chance_percent
    held: dict[str, str | Sentence] = {
        "best": listed(scenario, result.best.shares_percent),
        "today": listed(scenario, result.today.shares_percent),
        "measure": QUANTITIES[result.measure].brief,
        "worth": value.say(result.best.estimate.value),
        "now": value.say(result.today.estimate.value),
        "gain": change_of(QUANTITIES[result.measure], reader).difference(result.gain, chance),
    }
    if not result.moves:
        pattern = (
            "Today's mix is as good as any: {today}, {measure} {now}; none is better by a difference that matters."
        )
    elif chance is not None and chance < SURE_ENOUGH:
        pattern = (
            "No mix is better than today's beyond chance: {measure} {worth} with {best} against {now} with {today}, a "
            "difference of {gain}."
        )
    else:
        pattern = (
            "Hitters who know the mix do least against {best}: {measure} {worth} against {now} with today's {today}, a "
            "difference of {gain}."
        )
    return (sentence(pattern, **held), _freedom(scenario, result, reader), *_guess(scenario, result, reader))


def listed(scenario: Scenario, shares: Mapping[str, float]) -> Sentence:
    """Say shares: "Four-seam 60 %, Curve 40 %"; a pitch that is not thrown is left out."""
    thrown = [(name, share) for name, share in shares.items() if share > 0.0]
    pattern = ", ".join(f"{{p{number}}} {share:.3g} %" for number, (_, share) in enumerate(thrown))
    return sentence(pattern, **{f"p{number}": Name(scenario.called(name)) for number, (name, _) in enumerate(thrown)})


def _freedom(scenario: Scenario, result: MixResult, reader: Reader) -> Sentence:
    matters = change_of(QUANTITIES[result.measure], reader).amount(QUANTITIES[result.measure].matters or 0.0)
    curves = list(result.curves.items())
    pattern = ", ".join(
        f"{{p{number}}} {one.low_percent:.3g} to {one.high_percent:.3g} %" for number, (_, one) in enumerate(curves)
    )
    names = {f"p{number}": Name(scenario.called(name)) for number, (name, _) in enumerate(curves)}
    return sentence(f"Less than {matters} is lost, one share at a time, with " + pattern + ".", **names)


def _guess(scenario: Scenario, result: MixResult, reader: Reader) -> tuple[Sentence, ...]:
    """What a hitter takes off who expects something else than what is thrown; nothing where that is next to nothing."""
    if result.guessed_loss < _WORTH_TELLING:
        return ()
    loss = change_of(QUANTITIES[result.measure], reader).amount(result.guessed_loss)
    pattern = "A hitter who expects {guess} instead would take {loss} off it."
    return (sentence(pattern, guess=listed(scenario, result.guessed_percent), loss=loss),)
