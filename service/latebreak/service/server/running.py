"""A server from start to end: listen, warm up, say so, and drain when asked to stop.

What runs in this process can end it: a plug-in that calls `os._exit`, or crashes in machine code, takes all calls with
it, and no handler, log line or grace comes first. Callers see UNAVAILABLE, and a client of ours asks five times. So run
it under something that starts it again, and let nothing be installed beside it that is not trusted.
"""

from __future__ import annotations

import asyncio
import logging
import os
import signal
import socket
from collections.abc import Awaitable, Callable
from dataclasses import dataclass

import grpc
from grpc_health.v1 import health, health_pb2_grpc
from grpc_reflection.v1alpha import reflection

from latebreak.engine.errors import LatebreakError
from latebreak.engine.stopping import stoppable
from latebreak.service import questions as ask
from latebreak.service.judging.setting import one_blas_thread
from latebreak.service.scenario import parse
from latebreak.service.scenario.starter import starter_text
from latebreak.service.server.authentication import TokenCheck
from latebreak.service.server.health import ALL, Health
from latebreak.service.server.logs import tell
from latebreak.service.server.metrics import Metrics, serve_metrics
from latebreak.service.server.models import load_models
from latebreak.service.server.reading import Reading
from latebreak.service.server.record import Record
from latebreak.service.server.servicer import Servicer
from latebreak.service.server.settings import Settings, check
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

_OURS = what_if_pb2.DESCRIPTOR.services_by_name["WhatIfService"]
SERVICE = _OURS.full_name
#: Calls on one connection, and connections (chosen: some thousand file descriptors are usual).
_STREAMS, _CONNECTIONS = 100, 900
#: ms; a connection without a call is closed after this, and one that does not get so far as to be one (chosen: who
#: calls again connects again without noticing; who only holds connections holds them no longer).
_IDLE, _HANDSHAKE = 60_000, 10_000
#: ms; after this a connection takes no new calls, and so much later what still stands in it is dropped (chosen: many
#: questions of one call may take half an hour, whenever it begins): the library keeps the last chunk of a stream, and
#: its status, until the caller takes them or the connection ends.
_AGE, _LAST_CALLS = 1_800_000, 1_800_000


class ListenError(LatebreakError):
    """The address can't be listened on."""


@dataclass
class Running:
    """A server that listens; `port` is the one it got, also where any free one was asked for."""

    server: grpc.aio.Server
    health: Health
    servicer: Servicer
    port: int
    metrics_port: int | None
    stop_metrics: Callable[[], None]

    async def warm_up(self) -> None:
        """Load plug-ins and compile or load every kernel; only then say that the service is there."""
        for problem in await asyncio.to_thread(load_models):
            tell("plug_in", problem=problem)
        await asyncio.to_thread(warm_up)
        self.health.set(serving=True)
        tell("serving", port=self.port)

    async def drain(self, grace: float) -> None:
        """Take on nothing new, let what is at work end within `grace` seconds, then stop."""
        self.health.end()
        tell("draining", seconds=grace)
        self.servicer.end()
        await self.server.stop(grace)
        await self.servicer.close()
        self.stop_metrics()
        tell("stopped")


