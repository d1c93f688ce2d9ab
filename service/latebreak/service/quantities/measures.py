"""Measures: what `compare` estimates of a pitch before a hitter. A measure is added or removed here, and nowhere else.

Order and groups are those of every table; a row is shown where the answer has the measure.
"""

from __future__ import annotations

from typing import Literal

from latebreak.service.quantities.quantity import FARTHER, HEIGHT, SIDE, TIME, Quantity, Told
from latebreak.service.quantities.units import FEET, INCHES, POINTS

#: The event that ends a pitch's likeness to the fastball: when sentences and figures say "leaves the tunnel".
HIDES = "tunnel_exit"

_PLATE = "from the plate"


def _event(
    key: str,
    name: str,
    meaning: str,
    time: str,
    better: Literal["more", "less", ""],
    *,
    until: str = "",
    short: str = "",
    never: tuple[str, str] = ("never", "never"),
    told: Told | None = None,
) -> tuple[Quantity, ...]:
    """Define the measures of an event that may never happen: where, when, and how many throws reach it.

    `better` is that of the distance from the plate; `never` says what stands for the place and for the time.
    """
    after: Literal["more", "less", ""] = {"less": "more", "more": "less"}.get(better, "")  # type: ignore[assignment]
    return (
        Quantity(
            f"{key}_ft", f"{name}{until}", short=short, meaning=meaning, better=better, matters=1.0, where=_PLATE,
            event=key, never=never[0], change_sign=FARTHER, told=told,
        ),
        Quantity(
            f"{key}_after_release_ms", f"{name}, after release", 0, better=after, matters=5.0, has_row=False, event=key,
        ),
        Quantity(
            f"{key}_before_arrival_ms", f"{name}, before arrival", 0, meaning=time, better=better, matters=5.0,
            part="before arrival", event=key, never=never[1],
        ),
        Quantity(
            f"{key}_reached_percent", f"{name}, share of the throws", 0, better=better, matters=5.0, has_row=False,
            event=key,
        ),
    )  # fmt: skip


