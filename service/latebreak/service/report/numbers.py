"""The table of the numbers: every measure of every compared pitch, and what each means."""

from __future__ import annotations

from dataclasses import dataclass

from latebreak.service.questions import CompareResult, Estimate
from latebreak.service.report.spoken import Said, say
from latebreak.service.report.words import GROUPS, NEVER
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import PHRASES
from latebreak.service.units import Units


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


def number_groups(compared: CompareResult, hand: Hand, units: Units) -> dict[str, list[Row]]:
    """Return the rows of the table, by what a group of them answers."""
    return {
        question: [
            Row(
                PHRASES[key].label.strip(),
                meaning,
                PHRASES[key].label.startswith(" "),
                tuple(_cell(key, estimates, hand, units) for estimates in compared.pitches.values()),
            )
            for key, meaning in meanings.items()
        ]
        for question, meanings in GROUPS.items()
    }


def happens(event: str, estimates: dict[str, Estimate]) -> bool:
    """Tell whether an event happens to the median throw."""
    return estimates[f"{event}_reached_percent"].value >= 50.0


def _cell(key: str, estimates: dict[str, Estimate], hand: Hand, units: Units) -> Said:
    event = next((event for event in NEVER if key.startswith(event)), None)
    if event and not happens(event, estimates):
        place, time = NEVER[event]
        return Said(place if key.endswith("_ft") else time)
    return say(PHRASES[key], estimates[key], hand, units)
