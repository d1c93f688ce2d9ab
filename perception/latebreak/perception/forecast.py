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
from latebreak.engine.jit import kernel
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


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_forecasts(
        glance: Array, belief: Array, type_log_speed: Array, onward: Array, lag: Array, scatter: Array, memory: Array,
        spin_share: Array, gravity: float, noise: Array, forecast: Array,
    ) -> None:  # fmt: skip
        _ = sources
        types, columns, throws = belief.shape
        for j in range(columns):
            for i in range(throws):
                eye = glance[DIRECTION_SD, j, i] * glance[SPEED, j, i]
                speed_sd, remaining = glance[SPEED_SD, j, i], glance[REMAINING, j, i]
                rho = scatter[j] * scatter[j] / (scatter[j] * scatter[j] + speed_sd * speed_sd)
                misjudged = rho * speed_sd * noise[EYE_SPEED, i]
                x0 = glance[PLACE_X, j, i]
                z0 = glance[PLACE_Z, j, i]
                vx = glance[HEADING_X, j, i] + eye * noise[EYE_X, i]
                vz = glance[HEADING_Z, j, i] + eye * noise[EYE_Z, i]
                grown, turned = memory[j] * noise[MEMORY_SIZE, i], memory[j] * noise[MEMORY_DIRECTION, i]
                x, z, time, unseen_x, unseen_z = 0.0, 0.0, 0.0, 0.0, 0.0
                for h in range(types):
                    b = belief[h, j, i]
                    to_go = remaining * exponential(
                        (1.0 - rho) * (glance[LOG_SPEED, j, i] - type_log_speed[h, j]) - misjudged
                    )
                    side, up = onward[h, j, 0], onward[h, j, 1] + gravity  # M_h, and as he remembers it:
                    side, up = side + grown * side - turned * up, up + grown * up + turned * side
                    drift = 0.5 * (to_go + lag[j]) * to_go
                    x += b * (x0 + vx * to_go + side * drift)
                    z += b * (z0 + vz * to_go + (up - gravity) * drift)
                    time += b * to_go
                    unseen_x += b * (1.0 - spin_share[j]) * side * drift
                    unseen_z += b * (1.0 - spin_share[j]) * up * drift
                forecast[FORECAST_X, j, i], forecast[FORECAST_Z, j, i] = x, z
                forecast[TIME_TO_GO, j, i], forecast[FORECAST_SD, j, i] = time, eye * time
                forecast[LOOKS_X, j, i], forecast[LOOKS_Z, j, i] = x - unseen_x, z - unseen_z

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
        glance, np.ascontiguousarray(belief), types.log_speed, types.onward, parameters.motion_lag,
        parameters.speed_scatter, parameters.memory_error, parameters.spin_share, STANDARD_GRAVITY,
        np.ascontiguousarray(noise), forecast,
    )  # fmt: skip
    return forecast
