"""What the page says in its own words: what each number means to a coach, and what the model does not know."""

from __future__ import annotations

from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand

#: Keys of `compare` in the order of the page, in groups: what the group answers, then a sentence for each number.
GROUPS: dict[str, dict[str, str]] = {
    "Is it missed?": {
        "miss_chance_percent": "Of 100 swings at this pitch, so many come up empty.",
        "clean_contact_percent": "Swings that meet it square and on time; fewer is better.",
    },
    "How long does it hide?": {
        "same_line_separation_ft": (
            "From there a hitter's eye can tell it from a fastball on the same line out of the hand; nearer the plate "
            "hides it longer."
        ),
        "same_line_separation_before_arrival_ms": "The time that is left to him from then on.",
    },
    "How late does it break?": {
        "late_break_in": "What spin and seams still move it once he has to swing.",
        "late_break_share_percent": "Late movement as a share: the rest he had time to see coming.",
    },
    "When does he catch on?": {
        "recognition_ft": "There he is three quarters sure what it is, and stays so.",
        "recognition_before_arrival_ms": "The time that he can still use what he knows.",
        "belief_at_commit_percent": "How sure he is then of the right pitch; low means fooled.",
        "break_onset_ft": "There it first leaves the way he expects of the fastball.",
        "break_onset_before_arrival_ms": "The time he has to follow the bend.",
    },
    "Does it arrive where he thinks?": {
        "arrival_surprise_vertical_in": "Down: below the place he swings at; up: above it.",
        "arrival_surprise_side_in": "It comes in to that side of the place he swings at.",
        "arrival_surprise_rms_in": "How far the bat would have to be moved, whichever way.",
        "timing_surprise_ms": "Late: he would be out in front; early: he would be behind it.",
    },
    "How far apart do the two look?": {
        "path_gap_at_100ms_arcmin": "Just out of the hand, at his eye; 60 arcmin are one degree.",
        "path_gap_at_100ms_in": "As a distance beside the ball.",
        "path_gap_at_commit_arcmin": "Pitch and fastball when he has to go; wider is plainer.",
        "path_gap_at_commit_in": "As a distance beside the ball, at that moment.",
    },
}

#: Events that may never happen, by the start of their keys, and what is then said of the place and of the time.
NEVER = {
    "same_line_separation": ("all the way to the plate", "no time is left"),
    "recognition": ("never", "never"),
    "break_onset": ("never", "never"),
}

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


def who_pitches(scenario: Scenario) -> str:
    """Say who pitches."""
    pitcher = scenario.pitcher
    age = f", {pitcher.age_years:g} years" if pitcher.age_years is not None else ""
    level = pitcher.level.replace("_", " ")
    return f"{level.capitalize()} {pitcher.hand}-hander{age}; rubber to plate {scenario.field.rubber_to_plate_ft:g} ft"


def who_hits(scenario: Scenario) -> str:
    """Say who hits."""
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ").capitalize()
    return (
        f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g} of 1; has to commit "
        f"{hitter.commit_before_arrival_ms:g} ms before arrival"
    )


def left_and_right(hand: Hand) -> tuple[str, str]:
    """Name the sides of the plate as the hitter and the catcher see them."""
    sides = ("arm side", "glove side")  # a right-hander's arm side is to the catcher's left
    return sides if hand == "right" else (sides[1], sides[0])
