"""The belief: which of the pitches that he has in mind this one is.

With a share pi_h for each type h, and what is seen told from a type by speed, by the line out of the hand and by the
bend so far (each per axis; theta_h, tau_h: mean and SD of the type's line, a_h: its bend, w = (viewed - lag)/2)

    ln b_h = ln pi_h - d_h^2/2 - ln(tau_h^2 + s_l^2) + constant,        d_h^2 = speed + line + bend,
    speed = (ln v^ - ln v_h)^2/(sigma_v^2 + sigma_p^2)
    line  = (line^ - theta_h)^2/(tau_h^2 + s_l^2),    s_l^2 = sigma_d^2 + tau_h^2 (1/E_line - 1) needs^2
    bend  = ((a^ - a_h) w)^2/(s_e^2 + s_b^2 + s_m^2 + (1 in/viewed)^2),  s_e = sigma_d v,  s_b^2 = s_e^2 (1/E_bend - 1)

Hats mark what is seen with the noise of this throw. Line and bend are weak cues: each has an efficiency E, as noise of
its own, which needs time as the eye's does (`seeing.needs_time`; in sigma_d and sigma_v that is inside). s_m is the
error of the remembered bend. What is drawn is in the filter, what is in the filter is drawn. d_h for the fastball,
without noise, is how far the pitch has left the tunnel (`moments`).
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from latebreak.engine.elementary import exponential, inverse_root
from latebreak.engine.flight.kernel import LANES
from latebreak.engine.jit import kernel, wide_vectors
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
    needs_time,
)
from latebreak.perception.sources import SOURCES

Array = NDArray[np.float64]

#: m: a bend of less than this can't be told from none (chosen; a third of a ball).
LEAST_BEND = 1.0 * INCH


#: Rows of the work array: what is seen with its noise, how the memory is off, the precision of ln speed (one over its
#: variance), the variance of the bend, what needs time, the largest ln pi - d^2/2, one over the sum of odds, d^2.
_WORK = 12
(_SEEN_SPEED, _BENT_X, _BENT_Z, _GROWN, _TURNED, _WEIGHT, _PRECISION, _BEND2, _NEEDS2, _BEST, _SUM, _D2) = range(_WORK)


def _compile(sources: int) -> Callable[..., None]:
    @kernel
    def fill_beliefs(
        glance: Array, type_log_speed: Array, type_log_share: Array, type_line: Array, type_line_sd: Array,
        type_bend: Array, start: Array, window: Array, lag: Array, scatter: Array, line_efficiency: Array,
        bend_efficiency: Array, memory: Array, noise: Array, belief: Array, distance: Array,
    ) -> None:  # fmt: skip
        _ = sources
        wide_vectors()
        types, columns, throws = belief.shape
        w = np.empty(_WORK * LANES)  # rows at constant offsets, as in `latebreak.engine.flight.kernel`
        odds, density = np.empty(types * LANES), np.empty(types * LANES)  # pi e^(-d^2/2) and 1/(tau^2 + s_l^2)
        for j in range(columns):
            own_bend = sqrt(1.0 / bend_efficiency[j] - 1.0)  # s_b/s_e
            for first in range(0, throws, LANES):
                lanes, end = min(LANES, throws - first), min(first + LANES, throws)
                time, v, ln_v = (
                    glance[TIME, j, first:end], glance[SPEED, j, first:end], glance[LOG_SPEED, j, first:end]
                )  # fmt: skip
                direction_sd, speed_sd = glance[DIRECTION_SD, j, first:end], glance[SPEED_SD, j, first:end]
                seen_x, seen_z = glance[LINE_X, j, first:end], glance[LINE_Z, j, first:end]
                bend_x, bend_z = glance[BEND_X, j, first:end], glance[BEND_Z, j, first:end]
                eye_x, eye_z, eye_speed = (
                    noise[EYE_X, first:end], noise[EYE_Z, first:end], noise[EYE_SPEED, first:end]
                )  # fmt: skip
                line_x, line_z = noise[LINE_NOISE_X, first:end], noise[LINE_NOISE_Z, first:end]
                cue_x, cue_z = noise[BEND_NOISE_X, first:end], noise[BEND_NOISE_Z, first:end]
                size, turn = noise[MEMORY_SIZE, first:end], noise[MEMORY_DIRECTION, first:end]
                for i in range(lanes):
                    viewed = max(time[i] - start[j], SHORTEST_VIEW)
                    weight = 0.5 * max(viewed - lag[j], 0.0)
                    eye, least = direction_sd[i] * v[i], LEAST_BEND / viewed
                    w[i + _SEEN_SPEED * LANES] = ln_v[i] + speed_sd[i] * eye_speed[i]
                    w[i + _BENT_X * LANES] = bend_x[i] * weight + eye * (eye_x[i] + own_bend * cue_x[i])
                    w[i + _BENT_Z * LANES] = bend_z[i] * weight + eye * (eye_z[i] + own_bend * cue_z[i])
                    w[i + _GROWN * LANES] = 1.0 + memory[j] * size[i]
                    w[i + _TURNED * LANES] = memory[j] * turn[i]
                    w[i + _WEIGHT * LANES] = weight
                    w[i + _PRECISION * LANES] = 1.0 / (speed_sd[i] * speed_sd[i] + scatter[j] * scatter[j])
                    w[i + _BEND2 * LANES] = eye * eye * (1.0 + own_bend * own_bend) + least * least
                    needs = needs_time(viewed, window[j])
                    w[i + _NEEDS2 * LANES] = needs * needs
                    w[i + _BEST * LANES] = -1e300
                    w[i + _SUM * LANES] = 0.0
                for h in range(types):
                    tau2 = type_line_sd[h, j] * type_line_sd[h, j]
                    own_line = tau2 * (1.0 / line_efficiency[j] - 1.0)
                    theta_x, theta_z = type_line[h, j, 0], type_line[h, j, 1]
                    ax, az = type_bend[h, j, 0], type_bend[h, j, 1]
                    forgotten = memory[j] * memory[j] * (ax * ax + az * az)  # (s_m/w)^2
                    ln_vh, ln_share = type_log_speed[h, j], type_log_share[h, j]
                    row, over_line2 = odds[h * LANES : h * LANES + lanes], density[h * LANES : h * LANES + lanes]
                    for i in range(lanes):
                        weight, grown, turned = w[i + _WEIGHT * LANES], w[i + _GROWN * LANES], w[i + _TURNED * LANES]
                        line_own2 = direction_sd[i] * direction_sd[i] + own_line * w[i + _NEEDS2 * LANES]  # s_l^2
                        line_sd, line2 = line_own2 * inverse_root(line_own2), line_own2 + tau2
                        bend2 = w[i + _BEND2 * LANES] + forgotten * weight * weight
                        speed = w[i + _SEEN_SPEED * LANES] - ln_vh
                        lx = seen_x[i] + line_sd * line_x[i] - theta_x
                        lz = seen_z[i] + line_sd * line_z[i] - theta_z
                        bx = w[i + _BENT_X * LANES] - (grown * ax - turned * az) * weight
                        bz = w[i + _BENT_Z * LANES] - (grown * az + turned * ax) * weight
                        # line and bend over one denominator: the unit that divides is the narrowest
                        over = 1.0 / (line2 * bend2)
                        d2 = ((lx * lx + lz * lz) * bend2 + (bx * bx + bz * bz) * line2) * over
                        d2 += speed * speed * w[i + _PRECISION * LANES]
                        row[i], over_line2[i] = ln_share - 0.5 * d2, bend2 * over
                        w[i + _BEST * LANES] = max(w[i + _BEST * LANES], row[i])
                        w[i + _D2 * LANES] = d2
                    if h < distance.shape[0]:
                        goal = distance[h, j, first:end]
                        for i in range(lanes):
                            goal[i] = sqrt(w[i + _D2 * LANES])
                for h in range(types):
                    row, over_line2 = odds[h * LANES : h * LANES + lanes], density[h * LANES : h * LANES + lanes]
                    for i in range(lanes):
                        row[i] = exponential(row[i] - w[i + _BEST * LANES]) * over_line2[i]
                        w[i + _SUM * LANES] += row[i]
                for i in range(lanes):
                    w[i + _SUM * LANES] = 1.0 / w[i + _SUM * LANES]
                for h in range(types):
                    row, goal = odds[h * LANES : h * LANES + lanes], belief[h, j, first:end]
                    for i in range(lanes):
                        goal[i] = row[i] * w[i + _SUM * LANES]

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
    return _weighed(glance, types, parameters, noise, 0)[0]


def distances(glance: Array, types: Types, parameters: Parameters, silence: Array | None = None) -> Array:
    """How far what is seen is from each type without this throw's noise: d_h of the module's text, (H, m, n)."""
    silence = np.zeros((len(NOISE), glance.shape[2])) if silence is None else silence
    return _weighed(glance, types, parameters, silence, types.log_share.shape[0])[1]


def _weighed(glance: Array, types: Types, parameters: Parameters, noise: Array, measured: int) -> tuple[Array, Array]:
    """Beliefs, and distances from so many of the types."""
    belief = np.empty((types.log_share.shape[0], *glance.shape[1:]))
    distance = np.empty((measured, *glance.shape[1:]))
    _fill_beliefs(
        np.ascontiguousarray(glance), types.log_speed, types.log_share, types.line, types.line_sd, types.bend,
        parameters.view_start, parameters.noise_window, parameters.motion_lag, parameters.speed_scatter,
        parameters.line_efficiency, parameters.bend_efficiency, parameters.memory_error, np.ascontiguousarray(noise),
        belief, distance,
    )  # fmt: skip
    return belief, distance
