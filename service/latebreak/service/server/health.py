"""Health as the standard asks for it: told to anyone, watched without holding anything up."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable

import grpc
from grpc_health.v1 import health_pb2, health_pb2_grpc

_Response = health_pb2.HealthCheckResponse
#: The name that stands for the whole server.
ALL = ""


class Health(health_pb2_grpc.HealthServicer):  # type: ignore[misc]
    """One state for all names: SERVING when it is warm, no thread is lost and it was not asked to end.

    Parameters
    ----------
    names : iterable of str
        Services that are known.
    """

    def __init__(self, names: Iterable[str]) -> None:
        self._names = frozenset(names)
        self._serving, self._lost, self._ended = False, 0, False
        self._changed = asyncio.Event()

    def set(self, *, serving: bool) -> None:
        """Say whether it is warm."""
        self._serving = serving
        self._tell()

    async def lost(self, count: int) -> None:
        """Say how many threads hang."""
        self._lost = count
        self._tell()

    def end(self) -> None:
        """Say that it ends; who watches is told so, and let go."""
        self._ended = True
        self._tell()

    async def Check(  # noqa: N802
        self, request: health_pb2.HealthCheckRequest, context: grpc.aio.ServicerContext
    ) -> health_pb2.HealthCheckResponse | None:
        """Tell the state now."""
        if request.service not in self._names:
            context.set_code(grpc.StatusCode.NOT_FOUND)
            return None
        return _Response(status=self._status())

    async def Watch(  # noqa: N802
        self, request: health_pb2.HealthCheckRequest, context: grpc.aio.ServicerContext
    ) -> None:
        """Tell the state now and whenever it changes, until the server ends."""
        told = None
        while True:
            changed, ended = self._changed, self._ended
            status = self._status() if request.service in self._names else _Response.SERVICE_UNKNOWN
            if status != told:
                await context.write(_Response(status=status))
                told = status
            if ended:
                return
            await changed.wait()

    def _status(self) -> health_pb2.HealthCheckResponse.ServingStatus:
        well = self._serving and not self._lost and not self._ended
        return _Response.SERVING if well else _Response.NOT_SERVING

    def _tell(self) -> None:
        self._changed.set()
        self._changed = asyncio.Event()
