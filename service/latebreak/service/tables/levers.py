"""The answer of `levers` as a table."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from rich.text import Text

from latebreak.service.quantities import MAIN, QUANTITIES, Quantity, Reader, change_of, value_of
from latebreak.service.questions import Answer, Estimate, LeversResult
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.questions.levers import Move
from latebreak.service.questions.levers_words import warnings_for, why_leaks
from latebreak.service.scenario import Scenario
from latebreak.service.tables.compare import say_hitter
from latebreak.service.tables.page import cell, closing, console, grid, heading


def show(answer: Answer[LeversResult], scenario: Scenario, reader: Reader) -> None:
    """Print the leaks and the table."""
    out, result = console(), answer.result
    heading(answer, scenario, reader, out)
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    out.print()
    only = next(iter(result.now)) if len(result.now) == 1 else MEASURE
    costs = only if QUANTITIES[only].better else MEASURE
    for sentence in why_leaks(scenario, result.pitch, result.leaks, reader, costs):
        out.print(Text(str(sentence), style="bold"))
    out.print()
    key = MEASURE if MEASURE in result.now else next(iter(result.now))
    now, measure = result.now[key].value, QUANTITIES[key]
    there = f"{measure.brief} {value_of(measure, reader).say(now)}" if isfinite(now) else "it never arrives"
    out.print(Text(f"{scenario.called(result.pitch)}: {there}. A step on one lever alone changes:"))
    columns = columns_of(result.levers)
    table = grid(measure.brief for measure in columns)
    for key, move in result.levers.items():
        table.add_row(
            named_step(key, move.step, reader),
            *(_cell(measure, move.measures.get(measure.key), reader) for measure in columns),
        )
    out.print(table)
    judged = any(one.low is not None for move in result.levers.values() for one in move.measures.values())
    second = "below each its 90 % interval" if judged else "below each the Monte Carlo standard error"
    warnings = warnings_for(scenario, result.pitch, result.levers, answer.warnings, reader)
    closing(
        answer,
        out,
        (
            f"These are a model's estimates of changes, all on the same draws; {second}. Farther, nearer: from the "
            "plate; nearer means that it looks like the fastball longer. All measures stand in --json.",
            "A leak is a lever short of the level's usual speed or spin rate, or of a good or a steady axis, whose gap "
            "costs a fifth or more of what all such gaps cost.",
        ),
        warnings,
    )


def columns_of(moves: Mapping[str, Move]) -> list[Quantity]:
    """Return the measures that sum a pitch up and that the answer has: all the others stand in the JSON."""
    asked = {key for move in moves.values() for key in move.measures}
    return [QUANTITIES[key] for key in MAIN if key in asked] or [QUANTITIES[key] for key in sorted(asked)]


def named_step(key: str, step: float, reader: Reader) -> str:
    """Say which lever is moved how far: "speed 1.0 mph faster"."""
    return f"{QUANTITIES[key].name} {change_of(QUANTITIES[key], reader).say(step)}"


def _cell(measure: Quantity, change: Estimate | None, reader: Reader) -> Text:
    if change is None:
        return Text("can't be thrown")
    return cell(change_of(measure, reader).estimate(change, brief=True), "\n", "")
