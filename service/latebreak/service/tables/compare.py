"""The answer of `compare` as a table."""

from __future__ import annotations

from math import isfinite

from rich.text import Text

from latebreak.service.questions import Answer, CompareResult, Estimate
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase

PHRASES = {
    "same_line_separation_ft": Phrase("looks like the fastball until", "ft from the plate", 1),
    "same_line_separation_after_release_ms": Phrase("  that is, after release", "ms", 0),
    "same_line_separation_before_arrival_ms": Phrase("  and before arrival", "ms", 0),
    "late_break_in": Phrase("late break, after the commit point", "in", 1),
    "late_break_share_percent": Phrase("  share of the whole break", "%", 1),
    "path_gap_at_100ms_arcmin": Phrase("path gap 100 ms after release", "arcmin", 0),
    "path_gap_at_100ms_in": Phrase("  across the line of sight", "in", 1),
    "path_gap_at_commit_arcmin": Phrase("path gap at the commit point", "arcmin", 0),
    "path_gap_at_commit_in": Phrase("  across the line of sight", "in", 1),
}


def show(answer: Answer[CompareResult], scenario: Scenario) -> None:
    """Print the verdict and the table."""
    out, hitter = console(), scenario.hitter
    heading(answer, scenario, out)
    level = hitter.level.replace("_", " ")
    out.print(
        Text(
            f"{level} hitter, bats {hitter.bats}; commit point {hitter.commit_before_arrival_ms:g} ms before arrival; "
            f"the fastball is {answer.result.fastball}"
        )
    )
    out.print()
    for sentence in answer.result.why:
        out.print(Text(sentence, style="bold"))
    out.print()
    pitches = answer.result.pitches
    table = grid(pitches)
    for key, phrase in PHRASES.items():
        table.add_row(phrase.label, *(_cell(phrase, key, estimates) for estimates in pitches.values()))
    out.print(table)
    judged = any(estimate.low is not None for estimates in pitches.values() for estimate in estimates.values())
    second = (
        "in brackets the 90 % interval over what is not known of flight, eye and means"
        if judged
        else "in brackets the Monte Carlo standard error; there are no intervals"
    )
    closing(
        answer,
        out,
        (
            f"These are a model's estimates; {second}.",
            "Same line: beside the fastball thrown from the same point in the same direction. Path gap: beside the "
            "fastball aimed at its own target.",
        ),
    )


def _cell(phrase: Phrase, key: str, estimates: dict[str, Estimate]) -> Text:
    estimate = estimates[key]
    if key.startswith("same_line_separation") and estimates["same_line_separation_reached_percent"].value == 0.0:
        return Text("never" if key == "same_line_separation_ft" else "")
    if not isfinite(estimate.value):
        return Text("none")
    cell = Text(phrase.say(estimate.value, "right"))
    if estimate.low is not None:
        return cell.append(f" ({phrase.say_range(estimate.low, estimate.high, 'right')})", style="dim")
    if estimate.sampling_error and isfinite(estimate.sampling_error):
        return cell.append(f" (+-{estimate.sampling_error:.1g})", style="dim")
    return cell
