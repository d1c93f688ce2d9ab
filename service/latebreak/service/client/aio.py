"""The client for asynchronous code: the twin of `Client`."""

from __future__ import annotations

from collections.abc import AsyncIterator
from types import TracebackType
from typing import Any, Self

import grpc
from google.protobuf.message import Message

from latebreak.service.client import requests
from latebreak.service.client.channel import DEADLINE, Door
from latebreak.service.client.errors import error_of
from latebreak.service.client.requests import Request
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
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc


class AsyncClient:
    """Asks a server; use it as an asynchronous context manager, or await `close`.

    Parameters and methods are those of `Client`; every method is awaited.
    """

    def __init__(self, address: str, *, deadline: float = DEADLINE, **how: Any) -> None:
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

    async def fly(self, source: Any, **asked: Any) -> Answer[FlyResult]:
        """Fly every pitch of a scenario."""
        return await self._ask(requests.fly(source, **asked))

    async def compare(self, source: Any, **asked: Any) -> Answer[CompareResult]:
        """Compare pitches behind the reference fastball."""
        return await self._ask(requests.compare(source, **asked))

    async def aim(self, source: Any, **asked: Any) -> Answer[AimResult]:
        """Find where a pitch should be aimed."""
        return await self._ask(requests.aim(source, **asked))

    async def mix(self, source: Any, **asked: Any) -> Answer[MixResult]:
        """Find how often each pitch should be thrown."""
        return await self._ask(requests.mix(source, **asked))

    async def levers(self, source: Any, **asked: Any) -> Answer[LeversResult]:
        """Step on each lever of a pitch."""
        return await self._ask(requests.levers(source, **asked))

    async def reach(self, source: Any, **asked: Any) -> Answer[ReachResult]:
        """Find how far each lever must be moved until a measure of a pitch reaches a goal."""
        return await self._ask(requests.reach(source, **asked))

    async def fit(self, throws: Any, **asked: Any) -> Answer[FitResult]:
        """Fit a scenario to measured throws."""
        return await self._ask(requests.fit(throws, **asked))

    async def flights(self, source: Any, **asked: Any) -> AsyncIterator[what_if_pb2.StreamFlightsResponse]:
        """Throw pitches and return their paths, chunk by chunk; stop early by closing the iterator."""
        request = requests.flights(source, **asked)
        call = self._stub.StreamFlights(request.message, timeout=self._deadline, metadata=self._door.metadata)
        try:
            async for chunk in call:
                yield chunk
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        finally:
            call.cancel()

    async def models(self) -> what_if_pb2.ListModelsResponse:
        """List the force laws and hitter models that scenarios can name there."""
        listed: what_if_pb2.ListModelsResponse = await self._call(
            Request("ListModels", what_if_pb2.ListModelsRequest())
        )
        return listed

    async def _ask(self, request: Request) -> Answer[Any]:
        return answer_of(await self._call(request))

    async def _call(self, request: Request) -> Any:
        method = getattr(self._stub, request.method)
        try:
            answer: Message = await method(request.message, timeout=self._deadline, metadata=self._door.metadata)
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        return answer
