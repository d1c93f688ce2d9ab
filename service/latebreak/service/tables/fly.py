"""The answer of `fly` as a table."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.questions import Answer, FlyResult
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import closing, console, grid, heading

_SAID = {
    "arrived": "arrived",
    "arrived_steep": "arrived as steep lobs",
    "bounced": "bounced",
    "stalled": "stalled",
    "flew_off": "flew off",
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
    table.add_row("what became of the throws", *(Text(_said(pitch.outcomes)) for pitch in pitches.values()))
    out.print(table)
    closing(
        answer,
        out,
        (
            "First line: mean of the throws that arrived; second line: 5 % to 95 % of them. Induced breaks leave out "
            "gravity and drag.",
        ),
    )


def _said(outcomes: dict[str, int]) -> str:
    return "\n".join(f"{count:,} {_SAID[name]}" for name, count in outcomes.items() if count)
