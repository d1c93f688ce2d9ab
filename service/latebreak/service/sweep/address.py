"""Addresses of a scheduler that a sweep may use: whoever answers there makes this machine's answers, and runs code."""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from urllib.parse import urlsplit

from latebreak.engine.errors import Fault, InputError
from latebreak.service.wording import shown

_ALLOWED = "tcp://127.0.0.1:PORT (or localhost, [::1]), or tls://HOST:PORT"


@dataclass(frozen=True)
class Certificates:
    """Files for tls://, in PEM; None leaves what dask's own configuration says.

    Attributes
    ----------
    ca : Path or None
        Certificate of the authority that has signed the scheduler's and the workers'.
    cert, key : Path or None
        Certificate and key of this client.
    """

    ca: Path | None = None
    cert: Path | None = None
    key: Path | None = None


def checked_address(text: str, certificates: Certificates) -> str:
    """Return the address of a scheduler, put together anew from the parts that were checked.

    Parameters
    ----------
    text : str
        As given: ``tcp://HOST:PORT`` or ``tls://HOST:PORT``; without a scheme it is tcp.
    certificates : Certificates
        As given; they belong to tls.

    Raises
    ------
    InputError
        It is no such address, or neither encrypted nor on this machine.
    """
    try:
        parts = urlsplit(text if "://" in text else f"tcp://{text}")
        host, port, scheme = parts.hostname, parts.port, parts.scheme
    except ValueError:
        host = port = scheme = None
    is_plain = not text.strip("/") or any(character in text for character in "@?# \\") or not text.isprintable()
    if host is None or not port or is_plain or parts.path.strip("/"):
        raise InputError([Fault("scheduler", f"{shown(text)} is not the address of a scheduler", _ALLOWED)])
    if scheme not in ("tcp", "tls"):
        raise InputError([Fault("scheduler", f"{shown(text)} is neither tcp nor tls", _ALLOWED)])
    if scheme == "tcp" and not _is_loopback(host):
        raise InputError(
            [
                Fault(
                    "scheduler",
                    f"{shown(text)} is another machine, reached without encryption; a cluster executes code, so "
                    "whoever can speak to it, or in its place, could run anything here and there",
                    _ALLOWED,
                    "run the cluster with TLS, or reach its port through an SSH tunnel that ends on this machine",
                )
            ]
        )
    if scheme == "tcp" and certificates != Certificates():
        remedy = "give a tls:// address, or leave them out"
        raise InputError(
            [Fault("scheduler", f"certificates are given, but {shown(text)} is not tls", _ALLOWED, remedy)]
        )
    return f"{scheme}://{f'[{host}]' if ':' in host else host}:{port}"


def _is_loopback(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"
