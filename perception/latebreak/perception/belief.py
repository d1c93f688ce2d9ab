"""The belief: which of the pitches that he has in mind this one is.

With a share pi_h for each type h, and what is seen told from a type by speed, by the line out of the hand and by the
bend so far (each per axis; theta_h, tau_h: mean and SD of the type's line, a_h: its bend, w = (viewed - lag)/2)

    ln b_h = ln pi_h - d_h^2/2 - ln(tau_h^2 + s_l^2) + constant,        d_h^2 = speed + line + bend,
    speed = (ln v^ - ln v_h)^2/(sigma_v^2 + sigma_p^2)
    line  = (line^ - theta_h)^2/(tau_h^2 + s_l^2),    s_l^2 = sigma_d^2 + tau_h^2 (1/E_line - 1)
    bend  = ((a^ - a_h) w)^2/(s_e^2 + s_b^2 + s_m^2 + (1 in/viewed)^2),  s_e = sigma_d v,  s_b^2 = s_e^2 (1/E_bend - 1)

Hats mark what is seen with the noise of this throw. Line and bend are weak cues: each has an efficiency E, as noise of
its own. s_m is the error of the remembered bend. What is drawn is in the filter, what is in the filter is drawn.
d_h for the fastball, without noise, is how far the pitch has left the tunnel (`moments`).
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import exponential, logarithm
from latebreak.engine.jit import inlined, kernel
from latebreak.engine.units import INCH
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import (
    BEND_NOISE_X,
    BEND_NOISE_Z,
    BEND_X,
    BEND_Z,
    DIRECTION_SD,
    EYE_SPEED,
    EYE_X,
    EYE_Z,
    LINE_NOISE_X,
    LINE_NOISE_Z,
    LINE_X,
    LINE_Z,
    LOG_SPEED,
    MEMORY_DIRECTION,
    MEMORY_SIZE,
    NOISE,
    SHORTEST_VIEW,
    SPEED,
    SPEED_SD,
    TIME,
)
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: m: a bend of less than this can't be told from none (chosen; a third of a ball).
LEAST_BEND = 1.0 * INCH


@inlined
def squared_distance(
    log_speed: float, line_x: float, line_z: float, bend_x: float, bend_z: float,
    speed_variance: float, line_variance: float, bend_variance: float,
) -> float:  # fmt: skip
    """d^2 of the module's text; arguments are what is seen less the type's, bends as changes of the heading in m/s."""
    return (
        log_speed * log_speed / speed_variance
        + (line_x * line_x + line_z * line_z) / line_variance
        + (bend_x * bend_x + bend_z * bend_z) / bend_variance
    )


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_beliefs(
        glance: Array, type_log_speed: Array, type_log_share: Array, type_line: Array, type_line_sd: Array,
        type_bend: Array, start: Array, lag: Array, scatter: Array, line_efficiency: Array, bend_efficiency: Array,
        memory: Array, noise: Array, belief: Array, distance: Array,
    ) -> None:  # fmt: skip
        _ = sources
        types, columns, throws = belief.shape
        odds = np.empty(types)
        for j in range(columns):
            for i in range(throws):
                viewed = max(glance[TIME, j, i] - start[j], SHORTEST_VIEW)
                weight = 0.5 * max(viewed - lag[j], 0.0)
                direction, speed_sd = glance[DIRECTION_SD, j, i], glance[SPEED_SD, j, i]
                eye = direction * glance[SPEED, j, i]
                own_bend = eye * sqrt(1.0 / bend_efficiency[j] - 1.0)
                x = glance[BEND_X, j, i] * weight + eye * noise[EYE_X, i] + own_bend * noise[BEND_NOISE_X, i]
                z = glance[BEND_Z, j, i] * weight + eye * noise[EYE_Z, i] + own_bend * noise[BEND_NOISE_Z, i]
                log_speed = glance[LOG_SPEED, j, i] + speed_sd * noise[EYE_SPEED, i]
                grown, turned = memory[j] * noise[MEMORY_SIZE, i], memory[j] * noise[MEMORY_DIRECTION, i]
                best = -1e300
                for h in range(types):
                    tau = type_line_sd[h, j]
                    own_line = sqrt(direction * direction + tau * tau * (1.0 / line_efficiency[j] - 1.0))
                    line_variance = tau * tau + own_line * own_line
                    ax, az = type_bend[h, j, 0], type_bend[h, j, 1]
                    forgotten = memory[j] * memory[j] * (ax * ax + az * az) * weight * weight
                    d2 = squared_distance(
                        log_speed - type_log_speed[h, j],
                        glance[LINE_X, j, i] + own_line * noise[LINE_NOISE_X, i] - type_line[h, j, 0],
                        glance[LINE_Z, j, i] + own_line * noise[LINE_NOISE_Z, i] - type_line[h, j, 1],
                        x - (ax + grown * ax - turned * az) * weight,
                        z - (az + grown * az + turned * ax) * weight,
                        speed_sd * speed_sd + scatter[j] * scatter[j],
                        line_variance,
                        eye * eye + own_bend * own_bend + forgotten + (LEAST_BEND / viewed) ** 2,
                    )
                    odds[h] = type_log_share[h, j] - 0.5 * d2 - logarithm(line_variance)
                    distance[h, j, i] = sqrt(d2)
                    best = max(best, odds[h])
                total = 0.0
                for h in range(types):
                    odds[h] = exponential(odds[h] - best)
                    total += odds[h]
                for h in range(types):
                    belief[h, j, i] = odds[h] / total

    return fill_beliefs


_fill_beliefs = _compile(SOURCES)


def believe(glance: Array, types: Types, parameters: Parameters, noise: Array) -> Array:
    """Weigh the types by what has been seen.

    Parameters
    ----------
    glance : float64 array, shape (16, m, n)
        From `latebreak.perception.seeing.see`.
    types : Types
        H types, m columns.
    parameters : Parameters
        m columns.
    noise : float64 array, shape (9, n)
        Standard normal draws, rows as in `latebreak.perception.seeing.NOISE`.

    Returns
    -------
    float64 array, shape (H, m, n)
        Belief in each type; sums to 1.
    """
    return _weighed(glance, types, parameters, noise)[0]


def distances(glance: Array, types: Types, parameters: Parameters) -> Array:
    """How far what is seen is from each type without this throw's noise: d_h of the module's text, (H, m, n)."""
    _, distance = _weighed(glance, types, parameters, np.zeros((len(NOISE), glance.shape[2])))
    return distance


def _weighed(glance: Array, types: Types, parameters: Parameters, noise: Array) -> tuple[Array, Array]:
    belief = np.empty((types.log_share.shape[0], *glance.shape[1:]))
    distance = np.empty_like(belief)
    _fill_beliefs(
        glance, types.log_speed, types.log_share, types.line, types.line_sd, types.bend,
        parameters.view_start, parameters.motion_lag, parameters.speed_scatter, parameters.line_efficiency,
        parameters.bend_efficiency, parameters.memory_error, np.ascontiguousarray(noise), belief, distance,
    )  # fmt: skip
    return belief, distance
