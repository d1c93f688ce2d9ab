"""A fitted curve for tests of what `fit` says and writes."""

from dataclasses import replace

import numpy as np

from latebreak.engine.inverse.fitted import Fitted, FittedPitch
from latebreak.engine.units import DEGREE
from latebreak.service.questions.fitting.base import assume, read_base
from latebreak.service.questions.fitting.trade import LEVER_KEYS
from latebreak.service.questions.fitting.values import Known, known

BASE = read_base("two-grips", None, None)


def fitted(**how: object) -> FittedPitch:
    """A curve of 12 throws, 78 mph, 2,500 rpm, 7:00, gyro 30 deg; errors of 1 % of the value."""
    si = np.array([78.0, 2500.0, 210.0, 30.0, -1.6, 5.9, 5.8, 1.0, -1.0]) * list(LEVER_KEYS.values())
    levers = tuple(Fitted(float(value), abs(float(value)) / 100.0, "measured") for value in si)
    pitch = FittedPitch(
        count=12,
        levers=levers,
        efficiency=Fitted(float(np.cos(30.0 * DEGREE)), 0.01, "measured"),
        gyro_sense_measured=False,
        aim=(Fitted(0.1, 0.05, "measured"), Fitted(0.6, 0.05, "measured")),
        spread=BASE.setting.pitches["curve_spike"].spread.standard_deviations,
        spread_error=0.2 * BASE.setting.pitches["curve_spike"].spread.standard_deviations,
        correlation=np.eye(9),
        spread_origin=("measured",) * 9,
        drag_coefficient=Fitted(0.345, 0.0, "assumed"),
        lift_scale=Fitted(1.0, 0.0, "assumed"),
        seam_force=Fitted(0.0, 0.0, "assumed"),
        seam_clock=None,
        undecidable=(),
    )
    return replace(pitch, **how)  # type: ignore[arg-type]


def known_of(name: str = "curve", **how: object) -> Known:
    return known(name, "breaking", "", "bullpen.csv", fitted(**how), assume(BASE, name, "breaking"))
