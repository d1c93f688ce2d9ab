"""Who may ask: a bearer token with every call, compared in constant time. Health alone is told to anyone."""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable
from typing import Any

import grpc
from google.rpc import error_details_pb2

from latebreak.service.server.faults import DOMAIN, refuse, trailing

_OPEN = "/grpc.health.v1.Health/"
_SAID = "this server wants a valid token: authorization: Bearer TOKEN"


def is_valid(header: str | bytes | None, token: str) -> bool:
    """Tell whether an authorization header carries the token."""
    given = header.encode("utf-8", "replace") if isinstance(header, str) else (header or b"")
    return hmac.compare_digest(given, f"Bearer {token}".encode())


class TokenCheck(grpc.aio.ServerInterceptor):  # type: ignore[misc]
    """Turns callers without the token away.

    Parameters
    ----------
    token : str
        What they must bring.
    """

    def __init__(self, token: str) -> None:
        self._token = token

    async def intercept_service(
        self,
        continuation: Callable[[grpc.HandlerCallDetails], Awaitable[grpc.RpcMethodHandler]],
        handler_call_details: grpc.HandlerCallDetails,
    ) -> grpc.RpcMethodHandler:
        """Let a call through, or answer it with UNAUTHENTICATED."""
        headers = dict(handler_call_details.invocation_metadata or ())
        if handler_call_details.method.startswith(_OPEN) or is_valid(headers.get("authorization"), self._token):
            return await continuation(handler_call_details)
        handler = await continuation(handler_call_details)
        return None if handler is None else _refusing(handler)


def _refusing(handler: grpc.RpcMethodHandler) -> grpc.RpcMethodHandler:
    """Return a handler of the same kind that only refuses."""

    async def refuse_call(request: Any, context: grpc.aio.ServicerContext) -> None:
        code = grpc.StatusCode.UNAUTHENTICATED
        info = error_details_pb2.ErrorInfo(reason="NO_VALID_TOKEN", domain=DOMAIN)
        refuse(context, code, _SAID, trailing(code, _SAID, [info]))

    make = {
        (False, False): grpc.unary_unary_rpc_method_handler,
        (False, True): grpc.unary_stream_rpc_method_handler,
        (True, False): grpc.stream_unary_rpc_method_handler,
        (True, True): grpc.stream_stream_rpc_method_handler,
    }[handler.request_streaming, handler.response_streaming]
    return make(
        refuse_call,  # also where a stream is expected: it has no messages
        request_deserializer=handler.request_deserializer,
        response_serializer=handler.response_serializer,
    )
