"""The starter's scenario with changes, and questions to what stands in it, for tests of the questions."""

from __future__ import annotations

import copy
import json
import tomllib
from typing import Any

from latebreak.service.questions import compare
from latebreak.service.questions.answer import Answer
from latebreak.service.scenario import Loaded, from_mapping
from latebreak.service.scenario.pitch_entry import BALL_KEYS, SPREAD_KEYS
from latebreak.service.scenario.starter import starter_text

Json = dict[str, Any]

#: A spread of a pitcher who never misses.
STILL = dict.fromkeys((*SPREAD_KEYS, *BALL_KEYS), 0.0)


def starter(**curve: Any) -> Json:
    """The starter's tables with some keys of its curve changed, or taken away (None)."""
    mapping = tomllib.loads(starter_text("base"))
    entry = mapping["pitch"]["curve"] | curve
    mapping["pitch"]["curve"] = {key: value for key, value in entry.items() if value is not None}
    return mapping


def with_pitches(**pitches: Json) -> Json:
    """The starter with more pitches: each the starter's curve but for some keys."""
    mapping = starter()
    for name, changes in pitches.items():
        mapping["pitch"][name] = mapping["pitch"]["curve"] | changes
    return mapping


def in_the_mirror(mapping: Json) -> Json:
    """A right-hander's tables seen in the mirror: the other hand, the other box, every side and gyro angle turned over.

    An efficiency turns its own sense.
    """
    result = copy.deepcopy(mapping)
    result["pitcher"]["hand"] = "left"
    result["hitter"] = {"bats": "left"}
    for entry in result["pitch"].values():
        hours, minutes = (int(part) for part in entry.pop("break_clock").split(":"))
        entry["break_clock_deg"] = 360.0 - (30.0 * (hours % 12) + 0.5 * minutes)
        for key in {"gyro_deg", "release_side_ft", "target_side_ft", "launch_azimuth_deg"} & set(entry):
            entry[key] *= -1.0
    return result


def with_lever(mapping: Json, key: str, value: float) -> Json:
    """The tables with a lever of the curve set, as a reader of an answer would write it."""
    result = copy.deepcopy(mapping)
    curve, scenario = result["pitch"]["curve"], from_mapping(mapping).scenario
    if key == "spread_scale":
        spread = scenario.pitch["curve"].spread
        curve["spread"] = {one: value * getattr(spread, one) for one in SPREAD_KEYS}
    elif key == "spread.break_clock_deg":
        curve["spread"] = curve.get("spread", {}) | {"break_clock_deg": value}
    else:
        curve[key] = value
    if key == "break_clock_deg":
        curve.pop("break_clock", None)
    if key == "efficiency_percent" and "gyro_deg" in curve:
        usual = 1.0 if scenario.pitcher.hand == "right" else -1.0
        if curve.pop("gyro_deg") * usual < 0.0:
            curve["gyro_sense"] = "reverse"
    return result


def to_ask(source: Json | str) -> Loaded | str:
    """What a question takes of tables, or of a ready scenario's name."""
    return from_mapping(source) if isinstance(source, dict) else source


def as_json(answer: Answer[Any]) -> Json:
    """The answer as others read it; JSON holds no NaN."""
    read: Json = json.loads(json.dumps(answer.to_dict(), allow_nan=False))
    return read


def asked(source: Json | str, **how: Any) -> Json:
    """What `compare` answers."""
    return as_json(compare(to_ask(source), **how))


def compared(source: Json | str, **how: Any) -> Json:
    """The pitches behind the fastball, of the same."""
    pitches: Json = asked(source, **how)["result"]["pitches"]
    return pitches
