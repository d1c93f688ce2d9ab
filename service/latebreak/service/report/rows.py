"""Rows of the page's tables: the numbers, steps on the levers, roads to a goal."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.quantities import GROUPS, QUANTITIES, SPREAD_SCALE, Reader, Said, change_of, value_of
from latebreak.service.questions import CompareResult, LeversResult, ReachResult
from latebreak.service.tables.compare import rows, say
from latebreak.service.tables.levers import columns_of, named_step


@dataclass(frozen=True)
class Row:
    """A row: what it tells, its cells, what that means to a coach, and whether it says the row above in another way."""

    label: str
    cells: list[Said]
    meaning: str = ""
    is_part: bool = False


def number_groups(compared: CompareResult, reader: Reader) -> dict[str, list[Row]]:
    """Return the rows of the table, by what a group of them answers; of the measures that the answer has."""
    pitches, shown = compared.pitches, rows(compared.pitches)
    groups = {
        question: [
            Row(
                measure.part or measure.name,
                [say(measure, estimates, reader) for estimates in pitches.values()],
                measure.meaning,
                bool(measure.part),
            )
            for measure in measures
            if measure in shown
        ]
        for question, measures in GROUPS.items()
    }
    return {question: group for question, group in groups.items() if group}


def step_table(levers: LeversResult, reader: Reader) -> tuple[list[str], list[Row]]:
    """Return the heads of the columns and the rows; measures that were not asked for have no column."""
    columns = columns_of(levers.levers)
    rows = []
    for key, move in levers.levers.items():
        cells = [
            change_of(measure, reader).estimate(move.measures[measure.key])
            if measure.key in move.measures
            else Said("can't be thrown")
            for measure in columns
        ]
        rows.append(Row(named_step(key, move.step, reader), cells))
    return [measure.brief for measure in columns], rows


def road_rows(reached: ReachResult, reader: Reader) -> list[Row]:
    """Return the rows of the roads to a goal: change of one lever alone, and where it then stands."""
    rows = []
    for key, road in reached.levers.items():
        quantity, change, then = QUANTITIES[key], Said("out of reach"), ""
        if road.reachable:
            change = change_of(quantity, reader).estimate(road.change)
            then = "" if key == SPREAD_SCALE else value_of(quantity, reader).say(road.new_value)
        rows.append(Row(quantity.name, [change, Said(then)]))
    return rows
