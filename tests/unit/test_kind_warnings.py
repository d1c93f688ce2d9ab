"""A role that contradicts the pitch, and a break clock on the wrong side, warn and say what to do."""

from typing import Any

import pytest
from starters import starter

from latebreak.service.scenario import from_mapping

CHANGEUP: dict[str, Any] = {"speed_mph": 80.0, "spin_rpm": 1700, "break_clock": "1:40", "efficiency_percent": 93}


def warnings(
    hand: str = "right", fastball: dict[str, Any] | None = None, role: str | None = "breaking", **pitch: Any
) -> tuple[str, ...]:
    mapping = starter()
    side = -1.0 if hand == "right" else 1.0
    mapping["pitcher"]["hand"] = hand
    mapping["pitch"]["fastball"] |= fastball or {}
    mapping["pitch"]["curve"] |= pitch
    for entry in mapping["pitch"].values():
        entry["release_side_ft"] = side * abs(entry["release_side_ft"])
    if role is None:
        del mapping["pitch"]["curve"]["role"]
    else:
        mapping["pitch"]["curve"]["role"] = role
    return from_mapping(mapping).warnings


def test_the_starter_has_none() -> None:
    assert warnings() == ()
    assert warnings("left", {"break_clock": "11:10"}, break_clock="5:00") == ()


def test_a_changeup_left_at_the_default_role() -> None:
    (found,) = warnings(role=None, **CHANGEUP)
    assert found.startswith("pitch.curve.role: no role, which means ")
    assert "changeup" in found
    assert "offspeed" in found
    assert warnings(role="offspeed", **CHANGEUP) == ()


def test_a_curve_that_equals_the_fastball() -> None:
    (found,) = warnings(speed_mph=87.5, spin_rpm=2180, break_clock="12:50", efficiency_percent=93)
    assert "four-seam" in found
    assert "fastball" in found


def test_a_fastball_that_is_a_curve() -> None:
    (found,) = warnings(fastball={"reference": True}, role="fastball")
    assert "curve" in found


@pytest.mark.parametrize(
    ("fastball", "clock", "key", "mirrored"),
    [("12:50", "5:00", "fastball", "335"), ("11:10", "7:00", "curve", "150")],
)
def test_a_left_handers_clock_on_the_wrong_side(fastball: str, clock: str, key: str, mirrored: str) -> None:
    (found,) = warnings("left", {"break_clock": fastball}, break_clock=clock)
    assert f"pitch.{key}.break_clock" in found
    assert f"{mirrored} deg" in found


@pytest.mark.parametrize("clock", ["5:40", "6:00", "6:20"])
def test_a_curve_straight_down_has_no_side(clock: str) -> None:
    assert warnings(break_clock=clock, efficiency_percent=90, spin_rpm=2500) == ()
