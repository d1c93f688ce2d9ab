"""Messages are taken in by their bytes: how large they are and how much they hold is looked at before they are parsed.

Every call is taken as a stream of bytes, whatever it is, so that nothing of a message is read before the call itself
has been let in. The library reads no more than a window of what nobody asks for.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import suppress
from typing import Any

import grpc
from google.protobuf.descriptor import Descriptor
from google.protobuf.message import DecodeError, Message

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.scenario.loading import MAX_BYTES
from latebreak.service.server.gate import BusyError, Share, SlowError, peer_of
from latebreak.service.server.many import Asked
from latebreak.service.server.metrics import Metrics
from latebreak.service.server.record import Record
from latebreak.service.server.settings import Limits
from latebreak.service.server.work import TooMuchWorkError
from latebreak.service.wire.many import QUESTIONS, id_of
from latebreak.service.wire.scenarios import SOURCE
from latebreak.service.wire.size import count_values

#: Bytes of a message of health or reflection, which hold a name (chosen).
SMALL = 4096
#: Values of one message (chosen: ten for each entry that a request may have).
MOST_VALUES = 20_000
#: Calls that are open at once; messages of ours and of others on their way in, of which each may take 4 MB before it is
#: known to be too large (chosen).
_OPEN, _ARRIVING, _SMALL_ARRIVING = 1024, 64, 8
#: s; within this the message of a call must have come (chosen: 4 MB at 3 Mbit/s).
_ARRIVES_WITHIN = 10.0

_NO_MESSAGE = Fault("", "the bytes are no message of this call", "the messages of proto/latebreak/v1")

Call = Callable[[Any, grpc.aio.ServicerContext], Any]


class Reading(grpc.aio.ServerInterceptor):  # type: ignore[misc]
    """Reads the messages of all calls within their limits.

    Parameters
    ----------
    service : Descriptor
        Ours; its calls take single requests, or questions one by one. The messages of all others are small.
    limits : Limits
        What is taken on.
    metrics : Metrics
        What is counted.
    """

    def __init__(self, service: Any, limits: Limits, metrics: Metrics) -> None:
        self._metrics = metrics
        self._kinds: dict[str, tuple[Descriptor, int]] = {}
        for method in service.methods:
            tables = method.client_streaming or any(
                field.type == field.TYPE_BYTES for field in method.input_type.fields
            )
            most = limits.message_bytes if tables else min(limits.message_bytes, MAX_BYTES)
            self._kinds[f"/{service.full_name}/{method.name}"] = method.input_type, most
        self._ours, self._small = (
            (Share(_OPEN, "calls are open"), Share(arriving, "messages are on their way"))
            for arriving in (_ARRIVING, _SMALL_ARRIVING)
        )

    async def intercept_service(
        self,
        continuation: Callable[[grpc.HandlerCallDetails], Awaitable[grpc.RpcMethodHandler]],
        handler_call_details: grpc.HandlerCallDetails,
    ) -> grpc.RpcMethodHandler:
        """Put the reading before a call."""
        handler = await continuation(handler_call_details)
        if handler is None:
            return None
        path = handler_call_details.method
        kind, most = self._kinds.get(path, (None, SMALL))
        shares = self._small if kind is None else self._ours
        parse = handler.request_deserializer
        if handler.request_streaming and kind is not None:
            call = self._many(path, handler.stream_stream, parse, shares, kind, most)
        elif handler.request_streaming:
            call = self._streamed(path, handler.stream_stream, parse, shares)
        else:
            call = self._single(path, handler.unary_stream or handler.unary_unary, parse, shares, kind, most)
        make = (
            grpc.stream_stream_rpc_method_handler
            if handler.response_streaming
            else grpc.stream_unary_rpc_method_handler
        )
        return make(call, request_deserializer=None, response_serializer=handler.response_serializer)

    def _single(
        self, path: str, answer: Call, parse: Callable[[bytes], Message], shares: tuple[Share, Share],
        kind: Descriptor | None, most: int,
    ) -> Call:  # fmt: skip
        async def call(_: object, context: grpc.aio.ServicerContext) -> Any:
            peer, record = peer_of(context.peer()), Record(self._metrics, path, context)
            try:
                with shares[0].held(peer):
                    try:
                        async with shares[1].awaited(peer):
                            request = parse(_checked(await _arrived(context), kind, most))
                    except DecodeError:
                        raise InputError([_NO_MESSAGE], SOURCE) from None
                    return await answer(request, context)
            except (BusyError, InputError, SlowError, TooMuchWorkError) as error:
                record.refused(error)
                return None

        return call

    def _many(
        self, path: str, answer: Call, parse: Callable[[bytes], Message], shares: tuple[Share, Share],
        kind: Descriptor, most: int,
    ) -> Call:  # fmt: skip
        def read(content: bytes) -> Asked:
            try:
                message: Any = parse(_checked(content, kind, most))
                field = message.WhichOneof("question")
                if field is None:
                    allowed = ", ".join(one.name for one in QUESTIONS)
                    return Asked(message.id, InputError([Fault("question", "nothing is asked", allowed)], SOURCE))
                if field != "fit_throws":
                    _checked(content, None, min(most, MAX_BYTES))
                return Asked(message.id, getattr(message, field))
            except TooMuchWorkError as error:
                problem: LatebreakError = error
            except DecodeError:
                problem = InputError([_NO_MESSAGE], SOURCE)
            with suppress(DecodeError):
                return Asked(id_of(content), problem)
            return Asked("", problem)

        async def call(requests: AsyncIterator[bytes], context: grpc.aio.ServicerContext) -> None:
            try:
                with shares[0].held(peer_of(context.peer())):
                    await answer((read(content) async for content in requests), context)
            except BusyError as error:
                Record(self._metrics, path, context).refused(error)

        return call

    def _streamed(
        self, path: str, answer: Call, parse: Callable[[bytes], Message], shares: tuple[Share, Share]
    ) -> Call:
        async def call(requests: AsyncIterator[bytes], context: grpc.aio.ServicerContext) -> AsyncIterator[Any]:
            peer, record = peer_of(context.peer()), Record(self._metrics, path, context)

            async def small() -> AsyncIterator[Message]:
                async for content in requests:
                    yield parse(_checked(content, None, SMALL))

            try:
                with shares[0].held(peer):
                    async for response in answer(small(), context):
                        yield response
            except (BusyError, TooMuchWorkError) as error:
                record.refused(error)
            except DecodeError:
                record.refused(InputError([_NO_MESSAGE], SOURCE))

        return call


async def _arrived(context: grpc.aio.ServicerContext) -> bytes:
    """Wait for the one message of a call."""
    try:
        async with asyncio.timeout(_ARRIVES_WITHIN):
            content = await context.read()
    except TimeoutError:
        raise SlowError(f"the message of this call did not arrive within {_ARRIVES_WITHIN:g} s") from None
    if content is grpc.aio.EOF:
        raise DecodeError("no message")
    assert isinstance(content, bytes)  # nothing has made anything of it yet
    return content


def _checked(content: bytes, kind: Descriptor | None, most: int) -> bytes:
    """Return the bytes of a message that is small enough."""
    if len(content) > most:
        raise TooMuchWorkError(f"this message has {len(content):,} bytes; this call takes {most:,} at most")
    if kind is not None and count_values(content, kind, MOST_VALUES) > MOST_VALUES:
        raise TooMuchWorkError(
            f"the lists and maps of this request hold more than {MOST_VALUES:,} values together: ask about fewer "
            "pitches at a time"
        )
    return content
