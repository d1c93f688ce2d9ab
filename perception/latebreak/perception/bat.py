"""The bat: where it passes, and whether it meets the ball.

He corrects a share gamma of what the forecast misses while he swings, and his bat is drawn to its usual place, a little
above the middle of his zone. With p where the ball arrives, f the forecast, u the usual place and g the gain

    bat = u + g (f + gamma (p - f) - u),      e = p - bat
    P(contact) = (1 - lapse) P(|e_z + m_z| < touch) P(|e_x + m_x| < reach) P(|late + m_t| < window)

with motor noise m_z of SD m0 sqrt(1 + nu r^4) (r: how far from the middle of the zone the ball arrives, in half zones),
m_x twice that, m_t of SD motor_time; facing a pitcher of his own side the SDs of place are larger.

References
----------
Corrections within some 200 ms: McLeod (1987), Brenner and Smeets (1997), read. Contact is drawn to the expected height:
Brantley and Koerding (2022), read off figure. Along the bat it is less exact than across: Kidokoro and Yanai (2017),
read.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.flight.kernel import LANES
from latebreak.engine.jit import inlined, kernel, wide_vectors
from latebreak.engine.units import INCH
from latebreak.perception.decision import HALF_WIDTH, Zone, within
from latebreak.perception.forecast import FORECAST_X, FORECAST_Z, TIME_TO_GO
from latebreak.perception.parameters import Parameters
from latebreak.perception.seeing import ARRIVAL_X, ARRIVAL_Z, REMAINING
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: m: bat radius + ball radius, from 2.61 in and 2.9 in (Official Baseball Rules; values from memory).
TOUCH = 2.76 * INCH
#: m: half of the length of the barrel that meets a ball (chosen).
REACH = 8.0 * INCH
#: How much more the bat scatters along itself than across (chosen).
ALONG = 2.0
#: s: Tresilian (2004), The accuracy of interceptive action in time and space, p. 167 (read).
CLEAN_TIME = 0.010
#: m, half the height of the sweet spot: Kidokoro and Yanai (2017), abstract (read).
CLEAN_HEIGHT = 0.0105

#: Rows of a swing: chance of contact, of clean contact.
CONTACT, CLEAN = range(2)


@inlined
def _off(place: float, forecast: float, usual: float, correction: float, gain: float) -> float:
    """Where the ball is less where the bat passes, in one direction: e of the module's text."""
    return place - usual - gain * (forecast + correction * (place - forecast) - usual)


@inlined
def _motor(side: float, height: float, motor: float, growth: float) -> float:
    """SD of the bat's height at a distance from the middle of the zone, in half zones."""
    r2 = side * side + height * height
    return motor * sqrt(1.0 + growth * r2 * r2)


