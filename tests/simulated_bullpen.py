"""Bullpens of known pitches, simulated and measured with noise, as throws or as a CSV."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from arrived import arrived

from latebreak.engine.bundle.bundle import prepare
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.physical import conditions, pitches

#: Standard deviations of a device that measures the throws well (chosen). Usual spreads are computed from tracked
#: pitches, so they contain a device's scatter: the 3.2 deg of a professional fastball's clock leave it 2 deg or so.
NOISE = {
    "speed_mph": 0.5,
    "spin_rpm": 30.0,
    "break_clock_deg": 2.0,
    "efficiency_percent": 3.0,
    "release_side_ft": 0.7 / 12.0,
    "release_height_ft": 0.7 / 12.0,
    "extension_ft": 0.7 / 12.0,
    "arrival_side_ft": 0.6 / 12.0,
    "arrival_height_ft": 0.6 / 12.0,
    "arrival_speed_mph": 0.5,
    "induced_side_break_in": 0.6,
    "induced_vertical_break_in": 0.6,
}
_ARRIVALS = {
    "arrival_speed_mph": ("arrival_speed", MPH),
    "arrival_side_ft": ("arrival_side", FOOT),
    "arrival_height_ft": ("arrival_height", FOOT),
    "induced_vertical_break_in": ("induced_vertical_break", INCH),
    "induced_side_break_in": ("induced_side_break", INCH),
}
_LEVERS = {
    "speed_mph": (0, MPH),
    "spin_rpm": (1, RPM),
    "break_clock_deg": (2, DEGREE),
    "release_side_ft": (4, FOOT),
    "release_height_ft": (5, FOOT),
    "extension_ft": (6, FOOT),
}


def measured(
    scenario: Scenario, name: str, count: int, rng: np.random.Generator, noise: float = 1.0
) -> dict[str, np.ndarray]:
    """Throw a pitch of a scenario and measure every throw; `noise` scales `NOISE`."""
    bundle = prepare(pitches(scenario)[name], conditions(scenario))
    normals = rng.standard_normal((9, count))
    levers = bundle.mean.levers + bundle.factor @ normals
    releases = bundle.releases(normals)
    flown = arrived(bundle, releases)
    values = {key: levers[row] / unit for key, (row, unit) in _LEVERS.items()}
    values["efficiency_percent"] = 100.0 * np.abs(np.cos(levers[3]))
    values |= {key: flown[quantity] / unit for key, (quantity, unit) in _ARRIVALS.items()}
    values = {key: value + noise * NOISE[key] * rng.standard_normal(count) for key, value in values.items()}
    values["efficiency_percent"] = np.clip(values["efficiency_percent"], 0.0, 100.0)
    values["break_clock_deg"] %= 360.0
    return values


def as_csv(throws: Mapping[str, Mapping[str, np.ndarray]], sessions: Mapping[str, str] | None = None) -> bytes:
    """Write throws by pitch as a CSV with the keys as header; `sessions` names the session of each label.

    A label is a pitch's name, or with sessions any word, the pitch's name before its last ":".
    """
    keys = list(next(iter(throws.values())))
    lines = [",".join(["pitch", *(["session"] if sessions else []), *keys])]
    for label, values in throws.items():
        name = label.rsplit(":", 1)[0]
        for row in zip(*(values[key] for key in keys), strict=True):
            cells = ["" if np.isnan(cell) else f"{cell:.3f}" for cell in row]
            lines.append(",".join([name, *([sessions[label]] if sessions else []), *cells]))
    return "\n".join(lines).encode() + b"\n"
