"""The client for asynchronous code: the twin of `Client`."""

from __future__ import annotations

from collections.abc import AsyncIterable, AsyncIterator, Iterable
from types import TracebackType
from typing import Any, Self, Unpack

import grpc
from google.protobuf.message import Message

from latebreak.service.client import requests
from latebreak.service.client.channel import DEADLINE, DEADLINE_OF_MANY, Access, Door
from latebreak.service.client.errors import error_of
from latebreak.service.client.many import Found, Open, Question
from latebreak.service.client.requests import Request, asking
from latebreak.service.questions import (
    AimResult,
    Answer,
    CompareResult,
    FitResult,
    FlyResult,
    LeversResult,
    MixResult,
    ReachResult,
)
from latebreak.service.wire.answers import answer_of
from latebreak.service.wire.listings import Flights, Model, flights_of, models_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc


class AsyncClient:
    """Asks a server; use it as an asynchronous context manager, or await `close`.

    Parameters and methods are those of `Client`; every method is awaited.
    """

    def __init__(self, address: str, *, deadline: float = DEADLINE, **how: Unpack[Access]) -> None:
        self._door, self._deadline = Door(address, **how), deadline
        self._channel = (
            grpc.aio.secure_channel(address, self._door.credentials(), self._door.options)
            if self._door.secure
            else grpc.aio.insecure_channel(address, self._door.options)
        )
        self._stub = what_if_pb2_grpc.WhatIfServiceStub(self._channel)

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        await self.close()

    async def close(self) -> None:
        """Let go of the connection."""
        await self._channel.close()

    @asking(requests.fly)
    async def fly(self, request: Request) -> Answer[FlyResult]:
        """Fly every pitch of a scenario."""
        return await self._ask(request)

    @asking(requests.compare)
    async def compare(self, request: Request) -> Answer[CompareResult]:
        """Compare pitches behind the reference fastball."""
        return await self._ask(request)

    @asking(requests.aim)
    async def aim(self, request: Request) -> Answer[AimResult]:
        """Find where a pitch should be aimed."""
        return await self._ask(request)

    @asking(requests.mix)
    async def mix(self, request: Request) -> Answer[MixResult]:
        """Find how often each pitch should be thrown."""
        return await self._ask(request)

    @asking(requests.levers)
    async def levers(self, request: Request) -> Answer[LeversResult]:
        """Step on each lever of a pitch."""
        return await self._ask(request)

    @asking(requests.reach)
    async def reach(self, request: Request) -> Answer[ReachResult]:
        """Find how far each lever must be moved until a measure of a pitch reaches a goal."""
        return await self._ask(request)

    @asking(requests.fit)
    async def fit(self, request: Request) -> Answer[FitResult]:
        """Fit a scenario to measured throws."""
        return await self._ask(request)

    @asking(requests.flights)
    async def flights(self, request: Request) -> AsyncIterator[Flights]:
        """Throw pitches and return their paths, chunk by chunk; stop early by closing the iterator."""
        call = self._stub.StreamFlights(request.message, timeout=self._deadline, metadata=self._door.metadata)
        try:
            async for chunk in call:
                yield flights_of(chunk)
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        finally:
            call.cancel()

    async def ask(
        self, questions: Iterable[Question] | AsyncIterable[Question], *, deadline: float = DEADLINE_OF_MANY
    ) -> AsyncIterator[Found]:
        """Ask many questions over few calls; a plain iterable must not block."""
        asked = Open(self._door.address)
        given = aiter(questions) if isinstance(questions, AsyncIterable) else _one_by_one(questions)

        async def messages() -> AsyncIterator[what_if_pb2.AskRequest]:
            while not asked.is_full:
                try:
                    message = asked.message(*await anext(given))
                except Exception as error:
                    asked.over(error)
                    return
                yield message

        while asked.more:
            call = self._stub.Ask(messages(), timeout=deadline, metadata=self._door.metadata)
            try:
                async for response in call:
                    yield asked.found(response)
            except grpc.RpcError as error:
                raise error_of(error, self._door.address) from error
            finally:
                call.cancel()
            asked.ended()

    async def models(self) -> tuple[Model, ...]:
        """List the force laws and hitter models that scenarios can name there."""
        return models_of(await self._call(Request("ListModels", what_if_pb2.ListModelsRequest())))

    async def _ask(self, request: Request) -> Answer[Any]:
        return answer_of(await self._call(request))

    async def _call(self, request: Request) -> Any:
        method = getattr(self._stub, request.method)
        try:
            answer: Message = await method(request.message, timeout=self._deadline, metadata=self._door.metadata)
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        return answer


async def _one_by_one(questions: Iterable[Question]) -> AsyncIterator[Question]:
    for question in questions:
        yield question
