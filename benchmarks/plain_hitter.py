"""The hitter after the glance in plain numpy and scipy: the equations of the perception package, array by array."""

from __future__ import annotations

import numpy as np
from scipy.special import ndtr, softmax

from latebreak.engine.units import STANDARD_GRAVITY
from latebreak.perception.bat import ALONG, CLEAN_HEIGHT, CLEAN_TIME, REACH, TOUCH
from latebreak.perception.belief import LEAST_BEND
from latebreak.perception.decision import HALF_WIDTH, criteria
from latebreak.perception.seeing import GLANCE, NOISE, SHORTEST_VIEW


def within(error, half_width, sd):
    """Chance that a normal deviate about `error` lies within +-half_width."""
    return ndtr((half_width - error) / sd) - ndtr((-half_width - error) / sd)


def judged(glance, times, types, p, situation, noise):
    """Belief, swing, contact and clean contact of throws, each (..., m, n), from what was seen (16, m, n)."""
    g = dict(zip(GLANCE, glance, strict=True))
    z = dict(zip(NOISE, noise, strict=True))
    column = {name: getattr(p, name)[:, None] for name in p.__dataclass_fields__}
    c = type("Columns", (), column)
    g0, zone = STANDARD_GRAVITY, situation.zone

    # --- belief
    viewed = np.maximum(times - c.view_start, SHORTEST_VIEW)
    weight = 0.5 * np.maximum(viewed - c.motion_lag, 0.0)
    eye = g["direction_sd"] * g["speed"]
    own_bend = eye * np.sqrt(1.0 / c.bend_efficiency - 1.0)
    bend = [g[f"bend_{a}"] * weight + eye * z[f"heading_{a}"] + own_bend * z[f"bend_{a}"] for a in "xz"]
    log_speed = g["log_speed"] + g["speed_sd"] * z["speed"]
    grown, turned = c.memory_error * z["memory_size"], c.memory_error * z["memory_direction"]
    tau = types.line_sd[..., None]
    needs2 = 1.0 + (c.noise_window / np.maximum(viewed, SHORTEST_VIEW)) ** 3
    own_line = np.sqrt(g["direction_sd"] ** 2 + tau**2 * (1.0 / c.line_efficiency - 1.0)[None] * needs2)
    line_variance = tau**2 + own_line**2
    ax, az = types.bend[..., 0, None], types.bend[..., 1, None]
    forgotten = c.memory_error**2 * (ax**2 + az**2) * weight**2
    d2 = (log_speed - types.log_speed[..., None]) ** 2 / (g["speed_sd"] ** 2 + c.speed_scatter**2)
    for number, a in enumerate("xz"):
        off = g[f"line_{a}"] + own_line * z[f"line_{a}"] - types.line[..., number, None]
        d2 = d2 + off**2 / line_variance
    expected = (ax + grown * ax - turned * az, az + grown * az + turned * ax)
    bend_variance = eye**2 + own_bend**2 + forgotten + (LEAST_BEND / viewed) ** 2
    for seen, one in zip(bend, expected, strict=True):
        d2 = d2 + (seen - one * weight) ** 2 / bend_variance
    belief = softmax(types.log_share[..., None] - 0.5 * d2 - np.log(line_variance), axis=0)

    # --- forecast
    rho = c.speed_scatter**2 / (c.speed_scatter**2 + g["speed_sd"] ** 2)
    to_go = g["remaining"] * np.exp(
        (1.0 - rho) * (g["log_speed"] - types.log_speed[..., None]) - rho * g["speed_sd"] * z["speed"]
    )
    side, up = types.onward[..., 0, None], types.onward[..., 1, None] + g0
    side, up = side + grown * side - turned * up, up + grown * up + turned * side
    drift = 0.5 * (to_go + c.motion_lag) * to_go
    heading = [g[f"heading_{a}"] + eye * z[f"heading_{a}"] for a in "xz"]
    x = (belief * (g["place_x"] + heading[0] * to_go + side * drift)).sum(axis=0)
    y = (belief * (g["place_z"] + heading[1] * to_go + (up - g0) * drift)).sum(axis=0)
    time = (belief * to_go).sum(axis=0)
    looks_x = x - ((1.0 - c.spin_share) * belief * side * drift).sum(axis=0)
    looks_z = y - ((1.0 - c.spin_share) * belief * up * drift).sum(axis=0)

    # --- decision
    sd = np.hypot(c.zone_blur, eye * time)
    q = within(looks_x - situation.inside * c.wanted_inside, HALF_WIDTH, sd)
    q = q * within(looks_z - zone.middle - c.wanted_height, zone.half_height, sd)
    q = np.clip(q, 1e-9, 1.0 - 1e-9)
    k, shares = criteria(p, situation.count)
    doubt = ((1.0 - q) / q) ** c.swing_slope
    swing = (shares[:, None, None] / (1.0 + np.exp(-k)[..., None] * doubt)).sum(axis=0)

    # --- bat
    worse = c.same_side_noise if situation.same_side else 1.0
    usual_x = situation.inside * c.wanted_inside
    middle = zone.middle + c.wanted_height
    place, forecast, usual = (g["arrival_x"], g["arrival_z"]), (x, y), (usual_x, middle + c.usual_height)
    off_x, off_z = (
        p0 - u - c.bat_gain * (f + c.correction_share * (p0 - f) - u)
        for p0, f, u in zip(place, forecast, usual, strict=True)
    )
    r2 = ((place[0] - usual_x) / HALF_WIDTH) ** 2 + ((place[1] - middle) / zone.half_height) ** 2
    motor = worse * c.motor_height * np.sqrt(1.0 + c.motor_growth * r2**2)
    late = g["remaining"] - time
    reached = (1.0 - c.lapse) * within(off_x, REACH, ALONG * motor)
    contact = reached * within(off_z, TOUCH, motor) * within(late, c.timing_window, c.motor_time)
    clean = reached * within(off_z, CLEAN_HEIGHT, motor) * within(late, CLEAN_TIME, c.motor_time)
    return {"belief": belief, "swing": swing, "contact": contact, "clean": clean}
