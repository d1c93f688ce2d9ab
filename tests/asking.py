"""Messages of a call that asks many questions."""

from collections.abc import AsyncIterator, Callable
from typing import Any

from latebreak.service.scenario import load
from latebreak.service.wire.many import request_of
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2

ASKED = "two-grips"
FLY = what_if_pb2.FlyRequest(scenario=message_of(load(ASKED)), throws=64)


def fly(name: str) -> what_if_pb2.AskRequest:
    return request_of(name, FLY)


def one_by_one(messages: Any) -> Callable[[], AsyncIterator[Any]]:
    async def each() -> AsyncIterator[Any]:
        for message in messages:
            yield message

    return each
