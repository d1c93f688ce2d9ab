"""The table of what changed between two sessions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from latebreak.service.quantities import MEASURES, QUANTITIES, Name, Reader, Said, Sentence, change_of, sentence
from latebreak.service.quantities.pitch import MEAN, SCATTER
from latebreak.service.questions import FitResult
from latebreak.service.questions.fitting.moved import SURE, SURE_ENOUGH, chance_in_words, moved
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.scenario import Scenario

#: Rows in their order: the mean pitch, what the hitter meets of it, its scatter.
_ORDER = [one for one in (*MEAN, *MEASURES, *SCATTER) if one.told is not None]


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
    """

    label: str
    change: Said
    chance: str
    verdict: str


@dataclass(frozen=True)
class PitchChanges:
    """What changed in one pitch.

    Attributes
    ----------
    earlier, later : str
        The sessions between which it did.
    headline : Sentence
        Whether it is missed more, in one sentence.
    told : tuple of str
        What else is sure to have moved, a sentence each.
    moved, still : list of ChangeRow
        Quantities that changed, or perhaps did; and those of which only chance shows.
    """

    earlier: str
    later: str
    headline: Sentence
    told: tuple[str, ...]
    moved: list[ChangeRow]
    still: list[ChangeRow]


def pitch_changes(fitted: FitResult, scenario: Scenario, reader: Reader, first: str) -> dict[str, PitchChanges]:
    """Return what changed by the name of the pitch, `first` before all others; empty where there is one session."""
    tables = {}
    for key in sorted(fitted.changes, key=lambda key: key != first):
        changes = fitted.changes[key]
        earlier, *_, later = fitted.pitches[key].sessions
        rows = _rows(changes, reader)
        moved_rows, still = [row for row in rows if row.verdict], [row for row in rows if not row.verdict]
        sure = {one: change for one, change in changes.items() if round(change.chance_percent) >= SURE}
        told = moved({one: sure[one] for one in sure if one != MEASURE}, fitted.pitches[key].values, reader)
        name = scenario.called(key)
        headline = _headline(Name(name), earlier, changes, told)
        tables[name] = PitchChanges(earlier, later, headline, told, moved_rows, still)
    return tables


def _headline(name: Name, earlier: str, changes: Mapping[str, Change], told: tuple[str, ...]) -> Sentence:
    """Say whether a pitch is missed more than in an earlier session; of a fastball, what moved most surely."""
    if MEASURE not in changes:
        said = f"{told[0][:1].lower()}{told[0][1:]}" if told else "nothing moved beyond chance."
        return sentence("{name} since {earlier}: {said}", name=name, earlier=earlier, said=said)
    change = changes[MEASURE]
    points, chance = change.estimate.value, change.chance_percent
    held: dict[str, str | Sentence] = {
        "name": name, "earlier": earlier, "by": f"{abs(points):.0f}", "way": "more" if points > 0.0 else "fewer",
        "sure": chance_in_words(chance),
    }  # fmt: skip
    if chance < SURE_ENOUGH or abs(points) < (QUANTITIES[MEASURE].matters or 0.0):
        return sentence("Hard to say whether {name} is missed more than in {earlier}.", **held)
    return sentence("{name} is missed on {by} {way} of 100 swings than in {earlier} (we are {sure} sure).", **held)


def _rows(changes: Mapping[str, Change], reader: Reader) -> list[ChangeRow]:
    told = [one for one in _ORDER if one.key in changes]
    chances = {one.key: changes[one.key].chance_percent for one in told}
    return [
        ChangeRow(
            one.name,
            change_of(one, reader).estimate(changes[one.key].estimate),
            chance_in_words(chances[one.key]),
            _verdict(chances[one.key]),
        )
        for one in told
    ]


def _verdict(percent: float) -> str:
    if percent < SURE_ENOUGH:
        return ""
    return "changed" if round(percent) >= SURE else "perhaps"
