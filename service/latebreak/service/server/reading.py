"""Bytes that are no request are input at fault; left to the library they would look like a bug of the server."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

import grpc
from google.protobuf.message import DecodeError, Message

from latebreak.engine.errors import Fault, InputError
from latebreak.service.wire.scenarios import SOURCE


class Unreadable:
    """Stands in the place of a request that can't be read."""


class Reading(grpc.aio.ServerInterceptor):  # type: ignore[misc]
    """Hands `Unreadable` to the calls of a service where the bytes are no request.

    Parameters
    ----------
    service : str
        Full name; its calls take single requests.
    """

    def __init__(self, service: str) -> None:
        self._calls = f"/{service}/"

    async def intercept_service(
        self,
        continuation: Callable[[grpc.HandlerCallDetails], Awaitable[grpc.RpcMethodHandler]],
        handler_call_details: grpc.HandlerCallDetails,
    ) -> grpc.RpcMethodHandler:
        """Let a call through."""
        handler = await continuation(handler_call_details)
        if handler is None or not handler_call_details.method.startswith(self._calls):
            return handler
        return handler._replace(request_deserializer=_reader(handler.request_deserializer))


def _reader(parse: Callable[[bytes], Message]) -> Callable[[bytes], Any]:
    def read(content: bytes) -> Message | Unreadable:
        try:
            return parse(content)
        except DecodeError:
            return Unreadable()

    return read


def check_readable(request: Message | Unreadable) -> None:
    """Refuse what is no request.

    Raises
    ------
    InputError
        If it is none.
    """
    if isinstance(request, Unreadable):
        fault = Fault("", "the bytes are no message of this call", "the messages of proto/latebreak/v1")
        raise InputError([fault], SOURCE)
