"""Numbers of the answers as the page says them: in the units that were asked for, with a unit always."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isfinite

from latebreak.service.questions import Estimate
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.phrases import Phrase
from latebreak.service.units import Units, show_in


@dataclass(frozen=True)
class Said:
    """A number in words.

    Attributes
    ----------
    value : str
        The number with its unit, or words where nothing can be said.
    interval : str
        Its 90 % interval with unit, or words on why there is none; empty where there is nothing to add.
    where : str
        From where a distance is told; empty where that is plain.
    """

    value: str
    interval: str = ""
    where: str = ""


def say(phrase: Phrase, estimate: Estimate, hand: Hand, units: Units) -> Said:
    """Say an estimate and its interval.

    Parameters
    ----------
    phrase : Phrase
        How the quantity is said in US units.
    estimate : Estimate
        In the unit of the phrase.
    hand : {"right", "left"}
        Of the pitcher, for arm side and glove side.
    units : {"us", "metric"}
        Units of the page.
    """
    if not isfinite(estimate.value):
        return Said("no throw arrived")
    shown, factor = in_units(phrase, units)
    unit, _, where = shown.unit.partition(" ")
    shown = replace(shown, unit=unit)
    value = _close(shown.say(factor * estimate.value, hand))
    low, high = estimate.low, estimate.high
    if low is None or high is None:
        return Said(value, _sampling(shown, factor * estimate.sampling_error), where)
    if not (isfinite(low) and isfinite(high)):
        return Said(value, "no interval: too few draws arrive", where)
    return Said(value, say_range(shown, factor * low, factor * high, hand), where)


def say_range(phrase: Phrase, low: float, high: float, hand: Hand) -> str:
    """Say a range with its unit, in the unit of the phrase; where the ends differ in direction both are named."""
    plain = phrase.say_range(low, high, hand)
    if all(not character.isalpha() for character in plain.replace(" to ", "")):
        return _close(f"{plain} {phrase.unit}")
    return _close(" to ".join(phrase.say(end, hand) for end in (low, high)))


def in_units(phrase: Phrase, units: Units) -> tuple[Phrase, float]:
    """Return how a quantity is said in the units of the page, and the factor to them."""
    unit, *where = phrase.unit.split(" ", 1)
    scale = show_in(units, unit)
    digits = max(0, phrase.digits + scale.digits_more)
    return replace(phrase, unit=" ".join([scale.symbol, *where]), digits=digits), scale.factor


def _close(words: str) -> str:
    """Close the gap that a coefficient leaves where others have their unit."""
    return " ".join(words.split())


def _sampling(phrase: Phrase, error: float) -> str:
    if not (isfinite(error) and error > 0.0):
        return ""
    return f"Monte Carlo error {error:.1g} {phrase.unit}"
