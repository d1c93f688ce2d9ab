"""The client for ordinary code."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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


class Client:
    """Asks a server; use it as a context manager, or call `close`.

    Parameters
    ----------
    address : str
        HOST:PORT.
    deadline : float, optional
        s that a question may take.
    **how
        Token, authority, certificate, key, tls: as in `latebreak.service.client.channel.Door`.

    Notes
    -----
    Every method takes what the function of its name in `latebreak.service.questions` takes, but for `progress`, and
    raises the same `InputError`; what goes wrong on the way is a `ServiceError`.
    """

    def __init__(self, address: str, *, deadline: float = DEADLINE, **how: Unpack[Access]) -> None:
        self._door, self._deadline = Door(address, **how), deadline
        self._channel = (
            grpc.secure_channel(address, self._door.credentials(), self._door.options)
            if self._door.secure
            else grpc.insecure_channel(address, self._door.options)
        )
        self._stub = what_if_pb2_grpc.WhatIfServiceStub(self._channel)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the connection."""
        self._channel.close()

    @asking(requests.fly)
    def fly(self, request: Request) -> Answer[FlyResult]:
        """Fly every pitch of a scenario."""
        return self._ask(request)

    @asking(requests.compare)
    def compare(self, request: Request) -> Answer[CompareResult]:
        """Compare pitches behind the reference fastball."""
        return self._ask(request)

    @asking(requests.aim)
    def aim(self, request: Request) -> Answer[AimResult]:
        """Find where a pitch should be aimed."""
        return self._ask(request)

    @asking(requests.mix)
    def mix(self, request: Request) -> Answer[MixResult]:
        """Find how often each pitch should be thrown."""
        return self._ask(request)

    @asking(requests.levers)
    def levers(self, request: Request) -> Answer[LeversResult]:
        """Step on each lever of a pitch."""
        return self._ask(request)

    @asking(requests.reach)
    def reach(self, request: Request) -> Answer[ReachResult]:
        """Find how far each lever must be moved until a measure of a pitch reaches a goal."""
        return self._ask(request)

    @asking(requests.fit)
    def fit(self, request: Request) -> Answer[FitResult]:
        """Fit a scenario to measured throws."""
        return self._ask(request)

    @asking(requests.flights)
    def flights(self, request: Request) -> Iterator[Flights]:
        """Throw pitches and return their paths, chunk by chunk; stop early by closing the iterator."""
        call = self._stub.StreamFlights(request.message, timeout=self._deadline, metadata=self._door.metadata)
        try:
            for chunk in call:
                yield flights_of(chunk)
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        finally:
            call.cancel()

    def ask(self, questions: Iterable[Question], *, deadline: float = DEADLINE_OF_MANY) -> Iterator[Found]:
        """Ask many questions over few calls: the quickest way to thousands of answers.

        Parameters
        ----------
        questions : iterable of (str, Request)
            Each with an id of its own, 1 to 64 characters, and as `latebreak.service.client.requests` makes it. Read in
            another thread, a few ahead of the answers.
        deadline : float, optional
            s that up to 10,000 questions, those of one call, may take together.

        Yields
        ------
        id : str
            Of the question.
        found : Answer or LatebreakError
            What the method of the question would return or raise; in the order in which it is found out.
        """
        asked = Open(self._door.address)
        given = iter(questions)

        def messages() -> Iterator[what_if_pb2.AskRequest]:
            while not asked.is_full:
                try:
                    message = asked.message(*next(given))
                except BaseException as error:  # the library would swallow it
                    asked.over(error)
                    return
                yield message

        while asked.more:
            call = self._stub.Ask(messages(), timeout=deadline, metadata=self._door.metadata)
            try:
                yield from map(asked.found, call)
            except grpc.RpcError as error:
                raise error_of(error, self._door.address) from error
            finally:
                call.cancel()
            asked.ended()

    def models(self) -> tuple[Model, ...]:
        """List the force laws and hitter models that scenarios can name there."""
        return models_of(self._call(Request("ListModels", what_if_pb2.ListModelsRequest())))

    def _ask(self, request: Request) -> Answer[Any]:
        return answer_of(self._call(request))

    def _call(self, request: Request) -> Any:
        method = getattr(self._stub, request.method)
        try:
            answer: Message = method(request.message, timeout=self._deadline, metadata=self._door.metadata)
        except grpc.RpcError as error:
            raise error_of(error, self._door.address, request.renamed) from error
        return answer
