"""The answer of `fly` as a table."""

from __future__ import annotations

from latebreak.service.quantities import QUANTITIES, Reader, Said, value_of
from latebreak.service.questions import Answer, FlyResult
from latebreak.service.questions.answer import OverThrows
from latebreak.service.questions.fly import Movement
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import Row, show_table
from latebreak.service.tables.page import closing, heading, say_more

#: What a coach asks first: when, how fast and where it arrives, and what its spin and seams did.
_FIRST = (
    "flight_time_s", "arrival_speed_mph", "arrival_side_ft", "arrival_height_ft", "induced_vertical_break_in",
    "induced_side_break_in",
)  # fmt: skip
_SAID = {
    "arrived": "arrived",
    "arrived_steep": "arrived as steep lobs",
    "bounced": "bounced",
    "stalled": "stalled",
    "flew_off": "flew off",
}
_CAUSES = {"spin": "by spin", "seams": "by seams", "gravity": "by gravity", "drag": "by drag and wind"}


def show(answer: Answer[FlyResult], scenario: Scenario, reader: Reader, *, whole: bool = False) -> None:
    """Print the table; `whole` with every quantity, what moved each pitch, and what became of the throws."""
    out, pitches = heading(answer, scenario, reader), answer.result.pitches
    out.print()
    every: list[Row] = [
        (QUANTITIES[key].name, [_over_throws(key, pitch.quantities[key], reader) for pitch in pitches.values()])
        for key in next(iter(pitches.values())).quantities
    ]
    for key, way in (("vertical_in", "vertical"), ("side_in", "side")):
        for cause, words in _CAUSES.items():
            cells = [_moved(pitch.movement.get(cause), key, way, reader) for pitch in pitches.values()]
            every.append((f"moved {'up or down' if way == 'vertical' else 'to the side'} {words}", cells))
    for outcome, words in _SAID.items():
        counts = [pitch.outcomes.get(outcome, 0) for pitch in pitches.values()]
        if any(counts):
            every.append((f"throws that {words}", [Said(f"{count:,}") for count in counts]))
    names = {QUANTITIES[key].name for key in _FIRST}
    shown = every if whole else [row for row in every if row[0] in names]
    show_table(out, [scenario.called(name) for name in pitches], shown)
    say_more(len(every) - len(shown), "rows", out)
    notes = (
        "Means of the throws that arrived; in brackets 5 % to 95 % of them. Induced breaks leave out gravity and drag."
    )
    closing(
        answer,
        out,
        (notes + " Moved: of the mean pitch, from the straight line out of the hand." * whole,),
    )


def _over_throws(key: str, number: OverThrows, reader: Reader) -> Said:
    wording = value_of(QUANTITIES[key], reader)
    if number.mean is None:
        return Said("none arrived")
    return Said(wording.say(number.mean), wording.span(number.low, number.high))


def _moved(movement: Movement | None, key: str, way: str, reader: Reader) -> Said:
    value = None if movement is None else getattr(movement, key)
    return Said(
        "does not arrive" if value is None else value_of(QUANTITIES[f"induced_{way}_break_in"], reader).say(value)
    )
