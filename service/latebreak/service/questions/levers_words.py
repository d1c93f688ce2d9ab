"""Leaks of a pitch and cut steps on its levers, in plain sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from latebreak.service.quantities import CLOCK_SPREAD, QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.questions.leaks import MEASURE, Leak
from latebreak.service.questions.lever import BY_KEY, Lever
from latebreak.service.scenario import Scenario

if TYPE_CHECKING:
    from latebreak.service.questions.levers import Move

#: Between the value of a lever and that of a good pitch, by lever; else that a good pitch of its kind has it.
_SHORT = {
    "efficiency_percent": "{now} of the spin bends the flight, of a good {level} pitch of its kind {good}",
    CLOCK_SPREAD: "the break clock scatters by {now}, of a good {level} pitcher by {good}",
}
_ELSE = "{now}, a good {level} pitch of its kind has {good}"


def why_leaks(
    scenario: Scenario, pitch: str, leaks: Mapping[str, Leak], reader: Reader, measure: str = MEASURE
) -> tuple[Sentence, ...]:
    """Say where a pitch leaks, the largest leak first; or that it does not.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    pitch : str
        Key of the pitch.
    leaks : mapping of str to Leak
        By lever.
    reader : Reader
        In whose units.
    measure : str, optional
        Key of the measure in which leaks cost.
    """
    level, name = scenario.pitcher.level.replace("_", " "), Name(scenario.called(pitch))
    if not leaks:
        pattern = (
            "No leak: nothing about {name} that is short of a good {level} pitch costs it much in {measure}, beyond "
            "what is not known."
        )
        return (sentence(pattern, name=name, level=level, measure=QUANTITIES[measure].brief),)
    return tuple(
        sentence(
            "{number}. {called}: {short}: moved there alone it gains {gain} of {measure} ({share} % of what all such "
            "moves give together).",
            number=f"{number}",
            called=leak.called.capitalize(),
            short=_SHORT.get(key, _ELSE).format(
                now=value_of(QUANTITIES[key], reader).say(leak.value),
                good=value_of(QUANTITIES[key], reader).say(leak.good_value),
                level=level,
            ),
            gain=change_of(QUANTITIES[leak.measure], reader).difference(leak.gain),
            measure=QUANTITIES[leak.measure].brief,
            share=f"{leak.share_percent:.0f}",
        )
        for number, (key, leak) in enumerate(leaks.items(), 1)
    )


def note_of(lever: Lever, now: float, step: float, reached: bool, reader: Reader) -> str:
    """Say why a step on a lever that stands at `now` is cut or can't be thrown; empty for a whole step."""
    if not reached:
        return "with this step the pitch can't reach its target"
    if step == lever.step:
        return ""
    wording = value_of(QUANTITIES[lever.key], reader)
    whole, cut = (wording.exactly(size, toward=False) for size in (lever.step, step))
    start, end = (wording.exactly(value) for value in (now, lever.range.possible[lever.step > 0]))
    return f"the step of {whole} from {start} is cut to {cut} at the limit of {end}"


def warnings_for(
    scenario: Scenario, pitch: str, moves: Mapping[str, Move], warnings: Sequence[str], reader: Reader
) -> list[str]:
    """Return the warnings of an answer, those of cut steps in a reader's units."""
    entry, hand = scenario.pitch[pitch], scenario.pitcher.hand
    theirs = {
        f"{key}: {move.note}": f"{QUANTITIES[key].name}: "
        + note_of(BY_KEY[key], BY_KEY[key].stands_at(entry, hand), move.step, bool(move.measures), reader)
        for key, move in moves.items()
        if move.note
    }
    return [theirs.get(warning, warning) for warning in warnings]
