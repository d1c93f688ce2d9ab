"""The answer of `mix` as a table: today's mix and the best, and what a mix is worth against the share of each pitch."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.questions import Answer, MixResult
from latebreak.service.questions.mix_words import why_so
from latebreak.service.scenario import Scenario
from latebreak.service.tables.page import cell, closing, console, grid, heading


def show(answer: Answer[MixResult], scenario: Scenario, reader: Reader) -> None:
    """Print the best mix and the curves."""
    out, result = console(), answer.result
    heading(answer, scenario, reader, out)
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ")
    out.print(Text(f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g}, who knows the shares"))
    out.print()
    for sentence in why_so(scenario, result, reader):
        out.print(Text(str(sentence), style="bold"))
    out.print()
    wording = value_of(QUANTITIES[result.measure], reader)
    table = grid(["today", "strikes without contact", "best", "strikes without contact"])
    for name in result.best.shares_percent:
        row = []
        for one in (result.today, result.best):
            row += [Text(f"{one.shares_percent[name]:.3g} %"), cell(wording.estimate(one.pitches[name], brief=True))]
        table.add_row(scenario.called(name), *row)
    whole = [cell(wording.estimate(one.estimate, brief=True)) for one in (result.today, result.best)]
    table.add_row("the whole mix", Text(""), whole[0], Text(""), whole[1])
    out.print(table)
    out.print()
    out.print(Text("The whole mix by the share of one pitch, the others in the proportions of the best mix"))
    table = grid(map(scenario.called, result.curves))
    for share in range(0, 101, 10):
        row = []
        for curve in result.curves.values():
            held = dict(zip(curve.share_percent, curve.value, strict=True))
            row.append(Text(wording.say(held[share]) if share in held else "-"))
        table.add_row(f"{share} %", *row)
    out.print(table)
    closing(
        answer,
        out,
        (
            "These are a model's estimates; in brackets the 90 % interval over what is not known of flight, hitter and "
            "means. Shares are both what is thrown and what hitters expect, over all counts and in steps of 5 %; a "
            "pitch is worth its strikes without contact, whatever it does to the arm, and nobody tires.",
        ),
    )
