"""The table of the roads to a goal: how far each lever alone must be moved."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.quantities import QUANTITIES, Reader, Said, change_of, value_of
from latebreak.service.questions import ReachResult
from latebreak.service.questions.reach_words import why_not
from latebreak.service.scenario import Scenario


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


def road_rows(scenario: Scenario, reached: ReachResult, reader: Reader) -> list[RoadRow]:
    """Return the rows of the table."""
    rows = []
    for key, road in reached.levers.items():
        name, change, then = QUANTITIES[key].name, Said("out of reach"), ""
        if road.reachable:
            change = change_of(QUANTITIES[key], reader).estimate(road.change)
            then = value_of(QUANTITIES[key], reader).exactly(road.new_value)
        remark = why_not(scenario, reached.fastball, reached.measure, reached.goal_value, key, road, reader)
        rows.append(RoadRow(name, change, then, remark))
    return rows