def _compile(sources: int) -> tuple[Callable[..., None], Callable[..., None]]:
    @kernel
    def fill_contacts(
        glance: Array, forecast: Array, usual_x: Array, usual_z: Array, middle_z: Array, half_height: float,
        correction: Array, gain: Array, motor: Array, growth: Array, motor_time: Array, window: Array, lapse: Array,
        contact: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        _rows, columns, throws = contact.shape
        w = np.empty(2 * LANES)  # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, end = min(LANES, throws - first), min(first + LANES, throws)
                x, z = glance[ARRIVAL_X, j, first:end], glance[ARRIVAL_Z, j, first:end]
                forecast_x, forecast_z = forecast[FORECAST_X, j, first:end], forecast[FORECAST_Z, j, first:end]
                remaining, to_go = glance[REMAINING, j, first:end], forecast[TIME_TO_GO, j, first:end]
                for i in range(lanes):
                    off_x = _off(x[i], forecast_x[i], usual_x[j], correction[j], gain[j])
                    off_z = _off(z[i], forecast_z[i], usual_z[j], correction[j], gain[j])
                    sd = _motor(
                        (x[i] - usual_x[j]) / HALF_WIDTH, (z[i] - middle_z[j]) / half_height, motor[j], growth[j]
                    )
                    late = remaining[i] - to_go[i]
                    reached = (1.0 - lapse[j]) * within(off_x, REACH, ALONG * sd)
                    w[i + CONTACT * LANES] = reached * within(off_z, TOUCH, sd) * within(late, window[j], motor_time[j])
                    w[i + CLEAN * LANES] = (
                        reached * within(off_z, CLEAN_HEIGHT, sd) * within(late, CLEAN_TIME, motor_time[j])
                    )
                for row in (CONTACT, CLEAN):
                    goal = contact[row, j, first:end]
                    for i in range(lanes):
                        goal[i] = w[i + row * LANES]

    @kernel
    def fill_heights(
        glance: Array, forecast: Array, usual_x: Array, usual_z: Array, middle_z: Array, half_height: float,
        correction: Array, gain: Array, motor: Array, growth: Array, heights: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        for j in range(heights.shape[1]):
            for i in range(heights.shape[2]):
                x, z = glance[ARRIVAL_X, j, i], glance[ARRIVAL_Z, j, i]
                heights[0, j, i] = _off(z, forecast[FORECAST_Z, j, i], usual_z[j], correction[j], gain[j])
                heights[1, j, i] = _motor(
                    (x - usual_x[j]) / HALF_WIDTH, (z - middle_z[j]) / half_height, motor[j], growth[j]
                )

    return fill_contacts, fill_heights


_fill_contacts, _fill_heights = _compile(SOURCES)


def swing_at(
    glance: Array, forecast: Array, parameters: Parameters, zone: Zone, inside: float, same_side: bool
) -> Array:
    """Chances of contact and of clean contact where he swings.

    Parameters
    ----------
    glance, forecast : float64 array, shapes (16, m, n), (6, m, n)
        What was seen until the decision, and what was forecast from it.
    parameters : Parameters
        m columns.
    zone : Zone
        The hitter's.
    inside : float
        +1 or -1: the side of the plate on which he stands.
    same_side : bool
        Whether the pitcher throws from that side of his.

    Returns
    -------
    float64 array, shape (2, m, n)
        Rows `CONTACT`, `CLEAN`.
    """
    contact = np.empty((2, *forecast.shape[1:]))
    _fill_contacts(
        np.ascontiguousarray(glance), np.ascontiguousarray(forecast), *_places(parameters, zone, inside),
        zone.half_height, parameters.correction_share, parameters.bat_gain, _motor_height(parameters, same_side),
        parameters.motor_growth, parameters.motor_time, parameters.timing_window, parameters.lapse, contact,
    )  # fmt: skip
    return contact


def heights_below(
    glance: Array, forecast: Array, parameters: Parameters, zone: Zone, inside: float, same_side: bool
) -> Array:
    """How far below the ball's middle the bat passes.

    Parameters
    ----------
    glance, forecast, parameters, zone, inside, same_side
        As in `swing_at`.

    Returns
    -------
    float64 array, shape (2, m, n)
        Mean and SD over the swing's own scatter, m.
    """
    heights = np.empty((2, *forecast.shape[1:]))
    _fill_heights(
        glance, forecast, *_places(parameters, zone, inside), zone.half_height, parameters.correction_share,
        parameters.bat_gain, _motor_height(parameters, same_side), parameters.motor_growth, heights,
    )  # fmt: skip
    return heights


def _places(parameters: Parameters, zone: Zone, inside: float) -> tuple[Array, Array, Array]:
    """Side and height of the bat's usual place, and height of the middle of what he likes to swing at; m."""
    middle = zone.middle + parameters.wanted_height
    return inside * parameters.wanted_inside, middle + parameters.usual_height, middle


def _motor_height(parameters: Parameters, same_side: bool) -> Array:
    return parameters.motor_height * (parameters.same_side_noise if same_side else 1.0)
