"""The answer of `reach` as a table."""

from __future__ import annotations

from math import isfinite

from rich.text import Text

from latebreak.service.questions import Answer, ReachResult
from latebreak.service.questions.fitting.trade import clock_face
from latebreak.service.questions.lever import BY_KEY, SPREAD_SCALE
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import PHRASES, facing
from latebreak.service.tables.moves import lever_label, say_move, say_moves
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase


def show(answer: Answer[ReachResult], scenario: Scenario) -> None:
    """Print what is wanted, the roads and the frontier."""
    out, hand, result = console(), scenario.pitcher.hand, answer.result
    phrase = PHRASES.get(result.measure, Phrase(result.measure, "", 1))
    heading(answer, scenario, out)
    facing(scenario, result.fastball, out)
    out.print()
    now = phrase.say(result.now.value, hand)
    if result.now.low is not None:
        now += f" ({phrase.say_range(result.now.low, result.now.high, hand)})"
    like = f", as {result.goal.pitch} has it" if result.goal.pitch else ""
    out.print(
        Text(
            f"{result.pitch}, {phrase.label.strip()}: {now} now, wanted {phrase.say(result.goal_value, hand)}{like}.",
            style="bold",
        )
    )
    out.print()
    table = grid(["change of this lever alone", "then", ""])
    table.columns[3].justify = "left"
    for key, road in result.levers.items():
        table.add_row(lever_label(key), _change(key, road, hand), Text(_then(key, road)), Text(road.reason))
    out.print(table)
    if result.frontier:
        pairs = ", ".join(f"{pair.speed_mph:.1f} mph with {pair.spin_rpm:.0f} rpm" for pair in result.frontier)
        out.print(Text(f"Speed and spin rate together that do it, all else as it is: {pairs}."))
    judged = any(road.change.low is not None for road in result.levers.values())
    second = "below each change its 90 % interval" if judged else "in brackets the Monte Carlo standard error"
    closing(
        answer,
        out,
        (
            f"These are a model's estimates; {second}. Levers are searched within bounds that are possible, and "
            "plausible for the same pitch.",
        ),
    )


def _change(key: str, road: Road, hand: Hand) -> Text:
    if not road.reachable:
        return Text("out of reach")
    cell = Text(say_move(key, road.change.value, hand))
    if road.change.low is not None and road.change.high is not None:
        return cell.append(f"\n{say_moves(key, road.change.low, road.change.high, hand)}", style="dim")
    if road.change.sampling_error and isfinite(road.change.sampling_error):
        return cell.append(f" (+-{road.change.sampling_error:.2g} {BY_KEY[key].unit.symbol})", style="dim")
    return cell


def _then(key: str, road: Road) -> str:
    if not road.reachable:
        return ""
    if BY_KEY[key].is_clock:
        return clock_face(road.new_value)
    if key == SPREAD_SCALE:
        return f"{road.new_value:.2f} times the spread"
    return f"{road.new_value:.4g} {BY_KEY[key].unit.symbol}".rstrip()
