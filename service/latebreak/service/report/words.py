"""What the page says in its own words: the verdict for a coach, who plays, and what the model does not know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import QUANTITIES, Name, Reader, Sentence, chance_in_words, sentence, value_of
from latebreak.service.questions import CompareResult, Estimate
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.questions.verdict import ranked
from latebreak.service.scenario import Scenario

#: What a picture shows and what to look for, by kind.
PICTURES = {
    "side": ("From the side", "Where the paths part, and how much bend is left after he has to decide."),
    "top": ("From above", "The same from above: does it leave the fastball's line early or late?"),
    "arrival": ("At the plate", "Where the throws land, and where the hitter thinks the ball will be."),
    "belief": ("What he believes", "How sure he is of each pitch, moment by moment, while it flies."),
}

#: The three numbers of a pitch, with their heads.
THREE = {
    "swing_percent": "he swings at, of 100 pitches",
    MEASURE: "he misses, of 100 swings",
    "called_strike_percent": "called strikes, of 100 pitches",
}

#: What the model does not know.
LIMITS = (
    "Everything here is a model's estimate. The flight is held against published measurements. How a hitter sees and "
    "swings is known less well, so single numbers have wide intervals; the difference between two pitches is surer "
    "than either number.",
    "The hitter is a typical one of this level, not a person. The catcher, the umpire and what was thrown before are "
    "not in it.",
    "He looks, decides once and swings; that he may still hold back is not modelled.",
    "When he knows the pitch and when its break can be seen are the least sure.",
    "An error that all throws share, as of a device that reads too fast, is in no interval.",
)

INTERVALS = (
    "Small print under a number is its 90 % interval: nine times of ten the truth should lie in it, for what is not "
    "known of the flight, the hitter and the pitcher's means."
)
NO_INTERVALS = "No intervals were asked for: how sure a number is can't be said here."


@dataclass(frozen=True)
class _Told:
    """How the measure that decides is told: who is ahead, and what its number means."""

    ahead: str
    number: str
    which: str
    both: str


#: By measure; any other measure is told by its name.
_TOLD = {
    MEASURE: _Told(
        "{one} fools more hitters", "about {most} of 100 swings miss it", "Hard to say which fools more hitters",
        "about {most} of 100 swings miss {one}, {less} {next}",
    ),
    MIX: _Told(
        "{one} makes the better mix", "with it about {most} of 100 pitches are strikes that nobody touches",
        "Hard to say which makes the better mix",
        "about {most} of 100 pitches are strikes that nobody touches with {one}, {less} with {next}",
    ),
}  # fmt: skip


def verdict(scenario: Scenario, result: CompareResult) -> Sentence:
    """Say in one sentence which pitch is better, by the measure that decides, and how sure that is."""
    measure = result.better.measure
    order = ranked(result.pitches, measure)
    names = [Name(scenario.called(key)) for key in order]
    digits = 0 if measure == MEASURE else 1  # differences of a mix are small
    numbers = [_rounded(result.pitches[key][measure], digits) for key in order]
    if len(order) == 1:
        return sentence("{one}: {misses}.", one=names[0], misses=_alone(result.pitches[order[0]]))
    better, brief = result.better, QUANTITIES[measure].brief
    told = _TOLD.get(measure) or _Told(
        "{one} is ahead",
        brief + " {most}",
        "Hard to say which is ahead",
        brief + " {most} for {one}, {less} for {next}",
    )
    held: dict[str, str | Sentence] = {
        "one": names[0], "next": names[1], "most": numbers[0], "less": numbers[1],
        "sure": "" if better.chance_percent is None else f"{chance_in_words(better.chance_percent)} sure",
    }  # fmt: skip
    if better.pitch is not None:
        other = "the other" if len(order) == 2 else sentence("the next, {next}", next=names[1])
        with_it = "with " if measure == MIX else ""
        sure = " (we are {sure})" if held["sure"] else ""
        pattern = f"{told.ahead}: {told.number}, {{less}} {with_it}{{other}}{sure}."
        return sentence(pattern, other=other, **held)
    if not better.matters:
        return sentence(f"No difference worth a choice: {told.both}.", **held)
    sure = " (we are only {sure})" if held["sure"] else ""
    return sentence(f"{told.which}: {told.both}{sure}.", **held)


def _alone(estimates: Mapping[str, Estimate]) -> str:
    estimate = estimates[MEASURE]
    said = f"about {_rounded(estimate)} of 100 swings miss it"
    if estimate.low is None or estimate.high is None or not isfinite(estimate.low + estimate.high):
        return said
    return f"{said} (probably {estimate.low:.0f} to {estimate.high:.0f})"


def _rounded(estimate: Estimate, digits: int = 0) -> str:
    return f"{estimate.value:.{digits}f}" if isfinite(estimate.value) else "an unknown number"


def who_pitches(scenario: Scenario, reader: Reader) -> str:
    """Say who pitches."""
    pitcher = scenario.pitcher
    age = f", {pitcher.age_years:g} years" if pitcher.age_years is not None else ""
    level = pitcher.level.replace("_", " ")
    rubber = value_of(QUANTITIES["rubber_to_plate_ft"], reader).exactly(scenario.field.rubber_to_plate_ft)
    return f"{level.capitalize()} {pitcher.hand}-hander{age}; rubber to plate {rubber}"


def who_hits(scenario: Scenario) -> str:
    """Say who hits."""
    hitter = scenario.hitter
    known = ("never saw this pitcher", "has seen little of him", "has seen him before", "knows him well")
    level = hitter.level.replace("_", " ").capitalize()
    count = "" if hitter.balls is None or hitter.strikes is None else f", count {hitter.balls}-{hitter.strikes}"
    return f"{level} hitter, bats {hitter.bats}, {known[min(3, int(4.0 * hitter.familiarity))]}{count}"
