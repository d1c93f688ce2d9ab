"""What tests of several folders share: pitches in trade units, a server, interrupts, and how often laws are tried."""

import copy
import json
import signal
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, settings
from serving import Served, serving

from latebreak.engine.pitch.pitch import Launch, Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.service.client import channel

# How often a law is tried: the same examples in every run, and many others with `--hypothesis-profile many`.
settings.register_profile(
    "normal", deadline=None, derandomize=True, max_examples=20, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("many", settings.get_profile("normal"), derandomize=False, max_examples=500)
settings.load_profile("normal")

# Medians within a game over 71 professional pitchers and pitch types (own analysis of public tracked pitches); axis and
# gyro 5 degrees, between a fastball's 3 and a slider's 13. Order of `latebreak.engine.pitch.pitch.LEVERS`.
PROFESSIONAL_SPREAD = np.array(
    [1.05 * MPH, 81.0 * RPM, 5.0 * DEGREE, 5.0 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH, 0.87 * DEGREE,
     0.74 * DEGREE]
)  # fmt: skip


# A usual four-seam: common practice, no source.
def pitch_in_trade_units(
    speed_mph: float = 91.0,
    spin_rpm: float = 2250.0,
    break_clock_deg: float = 20.0,
    gyro_deg: float = 18.0,
    *,
    release_side_ft: float = -1.9,
    release_height_ft: float = 5.9,
    extension_ft: float = 6.2,
    target_ft: tuple[float, float] = (0.0, 2.6),
    launch_deg: tuple[float, float] | None = None,
    seam_force: float = 0.0,
    seam_clock_deg: float = 0.0,
    drag_scale: float = 1.0,
    lift_scale: float = 1.0,
    spread_scale: float = 0.0,
) -> Pitch:
    """A pitch; `launch_deg` (elevation, azimuth) replaces the target."""
    return Pitch(
        speed=speed_mph * MPH,
        spin_rate=spin_rpm * RPM,
        break_clock=break_clock_deg * DEGREE,
        gyro=gyro_deg * DEGREE,
        release_side=release_side_ft * FOOT,
        release_height=release_height_ft * FOOT,
        extension=extension_ft * FOOT,
        aim=Target(target_ft[0] * FOOT, target_ft[1] * FOOT)
        if launch_deg is None
        else Launch(launch_deg[0] * DEGREE, launch_deg[1] * DEGREE),
        seam_force=seam_force,
        seam_clock=seam_clock_deg * DEGREE,
        drag_scale=drag_scale,
        lift_scale=lift_scale,
        spread=Spread(spread_scale * PROFESSIONAL_SPREAD),
    )


@pytest.fixture(scope="session")
def make_pitch() -> Callable[..., Pitch]:
    """`pitch_in_trade_units`, which tests can't import from here."""
    return pitch_in_trade_units


@pytest.fixture
def interruptible() -> Iterator[None]:
    """Let processes that the test starts take SIGINT as those of a terminal do.

    A shell without job control starts a job in the background with SIGINT ignored, and a process hands that on to those
    that it starts.
    """
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let clients ask again as often as ever, but hardly wait before they do."""
    config: Any = copy.deepcopy(channel.SERVICE_CONFIG)
    for method in config["methodConfig"]:
        method["retryPolicy"] |= {"initialBackoff": "0.01s", "maxBackoff": "0.02s"}
    options = dict(channel.OPTIONS) | {"grpc.service_config": json.dumps(config)}
    monkeypatch.setattr(channel, "OPTIONS", tuple(options.items()))


@pytest.fixture(scope="session")
def server() -> Iterator[Served]:
    """A server on this machine with metrics, without token and TLS, for tests that neither stop nor fill it."""
    with serving("--metrics-port", "0") as served:
        yield served
