"""The answer of `compare` as a table."""

from __future__ import annotations

from collections.abc import Mapping

from rich.console import Console
from rich.text import Text

from latebreak.service.quantities import MEASURES, QUANTITIES, Quantity, Reader, Said, value_of
from latebreak.service.questions import Answer, CompareResult, Estimate
from latebreak.service.questions.compare_words import hitter_called, why_better
from latebreak.service.questions.verdict import Better
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import cell, closing, console, grid, heading
from latebreak.service.wording import clean


def show(answer: Answer[CompareResult], scenario: Scenario, reader: Reader) -> None:
    """Print the verdict and the table."""
    out, result = console(), answer.result
    heading(answer, scenario, reader, out)
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    out.print()
    for sentence in why_better(
        scenario, result.fastball, result.pitches, result.better, reader, result.mixes, result.hitters
    ):
        out.print(Text(str(sentence), style="bold"))
    out.print()
    pitches = result.pitches
    table = grid(map(scenario.called, pitches))
    for measure in rows(pitches):
        label = f"  {measure.part}" if measure.part else measure.name
        said = (say(measure, estimates, reader, brief=True) for estimates in pitches.values())
        table.add_row(label, *map(cell, said))
    out.print(table)
    show_mixes(result, scenario, reader, out)
    show_counts(result, scenario, reader, out)
    show_hitters(result, scenario, reader, out)
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
            "Swings, strikes and balls are of all pitches thrown. Tunnel: left where what he sees is no fastball of "
            "this pitcher's any more. Path gap: beside the fastball aimed at its own target; at the commit point when "
            "both are as far from the plate. Whole mix: hitters expect what is thrown, and have this pitch in mind in "
            "place of the other compared ones.",
        ),
    )


def show_mixes(result: CompareResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print what hitters do with the other pitches when they have a compared one in mind."""
    keys = ("swing_percent", "miss_chance_percent", "strike_without_contact_percent")
    for other in dict.fromkeys(name for mix in result.mixes.values() for name in mix):
        out.print()
        out.print(Text(clean(f"{scenario.called(other)} with this pitch in mind"), style="bold"))
        table = grid(map(scenario.called, result.mixes))
        for key in keys:
            said = (
                value_of(QUANTITIES[key], reader).estimate(mix[other][key], brief=True) for mix in result.mixes.values()
            )
            table.add_row(QUANTITIES[key].name, *map(cell, said))
        out.print(table)


def show_counts(result: CompareResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print the measure that decides at each count."""
    if not result.counts:
        return
    measure = QUANTITIES[result.better.measure]
    out.print()
    out.print(Text(f"{measure.brief}, by count (balls-strikes)", style="bold"))
    table = grid(map(scenario.called, result.pitches))
    for count, estimates in result.counts.items():
        said = (value_of(measure, reader).estimate(estimates[name], brief=True) for name in result.pitches)
        table.add_row(count, *map(cell, said))
    out.print(table)


def show_hitters(result: CompareResult, scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print the verdict before each hitter."""
    if not result.hitters:
        return
    measure = QUANTITIES[result.better.measure]
    out.print()
    out.print(Text(f"{measure.brief}, by hitter", style="bold"))
    table = grid([*map(scenario.called, result.pitches), "ahead"])
    for one in result.hitters:
        said = (value_of(measure, reader).estimate(one.pitches[name], brief=True) for name in result.pitches)
        table.add_row(hitter_called(one), *map(cell, said), ahead_of(one.better, scenario))
    out.print(table)


def ahead_of(better: Better, scenario: Scenario) -> Text:
    """Say who leads and how sure that is: "spike, 92 %"."""
    who = "no difference" if better.pitch is None else clean(scenario.called(better.pitch))
    return Text(who + ("" if better.chance_percent is None else f", {min(better.chance_percent, 99.0):.0f} %"))


def say_hitter(scenario: Scenario, fastball: str, judged_among: str, reader: Reader, out: Console) -> None:
    """Print who hits, behind which fastball, and among which pitches one is judged."""
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ")
    commit = value_of(QUANTITIES["commit_before_arrival_ms"], reader).exactly(hitter.commit_before_arrival_ms)
    out.print(
        Text(
            f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g}; commit point "
            f"{commit} before arrival; the fastball is {scenario.called(fastball)}"
        )
    )
    out.print(Text(f"judged among: {judged_among}"))


def rows(pitches: Mapping[str, Mapping[str, Estimate]]) -> list[Quantity]:
    """Return the measures that have a row, in the order of the vocabulary: those that the answer has."""
    held = {key for estimates in pitches.values() for key in estimates}
    return [measure for measure in MEASURES if measure.has_row and measure.key in held]


def happens(event: str, estimates: Mapping[str, Estimate]) -> bool:
    """Tell whether an event happens to the median throw."""
    return estimates[f"{event}_reached_percent"].value >= 50.0


def say(measure: Quantity, estimates: Mapping[str, Estimate], reader: Reader, *, brief: bool = False) -> Said:
    """Say a measure of a pitch, or that its event does not happen."""
    if measure.event and not happens(measure.event, estimates):
        return Said(measure.never)
    return value_of(measure, reader).estimate(estimates[measure.key], brief=brief)
