"""More than a server takes on: queues, work, messages and times beyond its limits."""

import time
from concurrent.futures import ThreadPoolExecutor

import grpc
import pytest
from grpc_health.v1 import health_pb2, health_pb2_grpc
from long_work import ANY_WORK, MANY, STOPS_WITHIN, inside, working
from serving import Served, serving

from latebreak.service.client import Client, OutOfTimeError, RefusedError
from latebreak.service.scenario import load
from latebreak.service.server.work import MOST_ENTRIES
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

# Whole servers that are stopped and killed: minutes, and times of the wall clock, which want a machine of their own.
pytestmark = pytest.mark.slow


def test_a_full_queue_refuses_with_a_time_to_try_again(tight: Served) -> None:
    with working(tight) as call, Client(tight.address) as client, ThreadPoolExecutor(1) as other:
        waiting = other.submit(client.fly, "two-grips", throws=100)
        inside(tight, 2)
        for ask in (
            lambda: client.fly("two-grips", throws=100),
            lambda: next(client.flights("two-grips", throws=100)),
        ):
            with pytest.raises(RefusedError, match="the server is busy") as found:
                ask()
            assert (found.value.code, found.value.reason) == (grpc.StatusCode.RESOURCE_EXHAUSTED, "BUSY")
            assert found.value.retry_after == 1.0
        assert client.models()  # what is no work is answered
        with grpc.insecure_channel(tight.address) as channel:
            told = health_pb2_grpc.HealthStub(channel).Check(health_pb2.HealthCheckRequest())
            assert told.status == health_pb2.HealthCheckResponse.SERVING
        assert not waiting.done()
        call.cancel()
        assert waiting.result(60.0).throws == 100  # its turn has come


def test_too_much_work_is_refused_before_it_begins(server: Served) -> None:
    flown = server.metric("latebreak_throws_total")
    with Client(server.address) as client:
        for ask in (
            lambda: client.compare("two-grips", throws=100_000_000),
            lambda: client.fly("staff", throws=100_000_000),
            lambda: client.levers("staff", pitch="curve", throws=100_000_000),
            lambda: next(client.flights("staff", throws=100_000_000)),
        ):
            with pytest.raises(RefusedError, match="ask with fewer throws") as found:
                ask()
            assert (found.value.reason, found.value.retry_after) == ("TOO_MUCH_WORK", None)
    assert server.metric("latebreak_throws_total") == flown


def test_lists_that_take_too_long_to_read_are_refused(server: Served) -> None:
    scenario = message_of(load("two-grips"))
    for number in range(MOST_ENTRIES):
        scenario.hitter.expects[f"pitch_{number}"] = 0.001
    rows = b"curve,78.1\n" * 200_000
    with grpc.insecure_channel(server.address) as channel:
        stub = what_if_pb2_grpc.WhatIfServiceStub(channel)
        for call, request in (
            (stub.Fly, what_if_pb2.FlyRequest(scenario=scenario)),
            (stub.FitThrows, what_if_pb2.FitThrowsRequest(csv=rows)),
        ):
            with pytest.raises(grpc.RpcError, match="more than") as found:
                call(request)
            assert found.value.code() == grpc.StatusCode.RESOURCE_EXHAUSTED


def test_messages_have_a_limit(server: Served) -> None:
    before = server.rss()
    request = what_if_pb2.FitThrowsRequest(csv=b"0" * 150_000_000)
    with grpc.insecure_channel(server.address, [("grpc.max_send_message_length", -1)]) as channel:
        for _ in range(3):
            with pytest.raises(grpc.RpcError) as found:
                what_if_pb2_grpc.WhatIfServiceStub(channel).FitThrows(request, timeout=60.0)
            assert found.value.code() == grpc.StatusCode.RESOURCE_EXHAUSTED
    assert server.rss() - before < 75e6  # half of one such message
    with Client(server.address) as client:
        assert client.fly("two-grips", throws=100).throws == 100


def test_the_servers_own_limit_of_time() -> None:
    with serving("--most-seconds", "1", *ANY_WORK, "--metrics-port", "0") as served, Client(served.address) as client:
        start = time.monotonic()
        with pytest.raises(OutOfTimeError, match="not done within the 1 s that this server gives") as found:
            client.compare("two-grips", throws=MANY)
        assert (found.value.code, found.value.reason) == (grpc.StatusCode.DEADLINE_EXCEEDED, "OUT_OF_TIME")
        assert time.monotonic() - start >= 1.0
        line = served.wait_for("request", 10.0, count=1)
        assert (line["status"], line["request_id"]) == ("DEADLINE_EXCEEDED", found.value.request_id)
        assert line["seconds"] < 1.0 + 5 * STOPS_WITHIN
        slow = client.flights("two-grips", throws=MANY)
        next(slow)
        served.wait_for("request", 30.0, method="StreamFlights", status="DEADLINE_EXCEEDED")  # though it reads none
        inside(served, 0)
        with pytest.raises(OutOfTimeError):
            for _ in slow:
                pass
