"""Metrics of the service in the open text format, over HTTP, under the same authentication as calls."""

from __future__ import annotations

import ssl
import tempfile
import threading
from collections.abc import Callable, Iterable
from pathlib import Path
from socketserver import ThreadingMixIn
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, make_wsgi_app

from latebreak.service.server.authentication import is_valid
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


class _Quiet(WSGIRequestHandler):
    timeout = 10.0  # s; then a caller who says nothing is left

    def log_message(self, format: str, *args: Any) -> None:  # noqa: A002 - the library's name
        """Leave the log to the service."""


def serve_metrics(metrics: Metrics, settings: Settings) -> WSGIServer:
    """Serve the metrics in a thread of their own; the server it returns is shut down by `shutdown`."""
    assert settings.metrics_port is not None  # asked for
    server = make_server(
        settings.host, settings.metrics_port, _guarded(make_wsgi_app(metrics.registry), settings.token),
        server_class=_Server, handler_class=_Quiet,
    )  # fmt: skip
    if settings.secure:
        server.socket = _tls(settings).wrap_socket(
            server.socket, server_side=True, do_handshake_on_connect=False  # the caller's thread does it
        )  # fmt: skip
    threading.Thread(target=server.serve_forever, name="metrics", daemon=True).start()
    return server


def _guarded(app: Callable[..., Iterable[bytes]], token: str | None) -> Callable[..., Iterable[bytes]]:
    """Let only callers with the token see the metrics."""

    def guarded(environ: dict[str, Any], start_response: Callable[..., Any]) -> Iterable[bytes]:
        if token is not None and not is_valid(environ.get("HTTP_AUTHORIZATION"), token):
            start_response("401 Unauthorized", [("WWW-Authenticate", "Bearer"), ("Content-Type", "text/plain")])
            return [b"a valid token is wanted\n"]
        return app(environ, start_response)

    return guarded


def _tls(settings: Settings) -> ssl.SSLContext:
    assert settings.certificate is not None  # secure
    assert settings.key is not None
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    with tempfile.TemporaryDirectory() as folder:  # the library reads files only
        chain, key, authority = (Path(folder, name) for name in ("chain.pem", "key.pem", "authority.pem"))
        key.touch(0o600)
        chain.write_bytes(settings.certificate)
        key.write_bytes(settings.key)
        context.load_cert_chain(chain, key)
        if settings.client_authority is not None:
            authority.write_bytes(settings.client_authority)
            context.load_verify_locations(authority)
            context.verify_mode = ssl.CERT_REQUIRED
    return context
