"""The answer of `reach` as a table."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

from rich.text import Text

from latebreak.service.judging.measures import unit_of
from latebreak.service.questions import Answer, ReachResult
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.road import Road
from latebreak.service.questions.spoken import say_setting
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import PHRASES, say_hitter
from latebreak.service.tables.moves import say_error, say_move, say_moves
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase


def show(answer: Answer[ReachResult], scenario: Scenario) -> None:
    """Print what is wanted, the roads and the frontier."""
    out, hand, result = console(), scenario.pitcher.hand, answer.result
    phrase = phrase_of(result.measure)
    heading(answer, scenario, out)
    say_hitter(scenario, result.fastball, result.judged_among, out)
    out.print()
    now = phrase.say(result.now.value, hand) if isfinite(result.now.value) else "none"
    if result.now.low is not None:
        now += f" ({phrase.say_range(result.now.low, result.now.high, hand)})"
    like = f", as {result.goal.pitch} has it" if result.goal.pitch else ""
    out.print(
        Text(
            f"{result.pitch}, {phrase.label}: {now} now, wanted {phrase.say(result.goal_value, hand)}{like}.",
            style="bold",
        )
    )
    out.print()
    table = grid(["change of this lever alone", "then", ""])
    table.columns[3].justify = "left"
    for key, road in result.levers.items():
        table.add_row(
            BY_KEY[key].label.split(",")[0], _change(key, road, hand), Text(_then(key, road, hand)), Text(road.reason)
        )
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


def phrase_of(measure: str) -> Phrase:
    """Return how a measure is said where it stands alone; those that no table shows are said by their keys."""
    unit = unit_of(measure)
    if measure not in PHRASES:
        words = measure.removesuffix(f"_{measure.rsplit('_', 1)[1]}").replace("_", " ")
        return Phrase(words, unit, 1)
    phrase = PHRASES[measure]
    if not phrase.label.startswith(" "):
        return phrase
    # an indented label goes on from the last one that is not
    before = list(PHRASES.values())[: list(PHRASES).index(measure)]
    above = next(one.label for one in reversed(before) if not one.label.startswith(" "))
    whole, own = above.split(",")[0].removesuffix(" until"), phrase.label.strip().removeprefix("and ")
    return replace(phrase, label=f"{whole}, {own}")


def _change(key: str, road: Road, hand: Hand) -> Text:
    if not road.reachable:
        return Text("out of reach")
    cell = Text(say_move(key, road.change.value, hand))
    if road.change.low is not None and road.change.high is not None:
        return cell.append(f"\n{say_moves(key, road.change.low, road.change.high, hand)}", style="dim")
    if road.change.sampling_error and isfinite(road.change.sampling_error):
        return cell.append(f" (+-{say_error(key, road.change.sampling_error)})", style="dim")
    return cell


def _then(key: str, road: Road, hand: Hand) -> str:
    if not road.reachable:
        return ""
    return say_setting(BY_KEY[key], road.new_value, hand)
