"""Many questions of one call at the client: what has been asked and has no answer yet, and what came for it."""

from __future__ import annotations

from typing import Any, TypeAlias

import grpc
from google.rpc import status_pb2

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.client.errors import ServerFaultError, error_in
from latebreak.service.client.requests import Request
from latebreak.service.questions import Answer
from latebreak.service.wire.answers import answer_of
from latebreak.service.wire.many import MOST_QUESTIONS, request_of
from latebreak.service.wording import shown
from latebreak.v1 import what_if_pb2

#: A question with its id, and what came for it.
Question: TypeAlias = tuple[str, Request]
Found: TypeAlias = tuple[str, Answer[Any] | LatebreakError]


class Open:
    """Questions without an answer, over as many calls as it takes.

    The library takes what is asked in a thread or task of its own, so what the caller's iterator raises is kept until
    the questions before it have their answers.

    Parameters
    ----------
    address : str
        Of the server, for messages.

    Attributes
    ----------
    more : bool
        Whether there may be more questions than those of the calls so far.
    """

    def __init__(self, address: str) -> None:
        self._address = address
        self._open: dict[str, Request] = {}
        self._ids: set[str] = set()
        self._asked = 0
        self._trouble: BaseException | None = None
        self.more = True

    @property
    def is_full(self) -> bool:
        """Whether a call takes no more."""
        return self._asked == MOST_QUESTIONS

    def message(self, name: str, request: Request) -> what_if_pb2.AskRequest:
        """Put a question into a message."""
        if name in self._ids:
            raise InputError([Fault("id", f"{shown(name)} is the id of another question", "another one for each")])
        message = request_of(name, request.message)
        self._ids.add(name)
        self._open[name] = request
        self._asked += 1
        return message

    def over(self, trouble: BaseException) -> None:
        """Note why there are no more questions; an iteration that has ended is no trouble."""
        self.more = False
        self._trouble = None if isinstance(trouble, (StopIteration, StopAsyncIteration)) else trouble

    def found(self, response: what_if_pb2.AskResponse) -> Found:
        """Return what came for a question."""
        request = self._open.pop(response.id, None)
        which = response.WhichOneof("answer")
        if request is None or which is None:
            raise self._odd(f"an answer came for {shown(response.id)}, which asks nothing" if which else "no answer")
        if which == "status":
            status = status_pb2.Status.FromString(response.status.SerializeToString())
            return response.id, error_in(status, self._address, request.renamed)
        return response.id, answer_of(getattr(response, which))

    def ended(self) -> None:
        """Look back on a call that has gone well.

        Raises
        ------
        Exception
            What the caller's iterator raised.
        ServerFaultError
            If questions have no answer.
        """
        if self._open:
            raise self._odd(f"the call ended without answers to {len(self._open):,} questions")
        if self._trouble is not None:
            raise self._trouble
        self._asked = 0

    def _odd(self, what: str) -> ServerFaultError:
        return ServerFaultError(f"{self._address}: {what}", grpc.StatusCode.INTERNAL)
