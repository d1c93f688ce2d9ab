"""The answer of `fly` as a table."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.questions import Answer, FlyResult
from latebreak.service.questions.fly import Movement
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import closing, console, grid, heading

_SAID = {
    "arrived": "arrived",
    "arrived_steep": "arrived as steep lobs",
    "bounced": "bounced",
    "stalled": "stalled",
    "flew_off": "flew off",
}
_CAUSES = {
    "spin": "moved by spin",
    "seams": "moved by seams",
    "gravity": "moved by gravity",
    "drag": "moved by drag and wind",
}


def show(answer: Answer[FlyResult], scenario: Scenario, reader: Reader) -> None:
    """Print the table."""
    out, pitches = console(), answer.result.pitches
    heading(answer, scenario, reader, out)
    table = grid(map(scenario.called, pitches))
    for key in next(iter(pitches.values())).quantities:
        wording, cells = value_of(QUANTITIES[key], reader), []
        for pitch in pitches.values():
            number = pitch.quantities[key]
            said = "none arrived" if number.mean is None else wording.say(number.mean)
            cells.append(Text(said).append(f"\n{wording.span(number.low, number.high)}", style="dim"))
        table.add_row(QUANTITIES[key].name, *cells)
    for cause, words in _CAUSES.items():
        table.add_row(words, *(_moved(pitch.movement.get(cause), reader) for pitch in pitches.values()))
    table.add_row("what became of the throws", *(Text(_said(pitch.outcomes)) for pitch in pitches.values()))
    out.print(table)
    closing(
        answer,
        out,
        (
            "First line: mean of the throws that arrived; second line: 5 % to 95 % of them. Induced breaks leave out "
            "gravity and drag. Moved by: of the mean pitch, from the straight line out of the hand.",
        ),
    )


def _moved(movement: Movement | None, reader: Reader) -> Text:
    if movement is None or movement.vertical_in is None or movement.side_in is None:
        return Text("does not arrive")
    up, side = (value_of(QUANTITIES[f"induced_{way}_break_in"], reader) for way in ("vertical", "side"))
    return Text(", ".join((up.say(movement.vertical_in), side.say(movement.side_in))))


def _said(outcomes: dict[str, int]) -> str:
    return "\n".join(f"{count:,} {_SAID[name]}" for name, count in outcomes.items() if count)
