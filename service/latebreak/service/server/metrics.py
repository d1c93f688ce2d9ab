"""Metrics of the service in the open text format, over HTTP, under the same authentication as calls."""

from __future__ import annotations

import io
import logging
import socket
import ssl
import sys
import tempfile
import threading
from collections.abc import Callable, Iterable
from pathlib import Path
from socketserver import ThreadingMixIn
from typing import Any, TextIO
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, make_wsgi_app

from latebreak.engine.plug_ins import said
from latebreak.service.server.authentication import is_valid
from latebreak.service.server.logs import tell
from latebreak.service.server.own_certificate import server_context
from latebreak.service.server.settings import Settings

#: s; from a floor of some milliseconds to the longest question.
_TIMES = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0, 120.0)


class Metrics:
    """What is counted."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        self.requests = Counter(
            "latebreak_requests",
            "Requests that ended, by method and status.",
            ["method", "status"],
            registry=self.registry,
        )
        self.seconds = Histogram(
            "latebreak_request_seconds",
            "Time from arrival to the end of a request, waiting included.",
            ["method"],
            buckets=_TIMES,
            registry=self.registry,
        )
        self.inside = Gauge("latebreak_requests_inside", "Requests at work or waiting.", registry=self.registry)
        self.throws = Counter("latebreak_throws", "Simulated throws of answered requests.", registry=self.registry)


class _Server(ThreadingMixIn, WSGIServer):
    """A thread for every caller, so that one who says nothing keeps nobody else waiting."""

    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Log what goes wrong with a connection as all else is logged."""
        tell(
            "metrics",
            level=logging.WARNING,
            peer=_address(client_address),
            problem=said(sys.exc_info()[1] or OSError()),
        )


class _Server6(_Server):
    address_family = socket.AF_INET6


class _Quiet(WSGIRequestHandler):
    timeout = 10.0  # s; then a caller who says nothing is left

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - the library's name
        """Leave the log to the service."""

    def get_stderr(self) -> TextIO:
        """Where the library writes traces of its own."""
        return _AsLines()


class _AsLines(io.StringIO):
    """Logs the last line of what is written, which says what went wrong."""

    def flush(self) -> None:
        """Log what has come."""
        lines = self.getvalue().split("\n")
        self.seek(0)
        self.truncate()
        told = [line for line in lines if line.strip()]
        if told:
            tell("metrics", level=logging.ERROR, problem=told[-1])


def serve_metrics(metrics: Metrics, settings: Settings) -> WSGIServer:
    """Serve the metrics in a thread of their own; the server it returns is shut down by `shutdown`."""
    assert settings.metrics_port is not None  # asked for
    host = settings.host.strip("[]")
    family = socket.getaddrinfo(host, settings.metrics_port, type=socket.SOCK_STREAM)[0][0]
    server = make_server(
        host, settings.metrics_port, _guarded(make_wsgi_app(metrics.registry), metrics, settings.token),
        server_class=_Server6 if family == socket.AF_INET6 else _Server, handler_class=_Quiet,
    )  # fmt: skip
    if settings.secure:
        server.socket = _tls(settings).wrap_socket(
            server.socket, server_side=True, do_handshake_on_connect=False  # the caller's thread does it
        )  # fmt: skip
    threading.Thread(target=server.serve_forever, name="metrics", daemon=True).start()
    return server


def _guarded(
    app: Callable[..., Iterable[bytes]], metrics: Metrics, token: str | None
) -> Callable[..., Iterable[bytes]]:
    """Let only callers with the token see the metrics."""

    def guarded(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        if token is not None and not is_valid(environ.get("HTTP_AUTHORIZATION"), token):
            metrics.requests.labels("metrics", "UNAUTHENTICATED").inc()
            tell("request", method="metrics", status="UNAUTHENTICATED", peer=environ.get("REMOTE_ADDR"))
            start_response("401 Unauthorized", [("WWW-Authenticate", "Bearer"), ("Content-Type", "text/plain")])
            return [b"a valid token is wanted\n"]
        return app(environ, start_response)

    return guarded


def _address(client_address: Any) -> str:
    return str(client_address[0]) if isinstance(client_address, tuple) and client_address else ""


def _tls(settings: Settings) -> ssl.SSLContext:
    assert settings.certificate is not None  # secure
    assert settings.key is not None
    context = server_context(settings.certificate, settings.key)
    if settings.client_authority is not None:
        with tempfile.TemporaryDirectory() as folder:  # the library reads text as ASCII only, files as they are
            authority = Path(folder, "authority.pem")
            authority.write_bytes(settings.client_authority)
            context.load_verify_locations(authority)
        context.verify_mode = ssl.CERT_REQUIRED
    return context
