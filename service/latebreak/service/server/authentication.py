"""Who may ask: a bearer token with every call, compared in constant time. Health alone is told to anyone."""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable

import grpc

from latebreak.engine.errors import LatebreakError

_OPEN = "/grpc.health.v1.Health/"


class NoTokenError(LatebreakError):
    """The call brought no valid token."""


def is_valid(header: str | bytes | None, token: str) -> bool:
    """Tell whether an authorization header carries the token."""
    given = header.encode("utf-8", "replace") if isinstance(header, str) else (header or b"")
    return hmac.compare_digest(given, f"Bearer {token}".encode())


class TokenCheck(grpc.aio.ServerInterceptor):  # type: ignore[misc]
    """Turns callers without the token away, before anything of their message is read.

    Parameters
    ----------
    token : str
        What they must bring.
    refuse : callable
        Answers a call: from its path, its context and the error.
    """

    def __init__(self, token: str, refuse: Callable[[str, grpc.aio.ServicerContext, LatebreakError], None]) -> None:
        self._token, self._refuse = token, refuse

    async def intercept_service(
        self,
        continuation: Callable[[grpc.HandlerCallDetails], Awaitable[grpc.RpcMethodHandler]],
        handler_call_details: grpc.HandlerCallDetails,
    ) -> grpc.RpcMethodHandler:
        """Let a call through, or answer it with UNAUTHENTICATED."""
        headers, path = dict(handler_call_details.invocation_metadata or ()), handler_call_details.method
        handler = await continuation(handler_call_details)
        if handler is None or path.startswith(_OPEN) or is_valid(headers.get("authorization"), self._token):
            return handler

        async def refused(_: object, context: grpc.aio.ServicerContext) -> None:
            error = NoTokenError("this server wants a valid token: authorization: Bearer TOKEN")
            self._refuse(path, context, error)

        return grpc.stream_stream_rpc_method_handler(refused)  # a stream that nobody reads; it answers nothing either
