"""The starter's scenario with changes, and questions to what stands in it, for tests of the questions."""

from __future__ import annotations

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
