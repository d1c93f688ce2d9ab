"""`latebreak serve`."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import click

from latebreak.service.cli.options import FILE


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(0, 65535), default=50051, show_default=True, help="0 = any free one.")
@click.option("--tls-cert", type=FILE, metavar="PEM", help="Certificate chain of this server.")
@click.option("--tls-key", type=FILE, metavar="PEM", help="Its private key.")
@click.option(
    "--tls-client-ca",
    type=FILE,
    metavar="PEM",
    help="Authority of clients: only those with a certificate of it may connect.",
)
@click.option(
    "--token-file",
    type=FILE,
    metavar="FILE",
    help="Holds the bearer token that callers must bring; or set LATEBREAK_TOKEN.",
)
@click.option("--insecure-listen", is_flag=True, help="Listen without TLS off this machine, in a trusted network.")
@click.option("--metrics-port", type=click.IntRange(0, 65535), metavar="N", help="Serve metrics over HTTP there.")
@click.option(
    "--at-once", type=click.IntRange(1, 1024), metavar="N", help="Requests worked on at once; default: cores."
)
@click.option("--waiting", type=click.IntRange(0, 100_000), metavar="N", help="Requests that may wait; default 64.")
@click.option(
    "--most-work",
    type=click.IntRange(1),
    metavar="THROWS",
    help="Simulated throws of one request over all pitches, levers and draws; default 200,000,000.",
)
@click.option(
    "--most-seconds", type=click.FloatRange(0.1), metavar="S", help="Longest time of a request; default 120 s."
)
@click.option(
    "--grace",
    type=click.FloatRange(0.0),
    default=10.0,
    show_default=True,
    help="Seconds that requests may take to end after SIGTERM.",
)
def command(
    host: str,
    port: int,
    tls_cert: Path | None,
    tls_key: Path | None,
    tls_client_ca: Path | None,
    token_file: Path | None,
    insecure_listen: bool,
    metrics_port: int | None,
    at_once: int | None,
    waiting: int | None,
    most_work: int | None,
    most_seconds: float | None,
    grace: float,
) -> None:
    """Answer the same questions over gRPC until SIGTERM; logs go to stderr, one JSON object a line."""
    from latebreak.service.server.logs import start_logs  # noqa: PLC0415 - heavy; not for the help
    from latebreak.service.server.settings import Limits, Settings, read_token  # noqa: PLC0415

    given: dict[str, Any] = {"at_once": at_once, "waiting": waiting, "work": most_work, "seconds": most_seconds}
    settings = Settings(
        host=host,
        port=port,
        token=read_token(token_file),
        certificate=_content(tls_cert),
        key=_content(tls_key),
        client_authority=_content(tls_client_ca),
        plain=insecure_listen,
        metrics_port=metrics_port,
        grace=grace,
        limits=Limits(**{key: value for key, value in given.items() if value is not None}),
    )
    start_logs()
    from latebreak.service.server.running import serve  # noqa: PLC0415 - what it has to say goes to the log

    asyncio.run(serve(settings))


def _content(path: Path | None) -> bytes | None:
    return None if path is None else path.read_bytes()