#: By what a group of them answers.
GROUPS: dict[str, tuple[Quantity, ...]] = {
    "Is it missed?": (
        Quantity(
            "miss_chance_percent", "miss chance, per swing", short="misses", better="more", matters=1.0,
            meaning="Of 100 swings at this pitch, so many come up empty.",
            told=Told("missed more", "missed less", POINTS, 1, "points of swings"),
        ),
        Quantity(
            "clean_contact_percent", "clean contact, per swing", short="clean contact", better="less", matters=1.0,
            meaning="Swings that meet it square and on time; fewer is better.",
        ),
    ),
    "Does he swing, and what comes of it?": (
        Quantity("swing_percent", "swings", short="swings", matters=2.0,
                 meaning="Of 100 of these pitches, so many are swung at."),
        Quantity("zone_percent", "in the strike zone", matters=2.0,
                 meaning="Of 100 of these pitches, so many end in the zone."),
        Quantity("chase_percent", "chased, of those outside", short="chased", better="more", matters=2.0,
                 meaning="Of 100 that end outside the zone, so many are swung at."),
        Quantity("called_strike_percent", "called strikes", better="more", matters=1.0,
                 meaning="Of 100 of these pitches, so many are taken in the zone."),
        Quantity("swinging_strike_percent", "swinging strikes", better="more", matters=1.0,
                 meaning="Of 100 of these pitches, so many are swung at and missed."),
        Quantity("ball_percent", "balls", better="less", matters=1.0,
                 meaning="Of 100 of these pitches, so many are taken outside the zone; fewer is better."),
        Quantity("strike_without_contact_percent", "strikes without contact", better="more", matters=1.0,
                 meaning="Called, or swung at and missed: strikes that nobody can put in play."),
        Quantity("mix_strike_without_contact_percent", "strikes without contact, whole mix", better="more",
                 matters=0.5, short="strikes without contact per 100 pitches of the mix",
                 told=Told("more strikes without contact", "fewer strikes without contact", POINTS, 1,
                           "of 100 pitches of the mix"),
                 meaning="Of 100 pitches of the mix, the fastball among them, when hitters have this pitch in mind."),
    ),
    "How long does it hide?": (
        *_event(
            "tunnel_exit", "leaves the fastball's tunnel",
            "From there on what he sees is no fastball of this pitcher's any more; nearer the plate hides it longer.",
            "The time that is left to him from then on.",
            "less", short="where it leaves the tunnel", never=("all the way to the plate", "no time is left"),
            told=Told("leaves the fastball's tunnel sooner", "leaves the fastball's tunnel later", FEET),
        ),
    ),
    "How late does it break?": (
        Quantity(
            "late_break_in", "late break, after the commit point", short="late break", better="more", matters=0.5,
            meaning="What spin and seams still move it once he has to swing.", change_digits=2,
            told=Told("more late break", "less late break", INCHES),
        ),
        Quantity(
            "late_break_share_percent", "late break, share of the whole break", better="more", matters=5.0,
            part="share of the whole break",
            meaning="Late movement as a share: the rest he had time to see coming.",
        ),
        Quantity(
            "blind_break_in", "blind break, after the last look that counts", short="blind break", better="more",
            matters=0.5, change_digits=2,
            meaning="What spin and seams still move it after the last that he can use of what he sees.",
        ),
    ),
    "When does he catch on?": (
        *_event("recognition", "recognised", "There he knows what it is: three quarters sure, for good.",
                "The time that he can still use what he knows.", "less"),
        Quantity("belief_at_commit_percent", "belief in it at the decision", 0, better="less", matters=5.0,
                 meaning="How sure he is of the right pitch from what counts for the swing; low means fooled."),
        *_event("break_onset", "break can be seen", "There the bend itself first shows against a straight ball.",
                "The time he has to follow the bend.", "less"),
    ),
    "Does it arrive where he thinks?": (
        Quantity("arrival_surprise_vertical_in", "arrives off the forecast, up or down", 1, HEIGHT, matters=0.5,
                 meaning="Down: below the place he swings at; up: above it."),
        Quantity("arrival_surprise_side_in", "arrives off the forecast, to the side", 1, SIDE, matters=0.5,
                 part="and to the side", meaning="It comes in to that side of the place he swings at."),
        Quantity("arrival_surprise_rms_in", "arrives off the forecast, typical size of the miss", 1, better="more",
                 matters=0.5, part="typical size of the miss",
                 meaning="How far the bat would have to be moved, whichever way."),
        Quantity("timing_surprise_ms", "arrives off the forecast in time", 1, TIME, matters=2.0,
                 meaning="Late: he would be out in front; early: he would be behind it."),
    ),
    "How far apart do the two look?": (
        Quantity("path_gap_at_100ms_arcmin", "path gap 100 ms after release", 0, better="less", matters=5.0,
                 meaning="Just out of the hand, at his eye; 60 arcmin are one degree."),
        Quantity("path_gap_at_100ms_in", "path gap 100 ms after release, across the line of sight", 1, better="less",
                 matters=0.5, part="across the line of sight", meaning="As a distance beside the ball."),
        Quantity("path_gap_at_commit_arcmin", "path gap at the commit point", 0, better="less", matters=5.0,
                 meaning="Pitch and fastball when he has to go; wider is plainer."),
        Quantity("path_gap_at_commit_in", "path gap at the commit point, across the line of sight", 1, better="less",
                 matters=0.5, part="across the line of sight",
                 meaning="As a distance beside the ball, at that moment."),
    ),
}  # fmt: skip

MEASURES = tuple(measure for group in GROUPS.values() for measure in group)

#: The few by which a coach tells pitches apart: what the whole mix gains, then why.
DECIDING = (
    "mix_strike_without_contact_percent", "miss_chance_percent", "swing_percent", f"{HIDES}_ft", "late_break_in",
)  # fmt: skip

#: The few that sum a pitch up: columns where room is little.
MAIN = (
    "strike_without_contact_percent", "miss_chance_percent", "clean_contact_percent", f"{HIDES}_ft", "late_break_in",
)  # fmt: skip
