"""A running server: health, reflection, flights, logs, metrics."""

import os
import re
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack

import grpc
import numpy as np
import pytest
from google.protobuf.descriptor_pool import DescriptorPool
from google.rpc import error_details_pb2
from grpc_health.v1 import health_pb2, health_pb2_grpc
from grpc_reflection.v1alpha.proto_reflection_descriptor_database import ProtoReflectionDescriptorDatabase
from grpc_status import rpc_status
from serving import Served, serving

from latebreak.engine.errors import InputError
from latebreak.service.client import Client
from latebreak.service.questions.paths import throw_paths
from latebreak.service.scenario import load
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

SERVICE = "latebreak.v1.WhatIfService"
NOT_SERVING, SERVING = health_pb2.HealthCheckResponse.NOT_SERVING, health_pb2.HealthCheckResponse.SERVING


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
