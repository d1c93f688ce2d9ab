"""Whole throws that are none of their pitch: slips, and throws of another pitch under a wrong name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import inf, sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import QUANTITIES
from latebreak.service.throws.groups import Columns, Group
from latebreak.service.throws.other_unit import INSIDE
from latebreak.service.throws.table import Written, value_in_words

#: Quantities in which a throw can be a slip, and the aspect of the throw that each tells of: the axis and the movement
#: that it makes are one. Where a throw is released and where it arrives does not say which pitch it was; efficiency is
#: crowded at 100 % and lopsided.
ASPECTS = {
    "speed_mph": "speed",
    "spin_rpm": "spin",
    "break_clock_deg": "axis",
    "gyro_deg": "axis",
    "induced_vertical_break_in": "axis",
    "induced_side_break_in": "axis",
}
#: Part of the cut that suffices where two aspects are beyond it (chosen: two that are independent and each rarer than
#: 1 in 500 are together rarer than one beyond the cut).
TWO_ASPECTS = 0.7
#: Root mean square distance from the own pitch, in scales, from which a throw may be another pitch (chosen, held by the
#: tests of false alarms), and in how many quantities at least both are known (chosen: one may agree by chance).
FAR_FROM_OWN, FEWEST_QUANTITIES = 4.0, 2


@dataclass(frozen=True, eq=False)
class Distances:
    """How far the throws of a group are from its middle.

    Attributes
    ----------
    keys : list of str
        Quantities with a location, of those in `ASPECTS`.
    of_cut : float64 array, shape (keys, n)
        Distance as a part of the cut; 0 where not measured.
    rms : float64 array, shape (n,)
        Root mean square over the measured quantities, in scales.
    measured : bool array, shape (keys, n)
        What was measured.
    """

    keys: list[str]
    of_cut: NDArray[np.float64]
    rms: NDArray[np.float64]
    measured: NDArray[np.bool_]

    @property
    def is_slip(self) -> NDArray[np.bool_]:
        """Whether a throw is beyond the cut in one quantity, or nearly so in two aspects; shape (n,)."""
        aspects = np.array([ASPECTS[key] for key in self.keys])
        nearly = [(self.of_cut[aspects == one] > TWO_ASPECTS).any(axis=0) for one in set(aspects.tolist())]
        return np.asarray((self.of_cut > 1.0).any(axis=0) | (np.sum(nearly, axis=0) >= 2))

    @property
    def may_be_other(self) -> NDArray[np.bool_]:
        """Whether a throw is so far off that it may be another pitch; shape (n,)."""
        is_known = self.measured.sum(axis=0) >= FEWEST_QUANTITIES
        return np.asarray(self.is_slip | ((self.rms > FAR_FROM_OWN) & is_known))

    def farthest(self, place: int) -> list[str]:
        """Return the measured quantities of a throw, the farthest first."""
        order = np.argsort(-self.of_cut[:, place], kind="stable").tolist()
        return [self.keys[i] for i in order if self.measured[i, place]]


def misnamed_throws(
    group: Group, pitches: Mapping[str, Group], columns: Columns, written: Mapping[str, Written]
) -> Iterator[tuple[int, str]]:
    """Find the throws of a group that lie in the middle of another pitch.

    Parameters
    ----------
    group : Group
        The throws that are judged.
    pitches : mapping of str to Group
        Every pitch of the table, over all sessions.
    columns : mapping of str to float64 array, shape (n,)
        The table, in canonical units; possible values only.
    written : mapping
        How the file writes its quantities.

    Yields
    ------
    tuple of int and str
        Row and reason.
    """
    distances = _distances(group, columns)
    if distances is None:
        return
    others = {name: one for name, one in pitches.items() if name != group.pitch}
    for place in np.flatnonzero(distances.may_be_other).tolist():
        row, far = int(group.rows[place]), distances.farthest(place)
        other = _lies_in({key: float(columns[key][row]) for key in far}, others)
        if other:
            differences = _differences(far[:2], row, group, columns, written)
            yield row, f"named {group.pitch}, but like the throws of {other}: {differences}; the throw is not used"


def slips(group: Group, columns: Columns, written: Mapping[str, Written]) -> Iterator[tuple[int, str]]:
    """Find the throws of a group that are far from the others; arguments and yield as of `misnamed_throws`."""
    distances = _distances(group, columns)
    if distances is None:
        return
    for place in np.flatnonzero(distances.is_slip).tolist():
        row, far = int(group.rows[place]), distances.farthest(place)
        nearly = [key for key in far if distances.of_cut[distances.keys.index(key), place] > TWO_ASPECTS]
        differences = _differences(nearly, row, group, columns, written)
        yield row, f"far from the others of {group.pitch}: {differences}; the throw is not used"


def _distances(group: Group, columns: Columns) -> Distances | None:
    keys = [key for key in ASPECTS if key in group.locations]
    if not keys:
        return None
    scales = np.array([group.locations[key].distance(columns[key][group.rows]) for key in keys])
    measured = np.isfinite(scales)
    scales[~measured] = 0.0
    cuts = np.array([[group.locations[key].cut] for key in keys])
    rms = np.sqrt((scales**2).sum(axis=0) / np.maximum(measured.sum(axis=0), 1))
    return Distances(keys, scales / cuts, rms, measured)


def _lies_in(values: Mapping[str, float], pitches: Mapping[str, Group]) -> str:
    """Name the pitch in whose middle a throw lies, the nearest of several; empty where there is none."""
    name, least = "", inf
    for pitch, group in pitches.items():
        distances = [
            float(group.locations[key].distance(np.array(value)))
            for key, value in values.items()
            if key in group.locations
        ]
        if len(distances) < FEWEST_QUANTITIES or max(distances) > INSIDE:
            continue
        rms = sqrt(sum(d * d for d in distances) / len(distances))
        if rms < least:
            name, least = pitch, rms
    return name


def _differences(keys: list[str], row: int, group: Group, columns: Columns, written: Mapping[str, Written]) -> str:
    return ", ".join(
        f"{QUANTITIES[key].brief} {value_in_words(key, float(columns[key][row]), written)} against a median of "
        f"{value_in_words(key, group.locations[key].centre, written)}"
        for key in keys
    )
