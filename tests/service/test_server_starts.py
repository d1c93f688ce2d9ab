"""How a server refuses to start: what is at fault is said, with its status."""

import json
import logging
import re
import socket
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import grpc
import pytest
from commands import COMMAND
from serving import environment

from latebreak.service.cli.main import status
from latebreak.service.server.logs import LOG

Refusal = Callable[..., tuple[int, str]]


@pytest.fixture
def refused(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Refusal]:
    """Run `latebreak serve` in this process, where it must not come to listening: status, a line for each fault."""
    monkeypatch.delenv("LATEBREAK_TOKEN", raising=False)
    kept = [(logger, logger.handlers[:]) for logger in (LOG, logging.getLogger())]

    def run(*options: str) -> tuple[int, str]:
        monkeypatch.setattr("sys.argv", ["latebreak", "serve", *options])
        code = status()
        return code, re.sub(r"\n  (?=\S)", " ", capsys.readouterr().err)

    yield run
    for logger, handlers in kept:
        logger.handlers[:] = handlers


def test_a_port_in_use_is_trouble_that_says_so(refused: Refusal) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        words = [COMMAND, "serve", "--port", port]
        done = subprocess.run(words, check=False, capture_output=True, text=True, env=environment(), timeout=120.0)
        assert (done.returncode, done.stdout) == (3, "")
        assert done.stderr == f"127.0.0.1:{port} can't be listened on: [Errno 98] Address already in use\n"
        code, told = refused("--port", "0", "--metrics-port", port)
    assert (code, told) == (
        3,
        f"the metrics can't be served on port {port}: [Errno 98] Address already in use\n",
    )


def test_an_unknown_host_is_trouble(refused: Refusal) -> None:
    code, told = refused("--host", "nowhere.invalid", "--insecure-listen")
    assert code == 3
    assert told.startswith("nowhere.invalid:50051 can't be listened on: ")
    assert "Traceback" not in told


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--port", "70000"], "--port"),
        (["--at-once", "0"], "--at-once"),
        (["--waiting", "-1"], "--waiting"),
        (["--most-work", "0"], "--most-work"),
        (["--most-seconds", "0"], "--most-seconds"),
        (["--grace", "-1"], "--grace"),
        (["--port", "many"], "--port"),
        (["--token", "not-on-the-command-line"], "--token"),
    ],
)
def test_an_impossible_option_is_named(refused: Refusal, options: list[str], words: str) -> None:
    code, told = refused(*options)
    assert code == 2
    assert words in told
    assert "Traceback" not in told


def test_settings_are_refused_with_all_their_faults(refused: Refusal, tmp_path: Path) -> None:
    short, pem = tmp_path / "token", tmp_path / "a.pem"
    short.write_text("short\n")
    pem.write_text("no matter what")
    code, told = refused(
        "--host", "0.0.0.0", "--token-file", str(short), "--tls-key", str(pem), "--tls-client-ca", str(pem)
    )
    assert code == 2
    faults = [line for line in told.splitlines() if not line.startswith(" ")]  # what goes on is indented
    assert {line.split(": ")[1] for line in faults} == {"tls-cert", "tls-client-ca", "host", "token"}
    assert len(faults) == 5  # the token is at fault twice
    assert "short\n" not in told


def test_a_token_file_without_a_token_does_not_open_the_server(
    refused: Refusal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for content in (b"", b"\n", b"\xff\xfe\x00 no text at all"):
        file = tmp_path / "token"
        file.write_bytes(content)
        code, told = refused("--token-file", str(file))
        assert (code, told.split(": ")[:2]) == (2, ["serve", "token"])
    monkeypatch.setenv("LATEBREAK_TOKEN", "")
    assert refused()[0] == 2


@pytest.mark.parametrize("option", ["--token-file", "--tls-cert", "--tls-key", "--tls-client-ca"])
def test_a_file_that_is_not_there_is_trouble(refused: Refusal, tmp_path: Path, option: str) -> None:
    code, told = refused(option, str(tmp_path / "nowhere"))
    assert code == 3
    assert "nowhere" in told
    assert "Traceback" not in told


def test_files_that_are_no_certificates_are_trouble(refused: Refusal, tmp_path: Path) -> None:
    pem = tmp_path / "a.pem"
    pem.write_text("no certificate at all")
    code, told = refused("--port", "0", "--tls-cert", str(pem), "--tls-key", str(pem))
    assert code == 3
    assert (
        told == "127.0.0.1:0 can't be listened on: certificate, key and authority are no PEM, or don't fit together\n"
    )


def test_bugs_are_logged_in_full_and_told_by_number_alone(caplog: pytest.LogCaptureFixture) -> None:
    """A fault of ours: the caller learns the number of the request, the log what happened."""
    from latebreak.service.server.faults import status_of
    from latebreak.service.server.logs import JsonLines

    status = status_of(ZeroDivisionError("innermost secrets"), "n-1")
    assert status.code == grpc.StatusCode.INTERNAL.value[0]
    assert "n-1" in status.message
    assert b"secrets" not in status.SerializeToString()
    try:
        raise ZeroDivisionError("innermost secrets")
    except ZeroDivisionError as error:
        record = LOG.makeRecord(
            LOG.name, logging.ERROR, __file__, 1, "bug", (), (type(error), error, error.__traceback__),
            extra={"fields": {"request_id": "n-1"}},
        )  # fmt: skip
    line: dict[str, Any] = json.loads(JsonLines().format(record))
    assert (line["event"], line["level"], line["request_id"]) == ("bug", "error", "n-1")
    assert "ZeroDivisionError: innermost secrets" in line["trace"]
    foreign = logging.LogRecord("some.library", logging.WARNING, __file__, 1, "look %s", ("here",), None)
    line = json.loads(JsonLines().format(foreign))
    assert (line["event"], line["library"], line["message"]) == ("library", "some.library", "look here")
