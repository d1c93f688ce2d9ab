"""Measures of a swept question, and the columns that each of them fills in a table."""

from __future__ import annotations

from typing import Literal

#: Questions that can be swept.
Question = Literal["compare", "fly"]

_EVENTS = ("same_line_separation", "recognition", "break_onset")
_OF_AN_EVENT = ("ft", "after_release_ms", "before_arrival_ms", "reached_percent")

#: Every measure of each question, the ones that decide first; units are in the keys.
MEASURES: dict[Question, tuple[str, ...]] = {
    "compare": (
        "miss_chance_percent",
        "clean_contact_percent",
        *(f"{event}_{key}" for event in _EVENTS for key in _OF_AN_EVENT),
        "belief_at_commit_percent",
        "late_break_in",
        "late_break_share_percent",
        "arrival_surprise_vertical_in",
        "arrival_surprise_side_in",
        "arrival_surprise_rms_in",
        "timing_surprise_ms",
        "path_gap_at_100ms_arcmin",
        "path_gap_at_100ms_in",
        "path_gap_at_commit_arcmin",
        "path_gap_at_commit_in",
    ),
    "fly": (
        "flight_time_s",
        "arrival_speed_mph",
        "arrival_side_ft",
        "arrival_height_ft",
        "induced_vertical_break_in",
        "induced_side_break_in",
        "vertical_approach_deg",
        "side_approach_deg",
        "launch_elevation_deg",
        "launch_azimuth_deg",
    ),
}


def parts(question: Question, intervals: bool) -> dict[str, str]:
    """Return the parts of a measure: the ending of the column, and the key in the answer's JSON.

    `_low` and `_high` are the 90 % interval of an estimate for compare, and 5 % and 95 % of the throws for fly.
    """
    if question == "fly":
        return {"": "mean", "_sd": "sd", "_low": "low", "_high": "high", "_sampling_error": "sampling_error"}
    interval = {"_low": "low", "_high": "high"} if intervals else {}
    return {"": "value", **interval, "_sampling_error": "sampling_error"}
