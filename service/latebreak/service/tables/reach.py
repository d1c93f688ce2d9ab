"""The answer of `reach` as a list: what each lever alone must become, or why it does not reach the goal."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, change_of, value_of
from latebreak.service.questions import Answer, ReachResult
from latebreak.service.questions.reach_words import wanted, why_not
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import items, prose
from latebreak.service.tables.page import closing, estimates_are, heading, say_found, say_hitter


def show(answer: Answer[ReachResult], scenario: Scenario, reader: Reader) -> None:
    """Print what is wanted, the roads and the frontier."""
    out, result = heading(answer, scenario, reader), answer.result
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    say_found([wanted(scenario, result, reader)], out)
    prose(out, "One lever alone:")
    items(out, ((QUANTITIES[key].name, _road(key, scenario, result, reader)) for key in result.levers), indent=2)
    if result.frontier:
        speed, rate = (value_of(QUANTITIES[key], reader).say for key in ("speed_mph", "spin_rpm"))
        pairs = ", ".join(f"{speed(pair.speed_mph)} with {rate(pair.spin_rpm)}" for pair in result.frontier)
        prose(out, f"Speed and spin rate together that do it, all else as it is: {pairs}.")
    judged = any(road.change.low is not None for road in result.levers.values())
    closing(
        answer,
        out,
        (
            f"{estimates_are(judged)} Levers are searched within bounds that are possible, and plausible for the same "
            "pitch.",
        ),
    )


def _road(key: str, scenario: Scenario, result: ReachResult, reader: Reader) -> Text:
    """Say what a lever must become: "1.4 mph faster (1.0 to 2.4), to 80.03 mph"; or why it does not do."""
    road: Road = result.levers[key]
    why = why_not(scenario, result.fastball, result.measure, result.goal_value, key, road, reader)
    if not road.reachable:
        return Text(f"out of reach: {why}")
    change = change_of(QUANTITIES[key], reader).estimate(road.change, brief=True)
    text = Text(change.value)
    if change.interval:
        text.append(f" ({change.interval})", style="dim")
    text.append(f", to {value_of(QUANTITIES[key], reader).exactly(road.new_value)}")
    return text.append(f"; {why}") if why else text