async def start(settings: Settings) -> Running:
    """Start to listen; health says NOT_SERVING until `Running.warm_up` has ended.

    Raises
    ------
    InputError
        If the settings would leave the server open where it must not be.
    ListenError
        If the address can't be listened on, or certificate and key don't fit.
    """
    check(settings)
    limits, metrics = settings.limits, Metrics()

    def refused(path: str, context: grpc.aio.ServicerContext, error: LatebreakError) -> None:
        Record(metrics, path, context).refused(error, context.peer())

    server = grpc.aio.server(
        interceptors=[
            *([TokenCheck(settings.token, refused)] if settings.token is not None else []),
            Reading(_OURS, limits, metrics),
        ],
        options=[
            ("grpc.compression_enabled_algorithms_bitset", 1),  # none: what a few bytes unpack to is known too late
            ("grpc.http2.bdp_probe", 0),  # on a quick line the window of what nobody reads would grow to megabytes
            ("grpc.max_concurrent_streams", _STREAMS),
            ("grpc.max_allowed_incoming_connections", _CONNECTIONS),
            ("grpc.max_connection_idle_ms", _IDLE),
            ("grpc.server_handshake_timeout_ms", _HANDSHAKE),
            ("grpc.max_connection_age_ms", _AGE),
            ("grpc.max_connection_age_grace_ms", _LAST_CALLS),
            ("grpc.max_receive_message_length", limits.message_bytes),
            ("grpc.so_reuseport", 0),
            ("grpc.keepalive_time_ms", 30_000),
            ("grpc.keepalive_timeout_ms", 10_000),
            ("grpc.http2.ping_timeout_ms", 10_000),  # the library waits so long for a ping, by default a minute
            ("grpc.http2.min_ping_interval_without_data_ms", 10_000),
        ],
    )
    healthy = Health((ALL, SERVICE))
    servicer = Servicer(limits, metrics, healthy.lost)
    what_if_pb2_grpc.add_WhatIfServiceServicer_to_server(servicer, server)
    health_pb2_grpc.add_HealthServicer_to_server(healthy, server)
    reflection.enable_server_reflection((SERVICE, health.SERVICE_NAME, reflection.SERVICE_NAME), server)
    host = f"[{settings.host}]" if ":" in settings.host and not settings.host.startswith("[") else settings.host
    address = f"{host}:{settings.port}"
    try:
        port = (
            server.add_secure_port(address, _credentials(settings))
            if settings.secure
            else server.add_insecure_port(address)
        )
    except (RuntimeError, ValueError) as error:
        raise ListenError(f"{address} can't be listened on: {_why_not(settings)}") from error
    stop_metrics, metrics_port = (lambda: None), None
    if settings.metrics_port is not None:
        try:
            web = serve_metrics(metrics, settings)
        except OSError as error:
            raise ListenError(f"the metrics can't be served on port {settings.metrics_port}: {error}") from error
        stop_metrics, metrics_port = web.shutdown, web.server_port
    await server.start()
    tell("listening", address=host, port=port, metrics_port=metrics_port, tls=settings.secure,
         token=settings.token is not None)  # fmt: skip
    if settings.token is None and settings.client_authority is None and (settings.secure or settings.plain):
        problem = "anyone who reaches this server may ask: neither a token nor an authority of clients is given"
        tell("open", level=logging.WARNING, problem=problem)
    return Running(server, healthy, servicer, port, metrics_port, stop_metrics)


async def serve(settings: Settings, ready: Callable[[Running], Awaitable[None] | None] = lambda running: None) -> None:
    """Serve until SIGTERM or an interrupt, then drain."""
    with one_blas_thread():  # for all questions at once: one that ends would give the others their threads back
        await _serve(settings, ready)


async def _serve(settings: Settings, ready: Callable[[Running], Awaitable[None] | None]) -> None:
    asked = asyncio.Event()
    _on_signals(asked.set)
    running = await start(settings)
    with stoppable(asked.is_set):  # who is asked to stop while it warms up ends at the next checkpoint
        warming = asyncio.create_task(running.warm_up())
    waiting = asyncio.create_task(asked.wait())
    await asyncio.wait([warming, waiting], return_when=asyncio.FIRST_COMPLETED)
    if not asked.is_set():
        warming.result()  # what goes wrong in the warm-up ends the server
        ready(running)
        await waiting
    await running.drain(settings.grace)
    _, hanging = await asyncio.wait([warming], timeout=settings.grace)
    if hanging or running.servicer.at_work:
        tell("left", level=logging.ERROR, problem="a plug-in or a question does not stop")
        logging.shutdown()
        os._exit(1)  # threads can't be ended, and the interpreter would wait for them
    warming.exception()  # seen


def _on_signals(tell_loop: Callable[[], None]) -> None:
    """Let SIGTERM and an interrupt call something in the event loop, which on Windows takes no signals itself."""
    loop = asyncio.get_running_loop()
    for number in (signal.SIGTERM, signal.SIGINT):
        try:
            loop.add_signal_handler(number, tell_loop)
        except NotImplementedError:
            signal.signal(number, lambda *_: loop.call_soon_threadsafe(tell_loop))


def warm_up() -> None:
    """Ask a small question of each kind, so that no caller waits for a compiler."""
    scenario = parse(starter_text("warm-up")).scenario
    ask.fly(scenario, throws=64)
    ask.compare(scenario, throws=64)
    ask.levers(scenario, pitch="curve", throws=64)
    ask.reach(scenario, pitch="curve", measure="late_break_in", goal="+0.1", throws=64, intervals=False)


def _why_not(settings: Settings) -> str:
    """Say what keeps a server from listening; the library says it in its own log only."""
    try:
        [(family, kind, _, _, address), *_] = socket.getaddrinfo(
            settings.host.strip("[]"), settings.port, type=socket.SOCK_STREAM
        )
        with socket.socket(family, kind) as tried:
            tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            tried.bind(address)
            tried.listen()
    except (OSError, UnicodeError) as error:
        return str(error)
    return "certificate, key and authority are no PEM, or don't fit together" if settings.secure else "no reason known"


def _credentials(settings: Settings) -> grpc.ServerCredentials:
    return grpc.ssl_server_credentials(
        [(settings.key, settings.certificate)],
        root_certificates=settings.client_authority,
        require_client_auth=settings.client_authority is not None,
    )
