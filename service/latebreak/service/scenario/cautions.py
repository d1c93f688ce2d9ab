"""Cautions beside the answers: advice such as "add 3 mph" can hurt an arm, above all a young one.

References
----------
Pitch Smart guideline, MLB and USA Baseball (2015 edition): daily maxima and days of rest by age; read. A later edition
widens two columns from 17 years on; both are shown.
American Academy of Pediatrics (2012), policy statement Baseball and Softball, Pediatrics: no curveball before 14, no
slider before 16; as summarised by others.
USA Baseball Medical & Safety Advisory Committee: breaking pitches are not advised at 9 to 14; as summarised by others.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from latebreak.service.scenario.model import Pitcher

GUIDELINE = "Pitch Smart, MLB and USA Baseball, 2015 edition"
DEFER = "Your local league's rules and licensed practice come first."
BUILD_UP = (
    "Build up gradually, keep the pitch-count and rest rules of the pitcher's age, and stop at pain. Medical questions "
    f"belong to a licensed clinician. {DEFER}"
)

#: Under this age guidance advises against breaking balls; up to the next one (exclusive) it puts sliders later.
CURVE_AGE, SLIDER_AGE = 14, 16


@dataclass(frozen=True)
class PitchCount:
    """A row of the guideline: ages in years, pitches a day, and pitches that ask for 0, 1, 2, ... days of rest."""

    youngest: int
    oldest: int
    daily_maximum: int
    rest: tuple[str, ...]


PITCH_COUNTS = (
    PitchCount(7, 8, 50, ("1-20", "21-35", "36-50")),
    PitchCount(9, 10, 75, ("1-20", "21-35", "36-50", "51-65", "66 or more")),
    PitchCount(11, 12, 85, ("1-20", "21-35", "36-50", "51-65", "66 or more")),
    PitchCount(13, 14, 95, ("1-20", "21-35", "36-50", "51-65", "66 or more")),
    PitchCount(15, 16, 95, ("1-30", "31-45", "46-60", "61-75", "76 or more")),
    PitchCount(17, 18, 105, ("1-30", "31-45", "46-60", "61-75 (later edition 61-80)", "76 (later 81) or more")),
    PitchCount(19, 22, 120, ("1-30", "31-45", "46-60", "61-75 (later edition 61-80)", "76 (later 81) or more")),
)


def cautions(pitcher: Pitcher, *, proposes_more: bool) -> tuple[str, ...]:
    """Return the cautions that belong to an answer.

    Parameters
    ----------
    pitcher : Pitcher
        Level, and age where it is known.
    proposes_more : bool
        Whether the answer proposes more speed, more spin or more throwing.

    Returns
    -------
    tuple of str
        Sentences; may be empty.
    """
    build_up = (BUILD_UP, pitch_count_rule(pitcher.age_years)) if proposes_more else ()
    return (*build_up, *_young_arm(pitcher))


def pitch_count_rule(age: float | None) -> str:
    """Word the pitch-count and rest rule of an age in years; defer to the league where the guideline has no row."""
    if age is None:
        return f"The pitcher's age is not given: find the pitch-count and rest rule of the age in {GUIDELINE}."
    row = next((row for row in PITCH_COUNTS if row.youngest <= floor(age) <= row.oldest), None)
    if row is None:
        return f"{GUIDELINE}, has no pitch-count row for the age of {floor(age)}: ask your league for its rule."
    rest = ", ".join(f"{days} after {pitches}" for days, pitches in enumerate(row.rest))
    ages = f"Ages {row.youngest} to {row.oldest} ({GUIDELINE})"
    return f"{ages}: at most {row.daily_maximum} pitches a day; days of rest by pitches thrown: {rest}."


def _young_arm(pitcher: Pitcher) -> tuple[str, ...]:
    age = pitcher.age_years
    is_unknown = " (no age is given, so the youngest is assumed)" if age is None else ""
    if age < CURVE_AGE if age is not None else pitcher.level == "youth":
        return (
            f"Published medical guidance advises against breaking balls under 14{is_unknown}: American Academy of "
            "Pediatrics (2012), no curveball before 14 and no slider before 16; USA Baseball's medical committee, no "
            f"breaking pitches at 9 to 14. {DEFER}",
        )
    if age < SLIDER_AGE if age is not None else pitcher.level == "high_school":
        return (
            "Published medical guidance (American Academy of Pediatrics, 2012) puts sliders at 16 or later"
            f"{', and the pitcher may be younger: no age is given' if age is None else ''}. {DEFER}",
        )
    return ()
