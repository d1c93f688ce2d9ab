"""The client: the same questions, asked of a server, with the same answers."""

from latebreak.service.client import requests
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
from latebreak.service.client.many import Found, Question
from latebreak.service.client.requests import Request

__all__ = [
    "AsyncClient",
    "Client",
    "Found",
    "NotAllowedError",
    "OutOfTimeError",
    "Question",
    "RefusedError",
    "Request",
    "ServerFaultError",
    "ServiceError",
    "UnavailableError",
    "requests",
]
