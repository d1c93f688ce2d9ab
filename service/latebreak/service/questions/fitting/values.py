"""From a fitted pitch, in SI units, to estimates by the keys of a scenario."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

import numpy as np

from latebreak.engine.inverse.fitted import Fitted, FittedPitch, Origin
from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import SPREAD
from latebreak.service.quantities.units import PERCENT
from latebreak.service.questions.fitting.base import Assumed
from latebreak.service.questions.fitting.trade import LEVER_KEYS, TARGET_KEYS
from latebreak.service.scenario.physical import LEVER_UNITS
from latebreak.service.scenario.pitch_entry import SPREAD_KEYS, PitchEntry, Spread
from latebreak.service.scenario.section import Role

#: Half width of a 90 % interval in standard errors: the 95 % point of the standard normal distribution.
NORMAL_90 = 1.6448536269514722
_FREE = (-np.inf, np.inf)
#: Angles on a clock have no ends.
_LIMITS = {key: quantity.possible for key, quantity in PitchEntry.ranges().items() if "clock" not in key}
_SPREAD_LIMITS = {key: quantity.possible for key, quantity in Spread.ranges().items()}


@dataclass(frozen=True, eq=False)
class Known:
    """What the throws of one pitch in one session tell.

    Attributes
    ----------
    name, role : str
        Of the pitch.
    session : str
        When; "" where there is one session.
    source : str
        File.
    fitted : FittedPitch
        In SI units.
    assumed : Assumed
        What stood before.
    values : dict of str to Estimate
        By key of the scenario, spreads as `spread.KEY`.
    errors : dict of str to float
        Standard errors by the same keys.
    origin : dict of str to Origin
        By the same keys.
    aimed_with : tuple of str
        Pitches that share its target.
    """

    name: str
    role: Role
    session: str
    source: str
    fitted: FittedPitch
    assumed: Assumed
    values: dict[str, Estimate]
    errors: dict[str, float]
    origin: dict[str, Origin]
    aimed_with: tuple[str, ...] = ()


def known(name: str, role: Role, session: str, source: str, fitted: FittedPitch, assumed: Assumed) -> Known:
    """Word a fitted pitch in the keys of a scenario."""
    values: dict[str, Estimate] = {}
    errors: dict[str, float] = {}
    origin: dict[str, Origin] = {}

    def add(key: str, one: Fitted, unit: float, limits: tuple[float, float]) -> None:
        value, error = one.value / unit, one.error / unit
        low, high = value - NORMAL_90 * error, value + NORMAL_90 * error
        values[key] = Estimate(value, 0.0, max(low, limits[0]), min(high, limits[1]))
        errors[key], origin[key] = error, one.origin

    for (key, unit), one in zip(LEVER_KEYS.items(), fitted.levers, strict=True):
        if not (key.startswith("launch") and one.origin == "assumed"):
            add(key, one, unit, _LIMITS.get(key, _FREE))
    add("efficiency_percent", fitted.efficiency, PERCENT.si, _LIMITS["efficiency_percent"])
    if fitted.aim is not None:
        for (key, unit), one in zip(TARGET_KEYS.items(), fitted.aim, strict=True):
            add(key, one, unit, _LIMITS[key])
    elif fitted.levers[-1].origin == "assumed":  # nothing says where it goes
        for key, value in assumed.aim.items():
            values[key], errors[key], origin[key] = Estimate(value, 0.0), 0.0, "assumed"
    for key in ("drag_coefficient", "lift_scale", "seam_force"):
        add(key, getattr(fitted, key), 1.0, _LIMITS[key])
    if fitted.seam_clock is not None:
        clock = degrees(fitted.seam_clock) % 360.0
        values["seam_force_clock_deg"] = Estimate(clock, 0.0)
        errors["seam_force_clock_deg"], origin["seam_force_clock_deg"] = 0.0, fitted.seam_force.origin
    spreads = zip(SPREAD_KEYS, LEVER_UNITS, fitted.spread, fitted.spread_error, fitted.spread_origin, strict=True)
    for key, unit, value, error, where in spreads:
        add(SPREAD + key, Fitted(float(value), float(error), where), float(unit), _SPREAD_LIMITS[key])
    return Known(name, role, session, source, fitted, assumed, values, errors, origin)
