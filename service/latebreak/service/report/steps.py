"""The table of the levers: what a natural step on each does."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.questions import LeversResult
from latebreak.service.report.moves import named_step
from latebreak.service.report.spoken import Said, say
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.levers import COLUMNS
from latebreak.service.units import Units


@dataclass(frozen=True)
class Step:
    """A step on one lever alone.

    Attributes
    ----------
    label : str
        Which lever, how far and which way.
    cells : tuple of Said
        Change of each measure of the table.
    """

    label: str
    cells: tuple[Said, ...]


def step_table(levers: LeversResult, hand: Hand, units: Units) -> tuple[list[str], list[Step]]:
    """Return the heads of the columns and the rows; measures that were not asked for have no column."""
    asked = {key for move in levers.levers.values() for key in move.measures}
    columns = {key: phrase for key, phrase in COLUMNS.items() if key in asked}
    rows = []
    for key, move in levers.levers.items():
        cells = [
            say(phrase, move.measures[measure], hand, units) if measure in move.measures else Said("can't be thrown")
            for measure, phrase in columns.items()
        ]
        rows.append(Step(named_step(key, move.step, hand, units), tuple(cells)))
    return [phrase.label for phrase in columns.values()], rows
