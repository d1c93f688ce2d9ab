"""A fitted pitch as it stands in a scenario file."""

from __future__ import annotations

from math import copysign
from typing import Any

import numpy as np
from numpy.typing import NDArray

from latebreak.service.quantities import SPREAD
from latebreak.service.questions.fitting.base import Base
from latebreak.service.questions.fitting.trade import LEVER_KEYS
from latebreak.service.questions.fitting.values import Known
from latebreak.service.scenario.level_defaults import BALL_SPREAD
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, MeanError, PitchEntry, Spread, SpreadError

#: Digits after the point that a file gets, by the end of the key (chosen: finer than any measurement).
DIGITS = {"_mph": 2, "_rpm": 1, "_deg": 2, "_percent": 2, "_ft": 3, "_in": 3}
#: Relative standard error of a spread that is assumed (chosen: what a prior worth `SPREAD_WEIGHT` = 4 throws means,
#: 1 / sqrt(2 4)).
ASSUMED_SPREAD_ERROR = 0.35
#: Standard errors from which on a correlation is written (99 %, chosen: of 36 pairs that are not correlated, a third of
#: one is then written for a pitch).
BEYOND_CHANCE = 2.5758293035489004


def rounded(key: str, value: float) -> float:
    """Round a value to the digits that its key gets in a file; coefficients to five."""
    digits = next((digits for end, digits in DIGITS.items() if key.endswith(end)), 5)
    return round(float(value), digits) + 0.0  # no negative zero


def entry_of(known: Known, base: Base, *, reference: bool) -> dict[str, Any]:
    """Return the table of a pitch.

    Parameters
    ----------
    known : Known
        What its throws tell.
    base : Base
        What they don't.
    reference : bool
        Whether it is the one of several fastballs that the others are judged against.
    """
    values, origin = known.values, known.origin
    own = base.scenario.pitch.get(known.name)
    entry: dict[str, Any] = {"name": own.name} if own is not None and own.name is not None else {}
    entry["role"] = known.role
    if reference:
        entry["reference"] = True
    for key in ("speed_mph", "spin_rpm", "break_clock_deg"):
        entry[key] = _possible(key, values[key].value)
    entry["break_clock_deg"] %= 360.0
    entry |= _gyro(known, base)
    for key in ("release_side_ft", "release_height_ft", "extension_ft", *_aim(known)):
        entry[key] = _possible(key, values[key].value)
    for key in ("drag_coefficient", "lift_scale"):
        is_pinned = origin[key] != "assumed" or (key == "lift_scale" and _movement_pins(known))
        if is_pinned or (own is not None and getattr(own, key) is not None):
            entry[key] = _possible(key, values[key].value)
    if known.fitted.seam_clock is not None and origin["seam_force"] != "assumed":
        entry["seam_force"] = _possible("seam_force", values["seam_force"].value)
        entry["seam_force_clock_deg"] = rounded("_deg", values["seam_force_clock_deg"].value) % 360.0
    elif own is not None and own.seam_force:
        entry["seam_force"], entry["seam_force_clock_deg"] = own.seam_force, own.seam_force_clock_deg
    entry["spread"] = {key: _within(Spread, key, values[SPREAD + key].value) for key in SPREAD_KEYS}
    if own is not None:  # throws don't tell how balls differ from what the device adds: as the base has it, or as usual
        given = {key: getattr(own.spread, key) for key in BALL_SPREAD}
        entry["spread"] |= {key: value for key, value in given.items() if value != BALL_SPREAD[key]}
    if pairs := _correlations(known.fitted.correlation, known.fitted.count):
        entry["correlation"] = pairs
    entry["mean_error"] = _mean_error(known, entry)
    entry["spread_error"] = _spread_error(known)
    return entry


def _gyro(known: Known, base: Base) -> dict[str, Any]:
    """Signed angle where the sense of the gyro spin was measured, else the efficiency, with its sense if unusual."""
    gyro = known.values["gyro_deg"].value
    if known.fitted.gyro_sense_measured:
        return {"gyro_deg": _possible("gyro_deg", gyro)}
    efficiency = 100.0 * float(np.cos(np.radians(gyro)))
    usual = -base.arm_side
    reverse = {"gyro_sense": "reverse"} if copysign(1.0, gyro) != usual and efficiency < 100.0 else {}
    return {"efficiency_percent": _possible("efficiency_percent", efficiency), **reverse}


def _aim(known: Known) -> tuple[str, str]:
    target, launch = ("target_side_ft", "target_height_ft"), ("launch_elevation_deg", "launch_azimuth_deg")
    return target if target[0] in known.values else launch


def _movement_pins(known: Known) -> bool:
    """Whether efficiency or spin rate was inferred from the movement with this lift: no other lift goes with it."""
    return "inferred" in (known.origin["efficiency_percent"], known.origin["spin_rpm"])


def _mean_error(known: Known, entry: dict[str, Any]) -> dict[str, float]:
    """Standard errors that a question draws from: of everything but the launch of a pitch that has a target."""
    errors = {}
    for key, short in zip(SPREAD_KEYS, LEVER_KEYS, strict=True):
        if key.startswith("launch") and key not in entry:
            continue
        inches = 12.0 if key.endswith("_in") else 1.0
        assumed = known.origin[short] == "assumed"
        errors[key] = known.assumed.errors.get(key, 0.0) if assumed else inches * known.errors[short]
    for key in ("drag_coefficient", "lift_scale", "seam_force"):
        if key in entry and known.origin[key] != "assumed":
            errors[key] = known.errors[key]
    written = {key: _within(MeanError, key, error) for key, error in errors.items() if error > 0.0}
    if _movement_pins(known):
        written["lift_scale"] = 0.0
    return written


def _spread_error(known: Known) -> dict[str, float]:
    """Standard errors of the spread; of an assumed one, how far pitchers differ from the usual of their level."""
    errors = {}
    for key in SPREAD_KEYS:
        where = SPREAD + key
        assumed = known.origin[where] == "assumed"
        error = ASSUMED_SPREAD_ERROR * known.values[where].value if assumed else known.errors[where]
        errors[key] = _within(SpreadError, key, error)
    return errors


def _correlations(matrix: NDArray[np.float64], count: int) -> dict[str, float]:
    """Pairs beyond chance, rounded; drawn towards 0 where the rest would contradict each other.

    By Fisher's z = artanh r, which scatters with an SD of 1 / sqrt(n - 3).
    """
    rows, columns = np.triu_indices(len(SPREAD_KEYS), 1)
    least = np.tanh(BEYOND_CHANCE / np.sqrt(count - 3)) if count > 3 else 1.0
    kept = np.where(np.abs(matrix[rows, columns]) >= least, matrix[rows, columns], 0.0)
    scale = 1.0
    while True:
        written = np.eye(len(SPREAD_KEYS))
        values = np.round(scale * kept, 3)
        written[rows, columns] = written[columns, rows] = values
        if np.linalg.eigvalsh(written).min() >= 0.0:
            break
        scale *= 0.99
    return {
        f"{SPREAD_KEYS[row]}:{SPREAD_KEYS[column]}": float(value)
        for row, column, value in zip(rows, columns, values, strict=True)
        if value
    }


def _possible(key: str, value: float) -> float:
    return _within(PitchEntry, key, value)


def _within(section: type[PitchEntry | Spread | SpreadError], key: str, value: float) -> float:
    low, high = section.ranges()[key].possible
    return min(max(rounded(key, value), low), high)
