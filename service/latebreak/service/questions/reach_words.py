"""Why a lever alone does not reach a goal, and what is wanted, in plain sentences."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from latebreak.service.quantities import QUANTITIES, Name, Reader, Sentence, change_of, sentence, value_of
from latebreak.service.questions.road import Road
from latebreak.service.scenario import Scenario

if TYPE_CHECKING:
    from latebreak.service.questions.reach import ReachResult


def why_not(
    scenario: Scenario, fastball: str, measure: str, goal: float, lever: str, road: Road, reader: Reader
) -> str:
    """Say why a goal is out of reach along a lever, or what to mind where it is not.

    Parameters
    ----------
    scenario : Scenario
        What was asked about.
    fastball : str
        Key of the fastball.
    measure : str
        Key of the measure.
    goal : float
        What it is to be.
    lever : str
        Key of the lever.
    road : Road
        What was found.
    reader : Reader
        In whose units.
    """
    if not road.trouble:
        return road.reason  # it names no quantity
    if road.trouble == "unsure":
        return arrives_said(road.arrives_percent or 0.0)
    setting, measured = (value_of(QUANTITIES[key], reader).exactly for key in (lever, measure))
    between, there = f"between {setting(road.lowest)} and {setting(road.highest)}", setting(road.new_value)
    if road.trouble == "none":
        return f"the pitch can't be thrown, or has no such measure, {between}"
    if road.trouble == "jump":
        return f"the measure jumps past the goal at {there}"
    at_limit = lever == "speed_mph" and road.highest == scenario.pitch[fastball].speed_mph
    limit = " (the speed of the fastball)" if at_limit else ""
    nearest = measured(road.measure_there)
    return f"{between}{limit} it comes nearest at {there}, with {nearest}; the goal is {measured(goal)}"


def arrives_said(percent: float) -> str:
    """Say in how many of the draws of what is not known a goal is reached, in words for a coach."""
    return f"gets there in {percent:.0f} of 100 cases that the measurements and the model leave open"


def wanted(scenario: Scenario, reached: ReachResult, reader: Reader) -> Sentence:
    """Say what the pitch has and what is wanted."""
    wording = value_of(QUANTITIES[reached.measure], reader)
    now = wording.estimate(reached.now)
    change = change_of(QUANTITIES[reached.measure], reader).say(reached.goal_value - reached.now.value)
    like = sentence(", as {other} has it", other=Name(scenario.called(reached.goal.pitch)))
    return sentence(
        "{pitch}, {measure}: {now}{where}{interval} now, {goal} wanted{like}{by}.",
        pitch=Name(scenario.called(reached.pitch)),
        measure=QUANTITIES[reached.measure].name,
        now=now.value,
        where=f" {now.where}" if now.where else "",
        interval=f" ({now.interval})" if now.interval else "",
        goal=wording.say(reached.goal_value),
        like=like if reached.goal.pitch else "",
        by=f", {change}" if isfinite(reached.now.value) else "",
    )
