"""What the page says in its own words: what each picture shows, who plays, and what the model does not know."""

from __future__ import annotations

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.quantities.quantity import SIDE
from latebreak.service.scenario import Scenario

#: What a picture shows and what to look for, by kind.
PICTURES = {
    "side": ("From the side", "Where the paths part, and how much bend is left after the commit point."),
    "top": ("From above", "The same from above: does it leave the fastball's line early or late?"),
    "arrival": (
        "At the plate",
        "Where the throws land, and where the hitter thinks the ball will be when he has to go.",
    ),
    "belief": ("What he believes", "How sure he is of each pitch, moment by moment, while it flies."),
}

#: What the model does not know.
LIMITS = (
    "Everything here is a model's estimate. The flight is held against published measurements. How a hitter sees and "
    "swings is known less well, so single numbers have wide intervals; the difference between two pitches is surer "
    "than either number.",
    "Whether a hitter takes the pitch is not modelled, nor the count, the catcher or what was thrown before.",
    "The hitter is a typical one of this level, not a person.",
    "When the pitch is recognised and when the break appears are the least sure: the model tells both early.",
    "An error that all throws share, as of a device that reads too fast, is in no interval.",
)

INTERVALS = (
    "Small print under a number is its 90 % interval, over what is not known of the flight, the hitter and the "
    "pitcher's means."
)
NO_INTERVALS = "No intervals were asked for: how sure a number is can't be said here."


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
    level = hitter.level.replace("_", " ").capitalize()
    return (
        f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g} of 1; has to commit "
        f"{hitter.commit_before_arrival_ms:g} ms before arrival"
    )


def left_and_right(reader: Reader) -> tuple[str, str]:
    """Name the sides of the plate as the hitter and the catcher see them."""
    right, left = reader.sides(SIDE)
    return left, right
