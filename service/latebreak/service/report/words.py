"""What the page says in its own words: the verdict for a coach, who plays, and what the model does not know."""

from __future__ import annotations

from math import isfinite

from latebreak.service.judging.whole_mix import MIX
from latebreak.service.quantities import QUANTITIES, Name, Reader, Sentence, chance_in_words, sentence, value_of
from latebreak.service.questions import CompareResult, Estimate
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
    "miss_chance_percent": "he misses, of 100 swings",
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


def verdict(scenario: Scenario, result: CompareResult) -> Sentence:
    """Say in one sentence which pitch makes the better mix, and how sure that is."""
    order = ranked(result.pitches, MIX)
    names = [Name(scenario.called(key)) for key in order]
    if len(order) == 1:
        pattern = "With {one} about {most} of 100 pitches are strikes that nobody touches{probably}."
        only = result.pitches[order[0]][MIX]
        return sentence(pattern, one=names[0], most=_rounded(only), probably=_probably(only))
    better = result.better
    chance = None if better.chance_percent is None else chance_in_words(better.chance_percent)
    held: dict[str, str | Sentence] = {
        "one": names[0], "next": names[1],
        "most": _rounded(result.pitches[order[0]][MIX]), "less": _rounded(result.pitches[order[1]][MIX]),
        "other": "the other" if len(order) == 2 else sentence("the next, {next}", next=names[1]),
    }  # fmt: skip
    if better.pitch is not None:
        pattern = (
            "{one} makes the better mix: with it about {most} of 100 pitches are strikes that nobody touches, {less} "
            "with {other}{sure}."
        )
        return sentence(pattern, sure="" if chance is None else f" (we are {chance} sure)", **held)
    both = "about {most} of 100 pitches are strikes that nobody touches with {one}, {less} with {next}"
    if not better.matters:
        return sentence(f"No difference worth a choice: {both}.", **held)
    sure = "" if chance is None else f" (we are only {chance} sure)"
    return sentence(f"Hard to say which makes the better mix: {both}{{sure}}.", sure=sure, **held)


def _probably(estimate: Estimate) -> str:
    low, high = estimate.low, estimate.high
    return "" if low is None or high is None or not isfinite(low + high) else f" (probably {low:.1f} to {high:.1f})"


def _rounded(estimate: Estimate) -> str:
    """Tenths: differences of a mix are small."""
    return f"{estimate.value:.1f}" if isfinite(estimate.value) else "an unknown number"


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
