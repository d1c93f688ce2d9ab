"""The question `reach` in tests: few throws, no intervals."""

from typing import Any

from levered import FEW, compared
from starters import Json, as_json, to_ask

from latebreak.service.questions import reach

EVERY = ["speed_mph", "spin_rpm", "efficiency_percent", "break_clock_deg", "release_height_ft", "release_side_ft",
         "extension_ft", "target_height_ft", "target_side_ft", "spread_scale", "spread.break_clock_deg"]  # fmt: skip


def asked(source: Json | str, measure: str, goal: str | float, pitch: str = "curve", **how: Any) -> Json:
    """The whole answer."""
    return as_json(reach(to_ask(source), pitch=pitch, measure=measure, goal=goal, **(FEW | how)))


def result_of(source: Json | str, measure: str, goal: str | float, **how: Any) -> Json:
    result: Json = asked(source, measure, goal, **how)["result"]
    return result


def measured(source: Json, measure: str, pitch: str = "curve", **how: Any) -> Json:
    """What `compare` says of a measure."""
    estimate: Json = compared(source, pitch, **how)[measure]
    return estimate
