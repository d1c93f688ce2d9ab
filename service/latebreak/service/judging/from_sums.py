"""From sums over throws to the measures that are means, or made of means, each in the unit of its key."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.units import ARCMIN, INCH, MILLISECOND
from latebreak.service.judging.judged_pitch import FLIGHT_ROWS, SWING_ROWS

Array = NDArray[np.float64]

#: Measures that only flying tells, then those of the hitter.
OF_FLIGHT = (
    "path_gap_at_100ms_arcmin",
    "path_gap_at_100ms_in",
    "path_gap_at_commit_arcmin",
    "path_gap_at_commit_in",
    "late_break_in",
    "late_break_share_percent",
    "blind_break_in",
)
OF_SWING = (
    "swing_percent",
    "zone_percent",
    "chase_percent",
    "called_strike_percent",
    "swinging_strike_percent",
    "ball_percent",
    "strike_without_contact_percent",
    "miss_chance_percent",
    "clean_contact_percent",
    "belief_at_commit_percent",
    "arrival_surprise_vertical_in",
    "arrival_surprise_side_in",
    "arrival_surprise_rms_in",
    "timing_surprise_ms",
)
#: m: a break of less is the rounding of two flights that are alike.
_NO_BREAK = 1e-12


def _means(rows: tuple[str, ...], sums: Array, counts: Array) -> dict[str, Array]:
    """Means by row from sums (r, ...) over throws; NaN where none was kept."""
    return dict(zip(rows, np.where(counts > 0, sums / np.maximum(counts, 1.0), np.nan), strict=True))


def _share(part: Array, whole: Array) -> Array:
    """Percent of a whole; of nothing there is no share."""
    share: Array = 100.0 * np.divide(part, whole, out=np.full_like(whole, np.nan), where=whole > 0.0)
    return share


def flight_measures(sums: Array, counts: Array) -> dict[str, Array]:
    """Measures of flight in the units of their keys."""
    mean = _means(FLIGHT_ROWS, sums, counts)
    values = (
        mean["path_gap_at_100ms_angle"] / ARCMIN,
        mean["path_gap_at_100ms"] / INCH,
        mean["path_gap_at_commit_angle"] / ARCMIN,
        mean["path_gap_at_commit"] / INCH,
        mean["late_break"] / INCH,
        _share(mean["late_break"], np.where(mean["whole_break"] > _NO_BREAK, mean["whole_break"], 0.0)),
        mean["blind_break"] / INCH,
    )
    return dict(zip(OF_FLIGHT, values, strict=True))


def swing_measures(sums: Array, counts: Array) -> dict[str, Array]:
    """Measures of the hitter in the units of their keys; misses per swing are the mean over swings, not over throws."""
    mean = _means(SWING_ROWS, sums, counts)
    values = (
        100.0 * mean["swing"],
        100.0 * mean["zone"],
        _share(mean["chase"], 1.0 - mean["zone"]),
        100.0 * mean["called_strike"],
        100.0 * mean["swinging_strike"],
        100.0 * mean["ball"],
        100.0 * (mean["called_strike"] + mean["swinging_strike"]),
        _share(mean["swinging_strike"], mean["swing"]),
        _share(mean["clean"], mean["swing"]),
        100.0 * mean["belief_at_commit"],
        mean["vertical"] / INCH,
        mean["side"] / INCH,
        np.sqrt(mean["square"]) / INCH,
        mean["timing"] / MILLISECOND,
    )
    return dict(zip(OF_SWING, values, strict=True))
