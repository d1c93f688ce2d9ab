"""The table of what changed between two sessions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from latebreak.service.quantities import MEASURES, Reader, Said, change_of
from latebreak.service.quantities.pitch import MEAN, SCATTER
from latebreak.service.questions import FitResult
from latebreak.service.questions.fitting.moved import SURE, SURE_ENOUGH, chance_in_words
from latebreak.service.questions.fitting.result import Change
from latebreak.service.scenario import Scenario

#: Rows in their order: the mean pitch, what the hitter meets of it, its scatter.
_ORDER = [one for one in (*MEAN, *MEASURES, *SCATTER) if one.told is not None]
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


def pitch_changes(fitted: FitResult, scenario: Scenario, reader: Reader) -> dict[str, PitchChanges]:
    """Return the tables by the name of the pitch; empty where there is one session only."""
    tables = {}
    for key, changes in fitted.changes.items():
        earlier, *_, later = fitted.pitches[key].sessions
        rows = _rows(changes, reader, _ON_PAPER // len(fitted.changes))
        moved, still = [row for row in rows if row.verdict], [row for row in rows if not row.verdict]
        tables[scenario.called(key)] = PitchChanges(earlier, later, moved, still)
    return tables


def _rows(changes: Mapping[str, Change], reader: Reader, on_paper: int) -> list[ChangeRow]:
    told = [one for one in _ORDER if one.key in changes]
    chances = {one.key: changes[one.key].chance_percent for one in told}
    surest = sorted(chances, key=lambda key: -chances[key])[:on_paper]
    return [
        ChangeRow(
            one.name,
            change_of(one, reader).estimate(changes[one.key].estimate),
            chance_in_words(chances[one.key]),
            _verdict(chances[one.key]),
            one.key in surest,
        )
        for one in told
    ]


def _verdict(percent: float) -> str:
    if percent < SURE_ENOUGH:
        return ""
    return "changed" if round(percent) >= SURE else "perhaps"
