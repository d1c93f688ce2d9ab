"""The answer of `reach` as a table."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, change_of, value_of
from latebreak.service.questions import Answer, ReachResult
from latebreak.service.questions.reach_words import wanted, why_not
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario
from latebreak.service.tables.compare import say_hitter
from latebreak.service.tables.page import cell, closing, console, grid, heading


def show(answer: Answer[ReachResult], scenario: Scenario, reader: Reader) -> None:
    """Print what is wanted, the roads and the frontier."""
    out, result = console(), answer.result
    heading(answer, scenario, reader, out)
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    out.print()
    out.print(Text(str(wanted(scenario, result, reader)), style="bold"))
    out.print()
    table = grid(["change of this lever alone", "then", ""])
    table.columns[3].justify = "left"
    for key, road in result.levers.items():
        reason = why_not(scenario, result.fastball, result.measure, result.goal_value, key, road, reader)
        then = value_of(QUANTITIES[key], reader).exactly(road.new_value) if road.reachable else ""
        table.add_row(QUANTITIES[key].name, _change(key, road, reader), Text(then), Text(reason))
    out.print(table)
    if result.frontier:
        speed, rate = (value_of(QUANTITIES[key], reader).say for key in ("speed_mph", "spin_rpm"))
        pairs = ", ".join(f"{speed(pair.speed_mph)} with {rate(pair.spin_rpm)}" for pair in result.frontier)
        out.print(Text(f"Speed and spin rate together that do it, all else as it is: {pairs}."))
    judged = any(road.change.low is not None for road in result.levers.values())
    second = "below each change its 90 % interval" if judged else "below each change the Monte Carlo standard error"
    closing(
        answer,
        out,
        (
            f"These are a model's estimates; {second}. Levers are searched within bounds that are possible, and "
            "plausible for the same pitch.",
        ),
    )


def _change(key: str, road: Road, reader: Reader) -> Text:
    if not road.reachable:
        return Text("out of reach")
    return cell(change_of(QUANTITIES[key], reader).estimate(road.change, brief=True), "\n", "")
