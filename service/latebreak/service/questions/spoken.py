"""Values in the sentences of an answer: a unit always, words in place of a bare sign."""

from __future__ import annotations

from latebreak.service.judging.measures import unit_of
from latebreak.service.questions.fitting.trade import clock_face
from latebreak.service.questions.lever import SPREAD_SCALE, Lever
from latebreak.service.scenario.section import Hand


def say_measure(measure: str, value: float, hand: Hand) -> str:
    """Say a value of a measure: "0.93 in glove side"."""
    return _said(measure, value, unit_of(measure), hand)


def say_setting(lever: Lever, value: float, hand: Hand) -> str:
    """Say where a lever stands: "76.1 mph", "5:45"."""
    if lever.is_clock:
        return clock_face(value)
    unit = "times the spread" if lever.key == SPREAD_SCALE else lever.unit.symbol
    return _said(lever.key, value, unit, hand)


def say_settings(lever: Lever, low: float, high: float, hand: Hand) -> str:
    """Say a range of them: "68.1 mph and 92.1 mph"."""
    return f"{say_setting(lever, low, hand)} and {say_setting(lever, high, hand)}"


def _said(key: str, value: float, unit: str, hand: Hand) -> str:
    return " ".join(word for word in (f"{abs(value):.4g}", unit, _toward(key, value, hand)) if word)


def _toward(key: str, value: float, hand: Hand) -> str:
    if value == 0.0:
        return ""
    if "_side_" in key or key == "launch_azimuth_deg":  # positive = catcher's right = glove side of a right-hander
        return "glove side" if (value > 0.0) == (hand == "right") else "arm side"
    if "vertical" in key or key == "launch_elevation_deg":
        return "up" if value > 0.0 else "down"
    if key.startswith("timing"):
        return "late" if value > 0.0 else "early"
    return "below the ground" if value < 0.0 else ""  # of what else has a sign: heights above the ground
