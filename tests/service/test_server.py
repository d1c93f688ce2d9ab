"""A running server: health, reflection, flights, logs, metrics, and how it refuses to start."""

import json
import logging
import os
import re
import socket
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import grpc
import numpy as np
import pytest
from commands import COMMAND
from google.protobuf.descriptor_pool import DescriptorPool
from google.rpc import error_details_pb2
from grpc_health.v1 import health_pb2, health_pb2_grpc
from grpc_reflection.v1alpha.proto_reflection_descriptor_database import ProtoReflectionDescriptorDatabase
from grpc_status import rpc_status
from serving import Served, environment, serving

from latebreak.engine.errors import InputError
from latebreak.service.cli.main import status
from latebreak.service.client import Client
from latebreak.service.questions.paths import throw_paths
from latebreak.service.scenario import load
from latebreak.service.server.logs import LOG
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

SERVICE = "latebreak.v1.WhatIfService"
NOT_SERVING, SERVING = health_pb2.HealthCheckResponse.NOT_SERVING, health_pb2.HealthCheckResponse.SERVING

Refusal = Callable[..., tuple[int, str]]


@pytest.fixture
def channel(server: Served) -> Iterator[grpc.Channel]:
    """A channel as any other client opens it, with the library's own limits."""
    with grpc.insecure_channel(server.address) as opened:
        yield opened


