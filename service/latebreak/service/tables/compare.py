"""The answer of `compare` as a table."""

from __future__ import annotations

from math import isfinite

from rich.console import Console
from rich.text import Text

from latebreak.service.questions import Answer, CompareResult, Estimate
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase

PHRASES = {
    "miss_chance_percent": Phrase("miss chance, per swing", "%", 1),
    "clean_contact_percent": Phrase("clean contact, per swing", "%", 1),
    "same_line_separation_ft": Phrase("looks like the fastball until", "ft from the plate", 1),
    "same_line_separation_before_arrival_ms": Phrase("  before arrival", "ms", 0),
    "late_break_in": Phrase("late break, after the commit point", "in", 1),
    "late_break_share_percent": Phrase("  share of the whole break", "%", 1),
    "recognition_ft": Phrase("recognised", "ft from the plate", 1),
    "recognition_before_arrival_ms": Phrase("  before arrival", "ms", 0),
    "belief_at_commit_percent": Phrase("belief in it at the commit point", "%", 0),
    "break_onset_ft": Phrase("break appears", "ft from the plate", 1),
    "break_onset_before_arrival_ms": Phrase("  before arrival", "ms", 0),
    "arrival_surprise_vertical_in": Phrase("arrives off the forecast, up or down", "in", 1, "height"),
    "arrival_surprise_side_in": Phrase("  and to the side", "in", 1, "side"),
    "arrival_surprise_rms_in": Phrase("  typical size of the miss", "in", 1),
    "timing_surprise_ms": Phrase("arrives off the forecast in time", "ms", 1, "time"),
    "path_gap_at_100ms_arcmin": Phrase("path gap 100 ms after release", "arcmin", 0),
    "path_gap_at_100ms_in": Phrase("  across the line of sight", "in", 1),
    "path_gap_at_commit_arcmin": Phrase("path gap at the commit point", "arcmin", 0),
    "path_gap_at_commit_in": Phrase("  across the line of sight", "in", 1),
}
#: Events that may never happen, by the start of their keys.
_EVENTS = ("same_line_separation", "recognition", "break_onset")


def show(answer: Answer[CompareResult], scenario: Scenario) -> None:
    """Print the verdict and the table."""
    out, hand = console(), scenario.pitcher.hand
    heading(answer, scenario, out)
    say_hitter(scenario, answer.result.fastball, answer.result.judged_among, out)
    out.print()
    for sentence in answer.result.why:
        out.print(Text(sentence, style="bold"))
    out.print()
    pitches = answer.result.pitches
    table = grid(pitches)
    for key, phrase in PHRASES.items():
        table.add_row(phrase.label, *(_cell(phrase, key, estimates, hand) for estimates in pitches.values()))
    out.print(table)
    judged = any(estimate.low is not None for estimates in pitches.values() for estimate in estimates.values())
    second = (
        "in brackets the 90 % interval over what is not known of flight, hitter and means"
        if judged
        else "in brackets the Monte Carlo standard error; there are no intervals"
    )
    closing(
        answer,
        out,
        (
            f"These are a model's estimates; {second}.",
            "Looks like the fastball, break appears: beside the fastball thrown from the same point in the same "
            "direction. Path gap: beside the fastball aimed at its own target. Whether a pitch is taken is not "
            "modelled.",
        ),
    )


def say_hitter(scenario: Scenario, fastball: str, judged_among: str, out: Console) -> None:
    """Print who hits, behind which fastball, and among which pitches one is judged."""
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ")
    out.print(
        Text(
            f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g}; commit point "
            f"{hitter.commit_before_arrival_ms:g} ms before arrival; the fastball is {fastball}"
        )
    )
    out.print(Text(f"judged among: {judged_among}"))


def _cell(phrase: Phrase, key: str, estimates: dict[str, Estimate], hand: Hand) -> Text:
    estimate = estimates[key]
    event = next((event for event in _EVENTS if key.startswith(event)), None)
    if event and estimates[f"{event}_reached_percent"].value < 50.0:  # the median throw never does
        return Text("never" if key.endswith("_ft") else "")
    if not isfinite(estimate.value):
        return Text("none")
    cell = Text(phrase.say(estimate.value, hand))
    if estimate.low is not None:
        return cell.append(f" ({phrase.say_range(estimate.low, estimate.high, hand)})", style="dim")
    if estimate.sampling_error and isfinite(estimate.sampling_error):
        return cell.append(f" (+-{estimate.sampling_error:.1g})", style="dim")
    return cell
