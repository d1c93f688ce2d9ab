"""The forecast: where and when the ball will arrive, as a mean of the types weighted by belief.

Seen at s with R = T - s to go, of type h the ball goes on for R_h and is A_h accelerated:

    ln R_h = ln R + (1 - rho)(ln v - ln v_h) - rho n_v,      rho = sigma_p^2/(sigma_p^2 + sigma_v^2)
    f = sum b_h [place + (heading + A_h lag/2) R_h + A_h R_h^2/2],      time to go: sum b_h R_h

rho is what he trusts the seen speed over the remembered one. Spin is not seen but remembered, with the type's movement.
The bat is aimed at f. Whether the ball looks like a strike is judged with a share w of the remembered movement only:

    looks = f - (1 - w) sum b_h M_h (R_h + lag) R_h/2,      M_h = A_h + g

so a curve looks higher than he knows it to be, a fastball lower (Craig et al. 2006, secondary; Dessing and Craig 2010,
read: from sight alone a spin-made curve is not allowed for).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import exponential
from latebreak.engine.flight.kernel import LANES
from latebreak.engine.jit import kernel, wide_vectors
from latebreak.engine.units import STANDARD_GRAVITY
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import (
    DIRECTION_SD,
    EYE_SPEED,
    EYE_X,
    EYE_Z,
    HEADING_X,
    HEADING_Z,
    LOG_SPEED,
    MEMORY_DIRECTION,
    MEMORY_SIZE,
    PLACE_X,
    PLACE_Z,
    REMAINING,
    SPEED,
    SPEED_SD,
)
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: Rows of a forecast: side and height at the plate (m), time to go (s), the SD of the place as he knows it (m), and the
#: side and height at which it looks to arrive (m).
FORECAST_X, FORECAST_Z, TIME_TO_GO, FORECAST_SD, LOOKS_X, LOOKS_Z = range(6)
FORECAST_ROWS = 6


#: Rows of the work array: the forecast first, then what it is made from.
_WORK = FORECAST_ROWS + 6
_DISTRUST, _SPEED, _VX, _VZ, _GROWN, _TURNED = range(FORECAST_ROWS, _WORK)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_forecasts(
        glance: Array, belief: Array, type_log_speed: Array, onward: Array, lag: Array, scatter: Array, memory: Array,
        spin_share: Array, gravity: float, noise: Array, forecast: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        types, columns, throws = belief.shape
        w = np.empty(_WORK * LANES)  # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        for j in range(columns):
            for first in range(0, throws, LANES):
                lanes, end = min(LANES, throws - first), min(first + LANES, throws)
                v, ln_v, remaining = (
                    glance[SPEED, j, first:end], glance[LOG_SPEED, j, first:end], glance[REMAINING, j, first:end]
                )  # fmt: skip
                direction_sd, speed_sd = glance[DIRECTION_SD, j, first:end], glance[SPEED_SD, j, first:end]
                place_x, place_z = glance[PLACE_X, j, first:end], glance[PLACE_Z, j, first:end]
                heading_x, heading_z = glance[HEADING_X, j, first:end], glance[HEADING_Z, j, first:end]
                eye_x, eye_z, eye_speed = (
                    noise[EYE_X, first:end], noise[EYE_Z, first:end], noise[EYE_SPEED, first:end]
                )  # fmt: skip
                size, turn = noise[MEMORY_SIZE, first:end], noise[MEMORY_DIRECTION, first:end]
                for i in range(lanes):
                    eye = direction_sd[i] * v[i]
                    rho = scatter[j] * scatter[j] / (scatter[j] * scatter[j] + speed_sd[i] * speed_sd[i])
                    w[i + _DISTRUST * LANES] = 1.0 - rho
                    w[i + _SPEED * LANES] = (1.0 - rho) * ln_v[i] - rho * speed_sd[i] * eye_speed[i]
                    w[i + _VX * LANES] = heading_x[i] + eye * eye_x[i]
                    w[i + _VZ * LANES] = heading_z[i] + eye * eye_z[i]
                    w[i + _GROWN * LANES] = 1.0 + memory[j] * size[i]
                    w[i + _TURNED * LANES] = memory[j] * turn[i]
                    w[i + FORECAST_X * LANES] = place_x[i]
                    w[i + FORECAST_Z * LANES] = place_z[i]
                    w[i + LOOKS_X * LANES] = place_x[i]
                    w[i + LOOKS_Z * LANES] = place_z[i]
                    w[i + TIME_TO_GO * LANES] = 0.0
                for h in range(types):
                    side, up, ln_vh = onward[h, j, 0], onward[h, j, 1] + gravity, type_log_speed[h, j]  # M_h
                    b = belief[h, j, first:end]
                    for i in range(lanes):
                        grown, turned = w[i + _GROWN * LANES], w[i + _TURNED * LANES]
                        to_go = remaining[i] * exponential(w[i + _SPEED * LANES] - w[i + _DISTRUST * LANES] * ln_vh)
                        drift = 0.5 * (to_go + lag[j]) * to_go
                        bent_x, bent_z = (grown * side - turned * up) * drift, (grown * up + turned * side) * drift
                        x, z = w[i + _VX * LANES] * to_go, w[i + _VZ * LANES] * to_go - gravity * drift
                        w[i + FORECAST_X * LANES] += b[i] * (x + bent_x)
                        w[i + FORECAST_Z * LANES] += b[i] * (z + bent_z)
                        w[i + LOOKS_X * LANES] += b[i] * (x + spin_share[j] * bent_x)
                        w[i + LOOKS_Z * LANES] += b[i] * (z + spin_share[j] * bent_z)
                        w[i + TIME_TO_GO * LANES] += b[i] * to_go
                for i in range(lanes):
                    w[i + FORECAST_SD * LANES] = direction_sd[i] * v[i] * w[i + TIME_TO_GO * LANES]
                for row in range(FORECAST_ROWS):
                    goal = forecast[row, j, first:end]
                    for i in range(lanes):
                        goal[i] = w[i + row * LANES]

    return fill_forecasts


_fill_forecasts = _compile(SOURCES)


def foresee(glance: Array, belief: Array, types: Types, parameters: Parameters, noise: Array) -> Array:
    """Forecast arrivals.

    Parameters
    ----------
    glance : float64 array, shape (16, m, n)
        From `latebreak.perception.seeing.see`.
    belief : float64 array, shape (H, m, n)
        From `latebreak.perception.belief.believe`.
    types : Types
        H types, m columns.
    parameters : Parameters
        m columns.
    noise : float64 array, shape (9, n)
        The same draws as the belief's.

    Returns
    -------
    float64 array, shape (6, m, n)
        Side and height at the plate (m), time to go (s), SD of the place from the eye alone (m), and the side and
        height at which it looks to arrive (m).
    """
    forecast = np.empty((FORECAST_ROWS, *glance.shape[1:]))
    _fill_forecasts(
        np.ascontiguousarray(glance), np.ascontiguousarray(belief), types.log_speed, types.onward,
        parameters.motion_lag, parameters.speed_scatter, parameters.memory_error, parameters.spin_share,
        STANDARD_GRAVITY, np.ascontiguousarray(noise), forecast,
    )  # fmt: skip
    return forecast
