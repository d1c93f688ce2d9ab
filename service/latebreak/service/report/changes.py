"""The table of what changed between two sessions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from latebreak.service.quantities import (
    MEASURES,
    QUANTITIES,
    SPREAD,
    Name,
    Reader,
    Said,
    Sentence,
    chance_in_words,
    change_of,
    sentence,
    told_of,
)
from latebreak.service.quantities.pitch import MEAN, SCATTER
from latebreak.service.questions import FitResult
from latebreak.service.questions.fitting.moved import SURE, SURE_ENOUGH
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.verdict import MEASURE
from latebreak.service.scenario import Scenario

#: Rows in their order: the mean pitch, what the hitter meets of it, its scatter.
_ORDER = [one for one in (*MEAN, *MEASURES, *SCATTER) if one.told is not None]

#: Changes that are said at the head of the page (chosen: what is read in a breath).
_SAID = 4


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
        Whether it does more by the measure that decides, in one sentence.
    surest : str
        What else is sure to have moved, the surest first, in a few words.
    moved, still : list of ChangeRow
        Quantities that changed, or perhaps did; and those of which only chance shows.
    """

    earlier: str
    later: str
    headline: Sentence
    surest: str
    moved: list[ChangeRow]
    still: list[ChangeRow]


def pitch_changes(fitted: FitResult, scenario: Scenario, reader: Reader, first: str) -> dict[str, PitchChanges]:
    """Return what changed by the name of the pitch, `first` before all others; empty where there is one session."""
    tables = {}
    for key in sorted(fitted.changes, key=lambda key: key != first):
        changes = fitted.changes[key]
        earlier, *_, later = fitted.pitches[key].sessions
        rows = _rows(changes, reader)
        moved, still = [row for row in rows if row.verdict], [row for row in rows if not row.verdict]
        surest = _surest(changes, reader)
        name = scenario.called(key)
        headline = _headline(Name(name), earlier, changes, surest)
        tables[name] = PitchChanges(earlier, later, headline, surest, moved, still)
    return tables


def _headline(name: Name, earlier: str, changes: Mapping[str, Change], surest: str) -> Sentence:
    """Say whether a pitch makes a better mix than in an earlier session; of a fastball, what moved most surely."""
    if MEASURE not in changes:
        said = surest or "nothing moved beyond chance"
        return sentence("{name} since {earlier}: {said}.", name=name, earlier=earlier, said=said)
    change = changes[MEASURE]
    points, chance = change.estimate.value, change.chance_percent
    held: dict[str, str | Sentence] = {
        "name": name, "earlier": earlier, "by": f"{abs(points):.1f}", "way": "more" if points > 0.0 else "fewer",
        "sure": chance_in_words(chance),
    }  # fmt: skip
    if chance < SURE_ENOUGH or abs(points) < (QUANTITIES[MEASURE].matters or 0.0):
        return sentence("Hard to say whether {name} makes more strikes that nobody touches than in {earlier}.", **held)
    pattern = "{name}: {by} {way} strikes that nobody touches, of 100 pitches, than in {earlier} (we are {sure} sure)."
    return sentence(pattern, **held)


def _surest(changes: Mapping[str, Change], reader: Reader) -> str:
    """Say in a few words what moved for sure: "faster by 2.3 mph; cleaner axis by 17 points of efficiency"."""
    found = []
    for key, change in changes.items():
        wording = told_of(QUANTITIES[key], reader)
        if wording is None or key == MEASURE or key.startswith(SPREAD) or round(change.chance_percent) < SURE:
            continue
        value = change.estimate.value
        found.append((change.chance_percent, f"{wording.sign[value < 0.0]} by {wording.amount(value)}"))
    found.sort(key=lambda one: -one[0])
    return "; ".join(words for _, words in found[:_SAID])


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
