"""Published numbers on hitters, each once, under the name by which `league` and `experiments` answer for the model.

Statuses of sources: read, secondary (quoted by others), memory (recalled, not seen), figure (measured off one),
computed (from stated numbers), practice (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, log, nan
from typing import Literal

from latebreak.perception.calibration.league import COUNTS

Status = Literal["read", "secondary", "memory", "figure", "computed", "practice"]


@dataclass(frozen=True)
class Published:
    """A published number and how far the model may be from it.

    Attributes
    ----------
    what, unit : str
        In words; the unit is "%", "points" (of a percent), "odds ratio", "in", "ms", "share", "pairs".
    value, low, high : float
        The number (nan where only its sign is known) and what counts as inside: the published interval, where there
        is one; else chosen. A bound that does not exist is infinite.
    source : str
        Where it stands.
    status : str
        How it is known.
    sd : float or None
        SD with which the fit holds it, in its unit (of the logarithm for an odds ratio), chosen; None = only compared.
    """

    what: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    status: Status
    sd: float | None = None

    @property
    def use(self) -> str:
        """In the fit: "fitted" or "compared"."""
        return "compared" if self.sd is None else "fitted"

    def holds(self, figure: float) -> bool:
        """Tell whether a figure of the model is inside."""
        return self.low <= figure <= self.high

    def off(self, figure: float) -> float:
        """How many SDs of the fit a figure of the model is off; 0 for what is only compared."""
        if self.sd is None:
            return 0.0
        ratio = self.unit == "odds ratio"
        return (log(figure / self.value) if ratio else figure - self.value) / self.sd


_TABLE_2024 = "web tables, professional: misses and swings by type 2024; misses per pitch"
_SWINGS_1M = "public repository report 2016: 1.2M professional swings"
_COUNTS_2012 = "web article 2012: swings by count in the zone, tracked seasons"
_PLACE = "web tables and articles 2013 and 2017: in and out of the zone, professional"
_THIRDS = "web article 2020: misses at four-seams by third of the zone"
_ELMORE = "Elmore and Matthews (2022), 8,274 pitches"
_BRANTLEY = "Brantley and Koerding (2022)"
_ISHIGAKI = "Ishigaki and Fukuda (1997)"

#: Misses per swing, %, by kind: mean of the table of 2024 (13.1, 20.9, 21.4, 26.2, 28.8, 31.5 in this order) and of
#: misses per pitch in another over swings per pitch in this one (11.8, 14.4, 19.8, 30.7, 27.3, 31.5), which differ by
#: up to 6.5 points; sweeper and splitter of 2024 alone. Inside is within 7 points (chosen: what leagues and years
#: differ by).
_MISSES = {
    "sinker": 12.5, "four_seam": 17.7, "cutter": 20.6, "changeup": 28.5, "curve": 28.0, "slider": 31.5,
    "sweeper": 29.0, "splitter": 29.7,
}  # fmt: skip
#: SDs with which the fit holds them, points: small enough that the six kinds come out in their order (chosen; with 2
#: points the fitted days keep 4 of their log likelihood more, and curves are missed more than sliders).
_SD_OF_MISSES = {
    "sinker": 0.6, "four_seam": 0.9, "cutter": 0.6, "changeup": 0.6, "curve": 0.6, "slider": 0.6,
    "sweeper": 4.0, "splitter": 4.0,
}  # fmt: skip
#: Swings per pitch, %, by kind, 2024; inside is within 6 points (chosen).
_SWINGS = {
    "four_seam": 47.9, "sinker": 45.9, "cutter": 49.1, "slider": 48.3, "sweeper": 44.8, "curve": 40.6,
    "changeup": 48.5, "splitter": 51.5,
}  # fmt: skip
#: Swings at what is in the zone, %, in the order of `COUNTS` (0-0, 0-1, 0-2, 1-0 ...); inside is within 8 points
#: (chosen).
_BY_COUNT = (37, 71, 85, 57, 76, 88, 56, 80, 90, 10, 74, 93)
#: Weight of the expected height in the height of contact.
_PULLS = {"four_seam": 0.0215, "slider": 0.0232, "changeup": 0.0169, "curve": 0.016}


def _name(kind: str) -> str:
    return kind.replace("_", "-") + "s"


def _league() -> dict[str, Published]:
    rows = {
        f"misses_{kind}": Published(
            f"misses per swing at {_name(kind)}", miss, miss - 7.0, miss + 7.0, "%", _TABLE_2024, "secondary",
            _SD_OF_MISSES[kind],
        )
        for kind, miss in _MISSES.items()
    }  # fmt: skip
    rows["misses_in_order"] = Published(
        "pairs in order of misses: sinker, four-seam, cutter, curve, changeup, slider", 15, 14, 15, "pairs",
        "web table: misses per pitch, professional tracking; in 2024 curve and changeup change places", "secondary",
    )  # fmt: skip
    rows |= {
        f"swings_{kind}": Published(
            f"swings at {_name(kind)}", swing, swing - 6.0, swing + 6.0, "%", _TABLE_2024, "secondary"
        )
        for kind, swing in _SWINGS.items()
    }
    rows |= {
        "swings_in_zone": Published("swings at what is in the zone", 66.0, 62.0, 70.0, "%", _PLACE, "secondary", 3.0),
        "swings_out_of_zone": Published("swings outside the zone", 30.5, 26.0, 35.0, "%", _PLACE, "secondary", 3.0),
        "misses_in_zone": Published("misses per swing in the zone", 13.8, 9.8, 17.8, "%", _PLACE, "secondary", 2.0),
        "misses_out_of_zone": Published(
            "misses per swing outside the zone", 35.5, 29.5, 41.5, "%", _PLACE, "secondary", 3.0
        ),
        "chases_before_two_strikes": Published(
            "swings outside the zone before two strikes", 23.0, 18.0, 28.0, "%", "web article 2021: 147 hitters", "read"
        ),
        "more_chases_with_two_strikes": Published(
            "swings outside the zone: more with two strikes", nan, 0.0, inf, "points", "common practice, no source",
            "practice",
        ),
    }  # fmt: skip
    rows |= {
        f"swings_in_zone_{balls}_{strikes}": Published(
            f"swings in the zone at {balls}-{strikes}",
            value,
            value - 8.0,
            min(value + 8.0, 100.0),
            "%",
            _COUNTS_2012,
            "read",
            6.0,
        )
        for (balls, strikes), value in zip(COUNTS, _BY_COUNT, strict=True)
    }
    return rows


_SIZES = {
    "four_seam_top": Published("misses at four-seams, top third of the zone", 26.4, 20.4, 32.4, "%", _THIRDS, "read"),
    "four_seam_middle": Published("the same, middle third", 16.2, 10.2, 22.2, "%", _THIRDS, "read"),
    "four_seam_bottom": Published("the same, bottom third", 12.3, 8.3, 16.3, "%", _THIRDS, "read"),
    "four_seam_top_to_bottom": Published(
        "odds of a miss at four-seams, top over bottom third", 2.56, 1.7, 3.8, "odds ratio", _THIRDS, "computed", 0.2
    ),
    "four_seam_90_to_96": Published(
        "four-seam 96 against 90 mph, misses", 6.0, 3.0, 9.0, "points", f"{_SWINGS_1M}; web article 2026", "figure", 2.0
    ),
    "four_seam_96_to_98": Published(
        "four-seam 98 against 96 mph, misses", 2.5, 1.5, 5.0, "points", f"{_SWINGS_1M}; 2.4 per mph to 100", "figure",
        1.5,
    ),
    "curve_72_to_76": Published(
        "curve 76 against 72 mph, misses", 0.0, -4.0, 4.0, "points", "web article 2012: 254 pitchers", "read", 2.5
    ),
    "curve_76_to_82": Published(
        "curve 82 against 76 mph, misses", 6.0, 2.0, 10.0, "points", "web article 2012: 254 pitchers", "read", 2.5
    ),
    "slider_81_to_88": Published(
        "slider 88 against 81 mph, misses", 0.5, -4.5, 5.5, "points", _SWINGS_1M, "figure", 3.0
    ),
    "changeup_81_to_88": Published(
        "changeup 88 against 81 mph, misses", -3.5, -8.5, 1.5, "points", _SWINGS_1M, "figure", 3.0
    ),
    "curve_beside_86_to_98": Published(
        "curve beside a fastball of 98 against 86 mph, misses", nan, 0.0, inf, "points", "common practice, no source",
        "practice",
    ),
    "same_side": Published(
        "misses more on the pitcher's own side", 1.6, 0.0, 6.0, "points",
        "web article 2013: strikeouts +1.4 (right) and +5.0 (left) points; 0.87 points a point of misses (web article "
        "2019)", "computed",
    ),
    "familiarity": Published(
        "misses fewer by a hitter who has scouted all than at a first look", 4.8, 0.0, 8.0, "points",
        "web table 2011: strikeouts 20.2 to 16.0 % from the first time to the third; 0.87 points a point of misses",
        "computed",
    ),
    "familiar_curve": Published(
        "misses at a curve by a hitter who has scouted it", nan, 12.0, inf, "%", "common practice, no source",
        "practice",
    ),
}  # fmt: skip

_EXPERIMENTS = {
    "contact_fastball": Published(
        "contact with a four-seam in the zone", 81.0, 75.0, 88.0, "%", "common level of professional hitting", "memory"
    ),
    "contact_not_fastball": Published(
        "contact with slider, curve and changeup", 70.0, 60.0, 80.0, "%", "common level of professional hitting",
        "memory",
    ),
    "told_contact": Published(
        "contact on what is no fastball: odds with the type known over odds without", 1.805, 1.342, 2.675, "odds ratio",
        _ELMORE, "read",
    ),
    "told_swings": Published("swings: the same", 0.725, 0.618, 0.850, "odds ratio", _ELMORE, "read"),
    "sweet_spot": Published(
        "hits on the sweet spot, known machine fastball (skilled amateurs)", 33.0, 28.0, 38.0, "%",
        "Kidokoro and Yanai (2017)", "read",
    ),
    "timing": Published(
        "SD of the timing at its best (falling balls; here a machine fastball)", 7.0, 5.0, 9.0, "ms",
        "Brenner, Driesen and Smeets (2014)", "read",
    ),
    "called_after_a_third": Published(
        "strike calls right after a third of the flight", 60, 53, 67, "%", _ISHIGAKI, "secondary"
    ),
    "called_after_four_fifths": Published(
        "the same after four fifths, over after the whole", 1.0, 0.95, 1.0, "share", _ISHIGAKI, "read"
    ),
    "taken_for_slower": Published(
        "95 mph taken for 90 arrives above the forecast by", 3.0, 2.0, 3.5, "in",
        "Bahill and Karnavas (1993), memory; 2.06 to 3.43 computed", "memory",
    ),
    "random_speeds": Published(
        "70 and 85 mph missed more where any speed is expected than where these two are", nan, 0.0, inf, "points",
        "Gray (2002): two speeds are met better than random ones; size not found", "memory",
    ),
    "later_view": Published(
        "misses more where the view begins 100 ms later", nan, 0.0, inf, "points",
        "Valkanidis (2020): hand errors +1.5 to +3.6 cm without the first 200 ms; size in misses not known", "read",
    ),
} | {
    f"pull_{kind}": Published(
        f"weight of the expected height in contact with {_name(kind)}", value, 0.010, 0.030, "share", _BRANTLEY,
        "figure",
    )
    for kind, value in _PULLS.items()
}  # fmt: skip

PUBLISHED: Mapping[str, Published] = {**_league(), **_SIZES, **_EXPERIMENTS}
