"""The five moments of a pitch between hand and plate, and which of them happen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite

import numpy as np

from latebreak.service.quantities import HIDES
from latebreak.service.quantities.units import FEET, Units
from latebreak.service.questions import Estimate
from latebreak.service.questions.portrait import Portrait

Estimates = Mapping[str, Estimate]

#: An event that fewer throws reach is one that the median throw does not reach, percent.
_MEDIAN = 50.0
#: Label, marker, and what is said where it never comes, by the event's key.
_EVENTS = {
    HIDES: ("leaves the tunnel", "D", "stays in the tunnel"),
    "recognition": ("he knows it", "o", "he never knows it"),
    "break_onset": ("break can be seen", "^", "break can't be seen"),
}


@dataclass(frozen=True)
class Moment:
    """A moment.

    Attributes
    ----------
    name : str
        Key of the event, "decides" or "arrives".
    label : str
        As people say it.
    symbol : str
        Marker that stands for it.
    after_release_ms, away_ft : float or None
        Time after release, and distance from the plate's front edge; None where it never comes.
    """

    name: str
    label: str
    symbol: str
    after_release_ms: float | None
    away_ft: float | None

    def where(self, units: Units) -> str:
        """Say how far from the plate it is: "34.9 ft"; nothing where it never comes."""
        if self.away_ft is None:
            return ""
        scale = FEET.shown_in(units)
        return f"{scale.factor * self.away_ft:.1f} {scale.symbol}"


def moments_of(portrait: Portrait, estimates: Estimates) -> list[Moment]:
    """Return the moments of a pitch in their order; one of which no throw tells (none arrived) is left out."""
    found = []
    for name, (label, symbol, never) in _EVENTS.items():
        if f"{name}_reached_percent" not in estimates:
            continue
        reached = estimates[f"{name}_reached_percent"].value
        away, after = (estimates[f"{name}_{end}"].value for end in ("ft", "after_release_ms"))
        if reached < _MEDIAN:
            found.append(Moment(name, never, symbol, None, None))
        elif isfinite(away) and isfinite(after):
            found.append(Moment(name, label, symbol, after, away))
    track = portrait.thrown
    if isfinite(portrait.decided_ms):
        away_ft = float(np.interp(portrait.decided_ms, track.time_ms, track.from_plate_ft))
        found.append(Moment("decides", "must decide", "s", portrait.decided_ms, away_ft))
    found.append(Moment("arrives", "arrives", "|", float(track.time_ms[-1]), 0.0))
    return sorted(found, key=lambda one: np.inf if one.after_release_ms is None else one.after_release_ms)
