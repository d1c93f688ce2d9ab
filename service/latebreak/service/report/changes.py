"""The table of what changed between two sessions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from latebreak.service.questions import FitResult
from latebreak.service.questions.fitting.moved import SURE, SURE_ENOUGH
from latebreak.service.questions.fitting.result import SPREAD, Change
from latebreak.service.report.moves import said_move
from latebreak.service.report.spoken import Said, say
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import PHRASES as MEASURES
from latebreak.service.tables.fit import PHRASES, SPREADS
from latebreak.service.tables.phrases import Direction, Phrase
from latebreak.service.units import Units

#: Quantities that a lever's words say best, in the order of the table.
_LEVERS = (
    "speed_mph",
    "spin_rpm",
    "efficiency_percent",
    "break_clock_deg",
    "release_side_ft",
    "release_height_ft",
    "extension_ft",
    "target_side_ft",
    "target_height_ft",
)
#: What the hitter meets of it.
_MEASURES = ("miss_chance_percent", "same_line_separation_ft", "late_break_in")
_POINTS = "points"
#: Rows of all pitches together that find room on paper.
_ON_PAPER = 18


@dataclass(frozen=True)
class ChangeRow:
    """One quantity that two sessions tell something about.

    Attributes
    ----------
    label : str
        What it is.
    change : Said
        Later less earlier, with its interval.
    chance : str
        That it truly changed this way.
    verdict : str
        "changed" or "perhaps"; empty where there is no change beyond chance.
    on_paper : bool
        Whether there is room for it on two sheets: the surest have it.
    """

    label: str
    change: Said
    chance: str
    verdict: str
    on_paper: bool


@dataclass(frozen=True)
class PitchChanges:
    """What changed in one pitch.

    Attributes
    ----------
    earlier, later : str
        The sessions between which it did.
    moved, still : list of ChangeRow
        Quantities that changed, or perhaps did; and those of which only chance shows.
    """

    earlier: str
    later: str
    moved: list[ChangeRow]
    still: list[ChangeRow]


def pitch_changes(fitted: FitResult, hand: Hand, units: Units) -> dict[str, PitchChanges]:
    """Return the tables by pitch; empty where there is one session only."""
    tables = {}
    for name, changes in fitted.changes.items():
        earlier, *_, later = fitted.pitches[name].sessions
        rows = _rows(changes, hand, units, _ON_PAPER // len(fitted.changes))
        moved, still = [row for row in rows if row.verdict], [row for row in rows if not row.verdict]
        tables[name] = PitchChanges(earlier, later, moved, still)
    return tables


def _rows(changes: Mapping[str, Change], hand: Hand, units: Units, on_paper: int) -> list[ChangeRow]:
    said: dict[str, tuple[str, Said]] = {}
    for key in _LEVERS:
        if key in changes:
            said[key] = PHRASES[key].label, said_move(key, changes[key].estimate, hand, units)
    for key, phrase in _others().items():
        if key in changes:
            said[key] = phrase.label, say(phrase, changes[key].estimate, hand, units)
    chances = {key: changes[key].chance_percent for key in said}
    surest = sorted(chances, key=lambda key: -chances[key])[:on_paper]
    return [
        ChangeRow(label, change, _chance(chances[key]), _verdict(chances[key]), key in surest)
        for key, (label, change) in said.items()
    ]


def _others() -> dict[str, Phrase]:
    """Return how changes of the quantities are said that no lever's words fit, in the order of the table."""
    measures = {}
    for key in _MEASURES:
        phrase = MEASURES[key]
        direction: Direction = "place" if key.endswith("_ft") else "change"
        unit = _POINTS if phrase.unit == "%" else phrase.unit.split(" ")[0]
        measures[key] = replace(phrase, unit=unit, direction=direction)
    # coefficients have no unit: their names say so
    forces = {
        key: replace(PHRASES[key], direction="change") for key in ("drag_coefficient", "lift_scale", "seam_force")
    }
    spreads = {
        SPREAD + key: replace(phrase, label=f"spread of {phrase.label.removeprefix('spread of').strip()}",
                              direction="change")
        for key, phrase in SPREADS.items()
    }  # fmt: skip
    return {**measures, **forces, **spreads}


def _chance(percent: float) -> str:
    """Say a chance without claiming certainty."""
    return "over 99 %" if percent >= 99.5 else f"{percent:.0f} %"


def _verdict(percent: float) -> str:
    if percent < SURE_ENOUGH:
        return ""
    return "changed" if round(percent) >= SURE else "perhaps"
