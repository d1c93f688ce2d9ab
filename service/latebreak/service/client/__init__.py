"""The client: the same questions, asked of a server, with the same answers."""

from latebreak.service.client.aio import AsyncClient
from latebreak.service.client.client import Client
from latebreak.service.client.errors import (
    NotAllowedError,
    OutOfTimeError,
    RefusedError,
    ServerFaultError,
    ServiceError,
    UnavailableError,
)

__all__ = [
    "AsyncClient",
    "Client",
    "NotAllowedError",
    "OutOfTimeError",
    "RefusedError",
    "ServerFaultError",
    "ServiceError",
    "UnavailableError",
]
