"""The table of the numbers: every measure of every compared pitch, and what each means."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.quantities import GROUPS, Reader, Said
from latebreak.service.questions import CompareResult
from latebreak.service.tables.compare import rows, say


@dataclass(frozen=True)
class Row:
    """One measure.

    Attributes
    ----------
    label : str
        What it is.
    meaning : str
        What it means to a coach.
    is_part : bool
        Whether it says the measure above in another way.
    cells : tuple of Said
        One for each pitch.
    """

    label: str
    meaning: str
    is_part: bool
    cells: tuple[Said, ...]


def number_groups(compared: CompareResult, reader: Reader) -> dict[str, list[Row]]:
    """Return the rows of the table, by what a group of them answers; of the measures that the answer has."""
    pitches, shown = compared.pitches, rows(compared.pitches)
    groups = {
        question: [
            Row(
                measure.part or measure.name,
                measure.meaning,
                bool(measure.part),
                tuple(say(measure, estimates, reader) for estimates in pitches.values()),
            )
            for measure in measures
            if measure in shown
        ]
        for question, measures in GROUPS.items()
    }
    return {question: group for question, group in groups.items() if group}