def until(true: Callable[[], bool], seconds: float = 60.0) -> None:
    """Wait until something is true."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it never came true"
        time.sleep(0.02)


# --- health, reflection, models -------------------------------------------------------------------------------------
def test_health_says_serving_only_when_the_kernels_are_warm() -> None:
    with serving(until="listening") as served, grpc.insecure_channel(served.address) as channel:
        health = health_pb2_grpc.HealthStub(channel)
        watched = health.Watch(health_pb2.HealthCheckRequest(service=SERVICE))
        assert next(watched).status == NOT_SERVING
        for name in ("", SERVICE):
            assert health.Check(health_pb2.HealthCheckRequest(service=name)).status == NOT_SERVING
        assert "serving" not in {line["event"] for line in served.log_lines()}, "it was warm before it was asked"
        assert next(watched).status == SERVING
        for name in ("", SERVICE):
            assert health.Check(health_pb2.HealthCheckRequest(service=name)).status == SERVING
        served.wait_for("serving", 10.0)
        with pytest.raises(grpc.RpcError) as unknown:
            health.Check(health_pb2.HealthCheckRequest(service="nowhere"))
        assert unknown.value.code() == grpc.StatusCode.NOT_FOUND


def test_reflection_tells_the_service_and_its_messages_to_who_knows_nothing(channel: grpc.Channel) -> None:
    told = ProtoReflectionDescriptorDatabase(channel)
    assert {SERVICE, "grpc.health.v1.Health"} <= set(told.get_services())
    pool = DescriptorPool(told)
    ours = what_if_pb2.DESCRIPTOR.services_by_name["WhatIfService"]
    theirs = pool.FindServiceByName(SERVICE)
    assert [method.name for method in theirs.methods] == [method.name for method in ours.methods]
    for one, other in zip(theirs.methods, ours.methods, strict=True):
        for sent, known in ((one.input_type, other.input_type), (one.output_type, other.output_type)):
            fields = [(field.name, field.number, field.type) for field in sent.fields]
            assert fields == [(field.name, field.number, field.type) for field in known.fields]


def test_models_are_listed_with_who_brings_them(server: Served) -> None:
    with Client(server.address) as client:
        found = {(one.kind, one.name): one for one in client.models()}
    ours = {key: one for key, one in found.items() if one.distribution == "latebreak"}
    assert {("lift_law", "saturating_lift"), ("drag_law", "falling_drag"), ("hitter_model", "one_glance")} <= set(ours)
    assert all(one.version and not one.problem for one in ours.values())


# --- flights --------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize(("points", "throws"), [(None, 2500), (257, 300), (3, 700)])
def test_all_flights_come_in_order_and_below_the_usual_limit(
    channel: grpc.Channel, points: int | None, throws: int
) -> None:
    names = ["curve_spike", "fastball"]
    request = what_if_pb2.StreamFlightsRequest(pitches=names, points=points, throws=throws, seed=11)
    request.scenario.CopyFrom(message_of(load("two-grips")))
    chunks = list(what_if_pb2_grpc.WhatIfServiceStub(channel).StreamFlights(request))  # 4 MB is all this channel takes
    came = [(chunk.pitch, path.throw) for chunk in chunks for path in chunk.paths]
    assert came == [(name, throw) for name in names for throw in range(throws)]
    flown = throw_paths("two-grips", names, points or 33, throws, seed=11, throws=throws)
    here: dict[str, list[tuple[np.ndarray, str]]] = {name: [] for name in names}
    for name, _, states, outcomes in flown:
        here[name] += [(states[:, :, one], outcome) for one, outcome in enumerate(outcomes)]
    for chunk in chunks:
        for path in chunk.paths:
            states, outcome = here[chunk.pitch][path.throw]
            assert path.outcome == outcome
            np.testing.assert_array_equal(np.array([path.time_s, path.x_ft, path.y_ft, path.z_ft]), states)


def test_faults_of_a_request_for_flights_are_told_before_anything_flies(server: Served) -> None:
    before = server.metric("latebreak_throws_total")
    with Client(server.address) as client:
        with pytest.raises(InputError) as found:
            next(client.flights("two-grips", pitches=["curve_spike", "nix"], points=2))
        with pytest.raises(InputError, match="throws"):
            next(client.flights("two-grips", throws=0))
    assert {fault.where for fault in found.value.faults} == {"points", "pitches"}
    assert server.metric("latebreak_throws_total") == before


def test_a_slow_reader_holds_the_flights_back_and_nobody_up(server: Served) -> None:
    asked = 1_000_000  # throws: 1 GB of paths for each reader
    readers = 1 + (os.cpu_count() or 1)  # more than are worked on at once
    before, memory = server.metric("latebreak_throws_total"), server.rss()
    with ExitStack() as stack:
        client = stack.enter_context(Client(server.address))
        streams = [client.flights("two-grips", pitches=["fastball"], throws=asked) for _ in range(readers)]
        for stream in streams:
            stack.callback(stream.close)  # type: ignore[attr-defined]
            assert next(stream).paths[0].throw == 0
        flown = [-1.0]

        def stands_still() -> bool:
            time.sleep(0.5)
            flown.append(server.metric("latebreak_throws_total") - before)
            return flown[-1] == flown[-2]

        until(stands_still)
        # 5 %: what the windows of the transport hold, some ten chunks of 500 kB each
        assert 0 < flown[-1] < 0.05 * asked * readers
        assert server.rss() - memory < readers * 50e6
        assert server.metric("latebreak_requests_inside") == 0  # nor a place at the gate
        assert client.fly("two-grips", throws=200).throws == 200  # no slot is held by who reads nothing
        ended = len(server.requests("StreamFlights"))
    until(lambda: server.metric("latebreak_requests_inside") == 0)
    lines = server.requests("StreamFlights")[ended:]
    assert [line["status"] for line in lines] == ["CANCELLED"] * readers


# --- logs and metrics -----------------------------------------------------------------------------------------------
def test_logs_are_json_lines_with_the_callers_number_and_without_its_scenario(
    server: Served, channel: grpc.Channel
) -> None:
    scenario = message_of(load("two-grips"))
    scenario.title = "Zanzibar Quokkas"
    stub = what_if_pb2_grpc.WhatIfServiceStub(channel)
    request = what_if_pb2.FlyRequest(scenario=scenario, throws=100)
    for number in ("bullpen-17", "x" * 64, "x" * 65, "no blanks", "a_b", ""):
        stub.Fly(request, metadata=[("x-request-id", number)])
    stub.Fly(request)
    scenario.pitch["fastball"].speed_mph = -5.0
    with pytest.raises(grpc.RpcError) as found:
        stub.Fly(what_if_pb2.FlyRequest(scenario=scenario), metadata=[("x-request-id", "at-fault")])
    server.wait_for("request", 10.0, request_id="at-fault")
    lines = server.requests("Fly")[-8:]
    numbers = [line["request_id"] for line in lines]
    assert numbers[:2] == ["bullpen-17", "x" * 64]
    made = numbers[2:7]
    assert all(re.fullmatch("[0-9a-f]{32}", number) for number in made)
    assert len(set(made)) == len(made)
    assert [line["status"] for line in lines] == ["OK"] * 7 + ["INVALID_ARGUMENT"]
    assert all(line["level"] == "info" and 0 < line["seconds"] < 60 for line in lines)
    info = error_details_pb2.ErrorInfo()
    details = rpc_status.from_call(found.value).details
    assert any(one.Unpack(info) for one in details)
    assert (info.reason, info.domain, info.metadata["request_id"]) == ("INPUT_AT_FAULT", "latebreak", "at-fault")
    assert "Quokkas" not in server.log_text()
    assert "fastball" not in server.log_text()
    assert "Quillfeather" not in server.log_text()


def test_metrics_count_calls_throws_and_time(server: Served) -> None:
    def counted(method: str, status: str) -> float:
        return server.metric("latebreak_requests_total", method=method, status=status)

    def numbers() -> list[float]:
        return [
            counted("Compare", "OK"),
            counted("Fly", "INVALID_ARGUMENT"),
            server.metric("latebreak_throws_total"),
            server.metric("latebreak_request_seconds_count", method="Compare"),
        ]

    before = numbers()
    with Client(server.address) as client:
        client.compare("two-grips", throws=150, intervals=False)
        with pytest.raises(InputError):
            client.fly("two-grips", throws=0)
    assert np.subtract(numbers(), before).tolist() == [1, 1, 150, 1]
    assert server.metric("latebreak_requests_inside") == 0


# --- starts that fail -----------------------------------------------------------------------------------------------
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
