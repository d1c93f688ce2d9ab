"""The table of the roads to a goal: how far each lever alone must be moved."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.questions import ReachResult
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.questions.road import Road
from latebreak.service.questions.spoken import say_setting
from latebreak.service.report.moves import said_move
from latebreak.service.report.spoken import Said, in_units, say
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.moves import lever_label
from latebreak.service.tables.reach import phrase_of
from latebreak.service.units import Units, sentence


@dataclass(frozen=True)
class RoadRow:
    """What one lever alone can do.

    Attributes
    ----------
    lever : str
        Which.
    change : Said
        How far it must be moved, or that this is out of reach.
    then : str
        Where it then stands; empty out of reach.
    remark : str
        Why not, or what to mind.
    """

    lever: str
    change: Said
    then: str
    remark: str


def wanted(reached: ReachResult, hand: Hand, units: Units) -> str:
    """Say what the pitch has and what is wanted."""
    phrase = phrase_of(reached.measure)
    now = say(phrase, reached.now, hand, units)
    interval = f" ({now.interval})" if now.interval else ""
    shown, factor = in_units(phrase, units)
    like = f", as {reached.goal.pitch} has it" if reached.goal.pitch else ""
    goal = shown.say(factor * reached.goal_value, hand)
    return f"{reached.pitch}, {phrase.label}: {now.value}{interval} now, {goal} wanted{like}."


def road_rows(reached: ReachResult, hand: Hand, units: Units) -> list[RoadRow]:
    """Return the rows of the table."""
    return [_row(key, road, hand, units) for key, road in reached.levers.items()]


def _row(key: str, road: Road, hand: Hand, units: Units) -> RoadRow:
    remark = sentence(road.reason, units)
    if not road.reachable:
        return RoadRow(lever_label(key), Said("out of reach"), "", remark)
    then = sentence(say_setting(BY_KEY[key], road.new_value, hand), units)
    return RoadRow(lever_label(key), said_move(key, road.change, hand, units), then, remark)
