"""How to reach a server: address, TLS, token, and when a call is tried again."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TypedDict

import grpc

from latebreak.engine.errors import Fault, InputError
from latebreak.service.server.settings import is_loopback
from latebreak.service.wording import shown

#: s; a question that takes longer has failed.
DEADLINE = 60.0
#: s; the same for up to 10,000 questions of one call (chosen: so long a server surely keeps a connection).
DEADLINE_OF_MANY = 1800.0
#: Largest answer that is taken, bytes.
LARGEST_ANSWER = 64_000_000

#: A server that went away may come back; asking again is safe, since a question changes nothing.
SERVICE_CONFIG = {
    "methodConfig": [
        {
            "name": [{"service": "latebreak.v1.WhatIfService"}],
            "retryPolicy": {
                "maxAttempts": 5,
                "initialBackoff": "0.2s",
                "maxBackoff": "3s",
                "backoffMultiplier": 2.0,
                "retryableStatusCodes": ["UNAVAILABLE"],
            },
        }
    ]
}
#: ms; longest pause between attempts to connect (chosen: the library's own two minutes would keep a client waiting long
#: after its server is back).
LONGEST_PAUSE = 3000
OPTIONS = (
    ("grpc.service_config", json.dumps(SERVICE_CONFIG)),
    ("grpc.enable_retries", 1),
    ("grpc.max_receive_message_length", LARGEST_ANSWER),
    ("grpc.max_reconnect_backoff_ms", LONGEST_PAUSE),
)


class Access(TypedDict, total=False):
    """What opens the door: as in `Door`."""

    token: str | None
    authority: bytes | None
    certificate: bytes | None
    key: bytes | None
    tls: bool


@dataclass(frozen=True)
class Door:
    """How to reach a server.

    Attributes
    ----------
    address : str
        HOST:PORT.
    token : str or None
        Bearer token.
    authority : bytes or None
        PEM of the authority that the server's certificate comes from; None = no TLS, unless `tls`.
    certificate, key : bytes or None
        PEM, for mutual TLS.
    tls : bool
        TLS with the authorities that this machine trusts.
    """

    address: str
    token: str | None = None
    authority: bytes | None = None
    certificate: bytes | None = None
    key: bytes | None = None
    tls: bool = False

    def __post_init__(self) -> None:
        host, _, port = self.address.rpartition(":")
        if not host or not port.isdigit() or not 0 < int(port) < 65536:
            raise InputError([Fault("server", f"{shown(self.address)} is no address", "HOST:PORT")])
        if (self.certificate is None) != (self.key is None):
            raise InputError([Fault("server", "a certificate and its key come together", "both or neither")])
        if self.token and not (self.token.isascii() and self.token.isprintable()):
            raise InputError([Fault("token", "the token holds a line break or other characters", "printable ASCII")])
        if self.token and not self.secure and not is_loopback(host):
            problem = "a token would travel in the clear"
            raise InputError([Fault("server", problem, "loopback, or TLS", "give the server's authority")])

    @property
    def secure(self) -> bool:
        """Whether to come by TLS."""
        return self.tls or self.authority is not None or self.certificate is not None

    @property
    def options(self) -> tuple[tuple[str, str | int], ...]:
        """Options of the channel; what stays on this machine goes through no proxy, whatever the environment says."""
        here = is_loopback(self.address.rpartition(":")[0])
        return (*OPTIONS, ("grpc.enable_http_proxy", 0)) if here else OPTIONS

    @property
    def metadata(self) -> tuple[tuple[str, str], ...]:
        """What goes with every call."""
        return (("authorization", f"Bearer {self.token}"),) if self.token else ()

    def credentials(self) -> grpc.ChannelCredentials:
        """Credentials of the channel, for TLS."""
        return grpc.ssl_channel_credentials(self.authority, self.key, self.certificate)
