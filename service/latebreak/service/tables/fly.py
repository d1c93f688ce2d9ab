"""The answer of `fly` as a table."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.questions import Answer, FlyResult
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase

PHRASES = {
    "flight_time_s": Phrase("flight time", "s", 3),
    "arrival_speed_mph": Phrase("speed at the plate", "mph", 1),
    "arrival_height_ft": Phrase("height at the plate", "ft", 2),
    "arrival_side_ft": Phrase("side at the plate", "ft", 2, "side"),
    "induced_vertical_break_in": Phrase("induced vertical break", "in", 1, "height"),
    "induced_side_break_in": Phrase("induced side break", "in", 1, "side"),
    "vertical_approach_deg": Phrase("vertical approach angle", "deg", 1, "height"),
    "side_approach_deg": Phrase("side approach angle", "deg", 1, "side"),
    "launch_elevation_deg": Phrase("launch elevation", "deg", 1, "height"),
    "launch_azimuth_deg": Phrase("launch azimuth", "deg", 1, "side"),
}
_SAID = {
    "arrived": "arrived",
    "arrived_steep": "arrived as steep lobs",
    "bounced": "bounced",
    "stalled": "stalled",
    "flew_off": "flew off",
}


def show(answer: Answer[FlyResult], scenario: Scenario) -> None:
    """Print the table."""
    out, hand = console(), scenario.pitcher.hand
    heading(answer, scenario, out)
    pitches = answer.result.pitches
    table = grid(pitches)
    for key, phrase in PHRASES.items():
        cells = []
        for pitch in pitches.values():
            number = pitch.quantities[key]
            cells.append(
                Text(phrase.say(number.mean, hand)).append(
                    f"\n{phrase.say_range(number.low, number.high, hand)}", style="dim"
                )
            )
        table.add_row(phrase.label, *cells)
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
