"""The calls: a request becomes a question, the question's answer a response; nothing is computed here.

Numbers are worked out in threads (`threads.py`); the event loop only hands over.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from typing import Any, TypeAlias, TypeVar

import grpc
from google.protobuf.message import Message
from google.rpc import status_pb2

from latebreak.engine.errors import LatebreakError
from latebreak.engine.stopping import StoppedError
from latebreak.service.server.answering import Answering
from latebreak.service.server.faults import code_of, refuse
from latebreak.service.server.gate import Gate, Share, SlowError, peer_of
from latebreak.service.server.many import Asked, Many
from latebreak.service.server.metrics import Metrics
from latebreak.service.server.models import models
from latebreak.service.server.record import Record
from latebreak.service.server.settings import Limits
from latebreak.service.server.threads import GIVEN_UP, Threads
from latebreak.service.server.work import check_size
from latebreak.service.wire.answers import fill_answer
from latebreak.service.wire.many import response_of, response_to
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

#: s; so much before a caller's deadline its call ends, so that it learns why; a tenth of the time if that is less.
_BEFORE_DEADLINE = 0.25
#: s; by so much the caller's clock may be ahead when it hangs up because the time is over (chosen).
_CLOCKS = 0.05
_OURS = "this server gives a request"

T = TypeVar("T")
Context: TypeAlias = grpc.aio.ServicerContext


class Servicer(what_if_pb2_grpc.WhatIfServiceServicer):
    """The service.

    Parameters
    ----------
    limits : Limits
        What is taken on.
    metrics : Metrics
        What is counted.
    lost : callable
        Told how many threads hang, whenever that changes.
    """

    def __init__(
        self, limits: Limits, metrics: Metrics, lost: Callable[[int], Awaitable[None]] = lambda count: asyncio.sleep(0)
    ) -> None:
        self._limits, self._metrics = limits, metrics
        self._answering = Answering(limits.work)
        self._gate = Gate(limits.at_once, limits.waiting)
        self._streams = Share(limits.streams, "streams are open")
        metrics.inside.set_function(lambda: self._gate.inside)
        self._threads = Threads(self._gate.slots, limits.at_once, lost)
        self._calls: set[asyncio.Task[Any]] = set()
        self._many: set[Many] = set()

    def end(self) -> None:
        """Take no further question of calls that ask many."""
        for many in self._many:
            many.end()

    async def close(self) -> None:
        """End the calls that a server which has stopped has left, and give the threads back."""
        for call in self._calls:
            call.cancel()
        if self._calls:
            await asyncio.wait(self._calls, timeout=2 * GIVEN_UP)
        self._threads.close()

    @property
    def at_work(self) -> int:
        """Threads that work: after `close`, those that can't be stopped."""
        return self._threads.at_work

    async def _single(self, request: Message, context: Context) -> Message | None:
        """Answer the one question of a call; which, its request says."""
        peer = peer_of(context.peer())

        async def answered() -> Message:
            with self._gate.places.held(peer):
                return await self._answered(request)

        record = Record(self._metrics, _method(request), context)
        return await self._through(record, context, self._limits.seconds, answered)

    Fly = Compare = Aim = Mix = Levers = Reach = FitThrows = _single

    async def Ask(self, questions: AsyncIterator[Asked], context: Context) -> None:  # noqa: N802
        """Answer many questions, each as it is done; the next is read when there is room for it."""
        peer, record = peer_of(context.peer()), Record(self._metrics, "Ask", context)

        async def answer(place: int, asked: Asked) -> Message:
            question = asked.question

            async def answered() -> Message:
                if isinstance(question, LatebreakError):
                    raise question
                return await self._answered(question)

            method = "Ask" if isinstance(question, LatebreakError) else _method(question)
            mine = record.of_question(method, place)
            found = await self._within(mine, context, self._limits.seconds, _OURS, answered)
            return response_to(asked.id, found)

        async def write(response: Message) -> None:
            await self._taken(response, context, "an answer", "ask for less at a time")

        async def all_of_them() -> None:
            ahead, quiet = 2 * self._limits.at_once, self._limits.seconds
            many = Many(questions, answer, write, self._gate.places, peer, ahead, quiet)
            with self._streams.held(peer):
                self._many.add(many)
                try:
                    await many.answered()
                finally:
                    self._many.discard(many)

        await self._through(record, context, None, all_of_them)

    async def StreamFlights(  # noqa: N802
        self, request: what_if_pb2.StreamFlightsRequest, context: Context
    ) -> None:
        """Whole flights, in chunks; the next chunk is flown when the last one was taken.

        A slot, and a place at the gate, are held while a chunk is flown, not while a slow reader takes it.
        """
        peer = peer_of(context.peer())

        async def sent() -> None:
            with self._gate.places.held(peer), self._streams.held(peer):
                check_size(request)
                chunks = await self._threads.work(lambda: self._answering.flights(request))
                while (chunk := await self._threads.work(lambda: next(chunks, None))) is not None:
                    self._metrics.throws.inc(len(chunk.paths))
                    with self._gate.places.aside(peer):
                        await self._taken(chunk, context, "a chunk", "ask for fewer throws")

        record = Record(self._metrics, "StreamFlights", context)
        await self._through(record, context, self._limits.seconds, sent)

    async def ListModels(  # noqa: N802
        self, request: what_if_pb2.ListModelsRequest, context: Context
    ) -> what_if_pb2.ListModelsResponse:
        """List the force laws and hitter models that scenarios can name."""
        Record(self._metrics, "ListModels", context).ended(grpc.StatusCode.OK)
        return models()

    # --- how every call goes ----------------------------------------------------------------------------------------
    async def _answered(self, request: Message) -> Message:
        """Answer a question that has been let in."""

        def work() -> Message:
            answer = self._answering.answer(request)
            response = response_of(request)
            fill_answer(response, answer)
            self._metrics.throws.inc(answer.throws)
            return response

        check_size(request)
        return await self._threads.work(work)

    async def _through(
        self, record: Record, context: Context, most: float | None, work: Callable[[], Awaitable[T]]
    ) -> T | None:
        """Give a call its time, at most so many seconds, and tell the caller where it went wrong."""
        call = asyncio.current_task()
        assert call is not None  # every call is one
        self._calls.add(call)
        call.add_done_callback(self._calls.discard)
        seconds, whose = most, _OURS
        remaining = context.time_remaining()
        if remaining is not None and (most is None or remaining < most):
            seconds, whose = remaining - min(_BEFORE_DEADLINE, 0.1 * remaining), "the caller gives this request"
        found = await self._within(record, context, seconds, whose, work)
        if isinstance(found, status_pb2.Status):
            refuse(context, found)
            return None
        return found

    async def _within(
        self, record: Record, context: Context, seconds: float | None, whose: str, work: Callable[[], Awaitable[T]]
    ) -> T | status_pb2.Status:
        """Give work its time, log how it ended, and return what it gave or what the caller is told."""
        code = grpc.StatusCode.OK
        try:
            async with asyncio.timeout(seconds):
                return await work()
        except asyncio.CancelledError:
            remaining = context.time_remaining()
            late = remaining is not None and remaining < _CLOCKS
            code = grpc.StatusCode.DEADLINE_EXCEEDED if late else grpc.StatusCode.CANCELLED
            raise
        except TimeoutError:
            code = grpc.StatusCode.DEADLINE_EXCEEDED
            status = record.told(StoppedError(f"not done within the {seconds:.3g} s that {whose}"))
        except Exception as error:
            code = code_of(error)
            status = record.told(error)
        finally:
            record.ended(code)
        return status

    async def _taken(self, message: Message, context: Context, what: str, remedy: str) -> None:
        """Wait until a message of a stream has been taken."""
        try:
            async with asyncio.timeout(self._limits.taken_within):
                await context.write(message)
        except TimeoutError:
            text = f"{what} was not taken within the {self._limits.taken_within:g} s that this server waits"
            raise SlowError(f"{text}: read the stream faster, or {remedy}") from None
        except grpc.aio.InternalError as error:  # nothing takes it any more
            raise asyncio.CancelledError("the caller has hung up") from error


def _method(request: Message) -> str:
    """Method that a request asks for."""
    return type(request).__name__.removesuffix("Request")
