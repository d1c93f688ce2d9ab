"""How a server is set up: where it listens, who may ask, and how much it takes on."""

from __future__ import annotations

import ipaddress
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from latebreak.engine.errors import Fault, InputError
from latebreak.service.server.own_certificate import time_fault
from latebreak.service.wording import shown

#: Environment variable that may hold the bearer token.
TOKEN_VARIABLE = "LATEBREAK_TOKEN"
#: Fewest characters of a token (chosen: beyond guessing where they are random).
SHORTEST_TOKEN = 16


@dataclass(frozen=True)
class Limits:
    """What a server takes on.

    Attributes
    ----------
    work : int
        Simulated throws of one request, over all pitches, levers and draws.
    message_bytes : int
        Size of one request with tables of throws; of others at most that of a scenario file. None may be compressed.
    at_once, waiting : int
        Requests worked on at once, and waiting for that.
    seconds : float
        Longest time for one request, whatever its deadline; of many in one call each has it. So long, too, such a call
        may stand without a question.
    streams : int
        Streams of flights, and calls of many questions, that are open at once.
    taken_within : float
        s; within this a caller must have taken the next chunk or answer of a stream.
    """

    work: int = 200_000_000
    message_bytes: int = 4_000_000
    at_once: int = max(1, os.cpu_count() or 1)
    waiting: int = 64
    seconds: float = 120.0
    streams: int = 64
    taken_within: float = 20.0


@dataclass(frozen=True)
class Settings:
    """A server.

    Attributes
    ----------
    host : str
        Address to listen on.
    port : int
        0 = any free one.
    token : str or None
        Bearer token that callers must bring.
    certificate, key : bytes or None
        PEM, for TLS.
    client_authority : bytes or None
        PEM of the authority whose clients alone may connect: mutual TLS.
    plain : bool
        Whether plain listening off this machine is explicitly allowed.
    metrics_port : int or None
        Port of the metrics; None for none.
    grace : float
        s that requests may take to end after SIGTERM.
    limits : Limits
        What it takes on.
    """

    host: str = "127.0.0.1"
    port: int = 50051
    token: str | None = None
    certificate: bytes | None = None
    key: bytes | None = None
    client_authority: bytes | None = None
    plain: bool = False
    metrics_port: int | None = None
    grace: float = 10.0
    limits: Limits = Limits()

    @property
    def secure(self) -> bool:
        """Whether callers come by TLS."""
        return self.certificate is not None


def is_loopback(host: str) -> bool:
    """Tell whether an address is on this machine only."""
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return host == "localhost"


def check(settings: Settings) -> None:
    """Refuse a server that would be open where it must not be.

    Raises
    ------
    InputError
        With every fault.
    """
    faults = []
    away = not is_loopback(settings.host)
    if (settings.certificate is None) != (settings.key is None):
        faults.append(Fault("tls-cert", "a certificate and its key come together", "--tls-cert and --tls-key"))
    if settings.certificate is not None and settings.key is not None:
        late = time_fault(settings.certificate, settings.key)
        faults += [] if late is None else [late]
    if settings.client_authority is not None and not settings.secure:
        faults.append(
            Fault("tls-client-ca", "clients can prove themselves over TLS only", "with --tls-cert, --tls-key")
        )
    if away and not settings.secure and not settings.plain:
        remedy = "give --tls-cert and --tls-key, or say --insecure-listen if the network is trusted"
        faults.append(Fault("host", f"{shown(settings.host)} is not this machine alone", "loopback, or TLS", remedy))
    if settings.token is not None:
        if away and not settings.secure:
            remedy = "give --tls-cert and --tls-key"
            faults.append(Fault("token", "a token would travel in the clear", "loopback, or TLS", remedy))
        if len(settings.token) < SHORTEST_TOKEN or not settings.token.isascii() or not settings.token.isprintable():
            allowed = f"at least {SHORTEST_TOKEN} printable ASCII characters"
            faults.append(Fault("token", "the token is too short or holds other characters", allowed))
    if faults:
        raise InputError(faults, "serve")


def read_token(path: Path | None, environment: Mapping[str, str] = os.environ) -> str | None:
    """Read the bearer token from a file, or from the environment; None where neither is given.

    An empty one is no token, and `check` refuses it: a server that was to be closed must not be open by mistake.
    """
    text = path.read_text(encoding="utf-8", errors="replace") if path is not None else environment.get(TOKEN_VARIABLE)
    return None if text is None else text.strip()
