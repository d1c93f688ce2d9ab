"""A scenario on the wire: the same keys as in a file, read by the same loader."""

from __future__ import annotations

from latebreak.service.scenario import Loaded, from_mapping
from latebreak.service.wire.messages import as_mapping, fill
from latebreak.v1 import scenario_pb2

#: What messages call a scenario that came in a request.
SOURCE = "request"


def scenario_of(message: scenario_pb2.Scenario, source: str = SOURCE) -> Loaded:
    """Read a scenario from a request; `source` is what messages call it.

    Raises
    ------
    InputError
        If it is at fault; with key paths.
    """
    return from_mapping(as_mapping(message, empty=False), source)


def message_of(loaded: Loaded) -> scenario_pb2.Scenario:
    """Put a scenario into a message: in the keys that were written, or complete where none were."""
    message = scenario_pb2.Scenario()
    fill(message, loaded.tables or loaded.scenario.model_dump(exclude_none=True))
    return message
