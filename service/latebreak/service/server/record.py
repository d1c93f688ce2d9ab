"""How a request ended: counted, logged, and told to the caller."""

from __future__ import annotations

import logging
import time
import uuid
from typing import Any

import grpc
from google.rpc import status_pb2

from latebreak.engine.errors import LatebreakError
from latebreak.engine.plug_ins import PlugInError
from latebreak.service.server.faults import code_of, refuse, status_of
from latebreak.service.server.logs import tell
from latebreak.service.server.metrics import Metrics


class Record:
    """One request, from its arrival on.

    Parameters
    ----------
    metrics : Metrics
        What is counted.
    method : str
        Its name; the last part of a path counts.
    context : grpc.aio.ServicerContext
        The call.

    Attributes
    ----------
    number : str
        Of the request: the caller's own, where it is short and plain, or a new one.
    """

    def __init__(self, metrics: Metrics, method: str, context: grpc.aio.ServicerContext) -> None:
        self._metrics, self._method, self._context = metrics, method.rpartition("/")[2], context
        self._start = time.monotonic()
        given = dict(context.invocation_metadata() or ()).get("x-request-id", "")
        plain = isinstance(given, str) and 0 < len(given) <= 64 and given.isascii() and given.replace("-", "").isalnum()
        self.number = given if plain else uuid.uuid4().hex

    def ended(self, code: grpc.StatusCode, peer: str | None = None) -> None:
        """Count and log how it ended, and who was turned away."""
        who: dict[str, Any] = {} if peer is None else {"peer": peer}
        seconds = time.monotonic() - self._start
        self._metrics.requests.labels(self._method, code.name).inc()
        self._metrics.seconds.labels(self._method).observe(seconds)
        tell("request", request_id=self.number, method=self._method, status=code.name, seconds=round(seconds, 4),
             **who)  # fmt: skip

    def of_question(self, method: str, place: int) -> Record:
        """Return the record of the question that came in this place of the call, which begins now."""
        record = Record(self._metrics, method, self._context)
        record.number = f"{self.number}-{place}"
        return record

    def told(self, error: BaseException) -> status_pb2.Status:
        """Return what the caller is told of an error; a bug is logged."""
        if isinstance(error, PlugInError):
            tell("plug_in", level=logging.ERROR, problem=str(error), trouble=error.__cause__, request_id=self.number)
        elif not isinstance(error, LatebreakError):
            tell("bug", level=logging.ERROR, trouble=error, request_id=self.number)
        return status_of(error, self.number)

    def refused(self, error: BaseException, peer: str | None = None) -> None:
        """Answer the call with an error, and say how it ended."""
        status = self.told(error)
        self.ended(code_of(error), peer)
        refuse(self._context, status)
