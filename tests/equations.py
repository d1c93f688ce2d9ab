"""The hitter in plain numpy, as the texts of his modules write him down: what the kernels are held against."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.special import logit, ndtr, softmax

from latebreak.engine.flight.flying import Paths
from latebreak.engine.flight.kernel import AT_TIME, AT_X, AT_Z, VX, VZ
from latebreak.engine.units import INCH, STANDARD_GRAVITY
from latebreak.perception.bat import ALONG, CLEAN_HEIGHT, CLEAN_TIME, REACH, TOUCH
from latebreak.perception.decision import HALF_WIDTH, criteria
from latebreak.perception.forecast import FORECAST_ROWS, FORECAST_SD, LOOKS_X, TIME_TO_GO
from latebreak.perception.model import Judgement, Situation
from latebreak.perception.parameters import Parameters
from latebreak.perception.repertoire import Types
from latebreak.perception.seeing import GLANCE
from latebreak.perception.timing import moment

Array = NDArray[np.float64]


def glances(paths: Paths, times: Array, p: Parameters, same_side: bool) -> Array:
    """As in the text of `latebreak.perception.seeing`."""

    def states(t: Array) -> Array:
        found: Array = paths.at(t.reshape(1, -1))[0].reshape(6, *t.shape)
        return found

    def wide(rows: Array) -> Array:
        return rows.reshape(-1, *times.shape)

    there, before = states(times), states(times - 0.5 * p.motion_lag[:, None])
    v_x, v_y, v_z = wide(paths.releases[VX : VZ + 1])
    arrival_x, arrival_z, flight_time = wide(paths.arrivals[[AT_X, AT_Z, AT_TIME]])
    v, c = np.sqrt(v_x**2 + v_y**2 + v_z**2), there[4] / v_y
    since = np.maximum(times, 0.005)
    viewed = np.maximum(times - p.view_start[:, None], 0.005)
    worse = np.sqrt(1.0 + (p.noise_window[:, None] / viewed) ** 3)
    direction = p.direction_noise * (p.same_side_noise if same_side else 1.0)
    rows = {
        "time": times,
        "remaining": flight_time - times,
        "speed": v,
        "log_speed": np.log(v),
        "line_x": v_x / v,
        "line_z": v_z / v,
        "bend_x": (there[3] - c * v_x) / since,
        "bend_z": (there[5] - c * v_z) / since + 0.5 * STANDARD_GRAVITY * (1.0 + c),
        "place_x": there[0],
        "place_z": there[2],
        "heading_x": before[3],
        "heading_z": before[5],
        "arrival_x": arrival_x,
        "arrival_z": arrival_z,
        "direction_sd": direction[:, None] * worse,
        "speed_sd": p.speed_noise[:, None] * worse,
    }
    return np.array([rows[name] for name in GLANCE])


def beliefs(glance: Array, types: Types, p: Parameters, n: Array) -> tuple[Array, Array]:
    """Beliefs and distances as in the text of `latebreak.perception.belief`."""
    seen = dict(zip(GLANCE, glance, strict=True))
    lag, start, memory = p.motion_lag[:, None], p.view_start[:, None], p.memory_error[:, None]
    viewed = np.maximum(seen["time"] - start, 0.005)
    weight = np.maximum(viewed - lag, 0.0) / 2.0
    needs = np.sqrt(1.0 + (p.noise_window[:, None] / viewed) ** 3)
    s_e = seen["direction_sd"] * seen["speed"]
    s_b = s_e * np.sqrt(1.0 / p.bend_efficiency[:, None] - 1.0)
    odds, distance = [], []
    for h in range(len(types.names)):
        tau = types.line_sd[h][:, None]
        s_l = np.sqrt(seen["direction_sd"] ** 2 + tau**2 * (1.0 / p.line_efficiency[:, None] - 1.0) * needs**2)
        ax, az = (types.bend[h, :, axis][:, None] for axis in (0, 1))
        remembered = (ax + memory * (n[7] * ax - n[8] * az), az + memory * (n[7] * az + n[8] * ax))
        s_m = memory * np.hypot(ax, az) * weight
        speed = seen["log_speed"] + seen["speed_sd"] * n[2] - types.log_speed[h][:, None]
        d2 = speed**2 / (seen["speed_sd"] ** 2 + p.speed_scatter[:, None] ** 2)
        for axis, name in enumerate(("x", "z")):
            line = seen[f"line_{name}"] + s_l * n[3 + axis] - types.line[h, :, axis][:, None]
            bend = (seen[f"bend_{name}"] - remembered[axis]) * weight + s_e * n[axis] + s_b * n[5 + axis]
            d2 = d2 + line**2 / (tau**2 + s_l**2)
            d2 = d2 + bend**2 / (s_e**2 + s_b**2 + s_m**2 + (INCH / viewed) ** 2)
        distance.append(np.sqrt(d2))
        odds.append(types.log_share[h][:, None] - d2 / 2.0 - np.log(tau**2 + s_l**2))
    return softmax(np.array(odds), axis=0), np.array(distance)


def forecasts(glance: Array, belief: Array, types: Types, p: Parameters, n: Array) -> Array:
    """As in the text of `latebreak.perception.forecast`."""
    seen = dict(zip(GLANCE, glance, strict=True))
    lag, memory, scatter = p.motion_lag[:, None], p.memory_error[:, None], p.speed_scatter[:, None]
    rho = scatter**2 / (scatter**2 + seen["speed_sd"] ** 2)
    eye = seen["direction_sd"] * seen["speed"]
    w = p.spin_share[:, None]
    result = np.zeros((FORECAST_ROWS, *glance.shape[1:]))
    for h in range(len(types.names)):
        log_ratio = seen["log_speed"] - types.log_speed[h][:, None]
        to_go = seen["remaining"] * np.exp((1.0 - rho) * log_ratio - rho * seen["speed_sd"] * n[2])
        ax, az = types.onward[h, :, 0][:, None], types.onward[h, :, 1][:, None] + STANDARD_GRAVITY
        movements = (ax + memory * (n[7] * ax - n[8] * az), az + memory * (n[7] * az + n[8] * ax))
        for axis, (name, m, fall) in enumerate(zip("xz", movements, (0.0, STANDARD_GRAVITY), strict=True)):
            heading = seen[f"heading_{name}"] + eye * n[axis] + (m - fall) * lag / 2.0
            f = seen[f"place_{name}"] + heading * to_go + (m - fall) * to_go**2 / 2.0
            result[axis] += belief[h] * f
            result[LOOKS_X + axis] += belief[h] * (f - (1.0 - w) * m * (to_go + lag) * to_go / 2.0)
        result[TIME_TO_GO] += belief[h] * to_go
    result[FORECAST_SD] = eye * result[TIME_TO_GO]
    return result


def within(error: Array, half_width: float | Array, sd: Array) -> Array:
    """Chance that a normal deviate about an error lies within +-half_width."""
    chance: Array = ndtr((half_width - error) / sd) - ndtr((-half_width - error) / sd)
    return chance


def swings(forecast: Array, p: Parameters, situation: Situation) -> Array:
    """As in the text of `latebreak.perception.decision`."""
    _, _, _, unsure, x, z = forecast
    sd = np.hypot(p.zone_blur[:, None], unsure)
    middle = situation.zone.middle + p.wanted_height[:, None]
    q = within(x - situation.inside * p.wanted_inside[:, None], HALF_WIDTH, sd)
    q = np.clip(q * within(z - middle, situation.zone.half_height, sd), 1e-9, 1.0 - 1e-9)
    k, shares = criteria(p, situation.count)
    each = 1.0 / (1.0 + np.exp(-k[:, :, None] - p.swing_slope[:, None] * logit(q)))
    swing: Array = np.einsum("c,cmn->mn", shares, each)
    return swing


def contacts(glance: Array, forecast: Array, p: Parameters, situation: Situation) -> Array:
    """As in the text of `latebreak.perception.bat`."""
    seen = dict(zip(GLANCE, glance, strict=True))
    middle = (situation.zone.middle + p.wanted_height)[:, None]
    usual = (situation.inside * p.wanted_inside[:, None], middle + p.usual_height[:, None])
    arrival = (seen["arrival_x"], seen["arrival_z"])
    off = []
    for u, at, f in zip(usual, arrival, forecast[:2], strict=True):
        aimed = f + p.correction_share[:, None] * (at - f)
        off.append(at - (u + p.bat_gain[:, None] * (aimed - u)))
    r = np.hypot((arrival[0] - usual[0]) / HALF_WIDTH, (arrival[1] - middle) / situation.zone.half_height)
    motor = p.motor_height * (p.same_side_noise if situation.same_side else 1.0)
    sd = motor[:, None] * np.sqrt(1.0 + p.motor_growth[:, None] * r**4)
    late, timing = seen["remaining"] - forecast[TIME_TO_GO], p.motor_time[:, None]
    reached = (1.0 - p.lapse[:, None]) * within(off[0], REACH, ALONG * sd)
    touched = reached * within(off[1], TOUCH, sd) * within(late, p.timing_window[:, None], timing)
    clean = reached * within(off[1], CLEAN_HEIGHT, sd) * within(late, CLEAN_TIME, timing)
    return np.array([touched, clean])


def judge(paths: Paths, types: Types, p: Parameters, situation: Situation, noise: Array) -> Judgement:
    """All of it, as `latebreak.perception.model.HitterModel.judge`."""
    times = moment(paths.arrivals[AT_TIME].reshape(p.lapse.size, -1), types.ready_time, p)
    glance = glances(paths, times, p, situation.same_side)
    belief, _ = beliefs(glance, types, p, noise)
    forecast = forecasts(glance, belief, types, p, noise)
    return Judgement(glance, belief, forecast, swings(forecast, p, situation), contacts(glance, forecast, p, situation))
