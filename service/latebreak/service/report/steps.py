"""The table of the levers: what a natural step on each does."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.quantities import Reader, Said, change_of
from latebreak.service.questions import LeversResult
from latebreak.service.tables.levers import columns_of, named_step


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


def step_table(levers: LeversResult, reader: Reader) -> tuple[list[str], list[Step]]:
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
        rows.append(Step(named_step(key, move.step, reader), tuple(cells)))
    return [measure.brief for measure in columns], rows
