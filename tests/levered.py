"""The question `levers` in tests, and `compare` beside it: few throws, no intervals."""

from typing import Any

import starters
from starters import Json, as_json, to_ask

from latebreak.service.questions import levers

THROWS = 320
FEW: Json = {"throws": THROWS, "intervals": False}


def asked(source: Json | str, pitch: str = "curve", **how: Any) -> Json:
    """The whole answer."""
    return as_json(levers(to_ask(source), pitch=pitch, **(FEW | how)))


def compared(source: Json | str, pitch: str = "curve", **how: Any) -> Json:
    """Every measure of a pitch, by `compare`."""
    measures: Json = starters.compared(source, **(FEW | how))[pitch]
    return measures
