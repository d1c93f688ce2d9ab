"""Servers that are told to stop, that die, or that can't write their log."""

import os
import signal
import socket
import subprocess
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import grpc
import pytest
from commands import COMMAND
from grpc_health.v1 import health_pb2, health_pb2_grpc
from long_work import ANY_WORK, MANY, inside, request_for, working
from serving import Served, environment, serving

from latebreak.service.client import Client, ServiceError, UnavailableError
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

# Whole servers that are stopped and killed: minutes, and times of the wall clock, which want a machine of their own.
pytestmark = pytest.mark.slow


# --- servers that stop or die ---------------------------------------------------------------------------------------
def test_sigterm_lets_what_is_at_work_end_and_takes_nothing_new() -> None:
    with serving(*ANY_WORK, "--metrics-port", "0", "--grace", "120") as served:
        with Client(served.address, deadline=120.0) as client, ThreadPoolExecutor(1) as other:
            with grpc.insecure_channel(served.address) as channel:
                watched = health_pb2_grpc.HealthStub(channel).Watch(health_pb2.HealthCheckRequest())
                assert next(watched).status == health_pb2.HealthCheckResponse.SERVING
                at_work = other.submit(client.compare, "two-grips", throws=1_500_000, intervals=False)
                inside(served, 1)
                served.process.send_signal(signal.SIGTERM)
                assert next(watched).status == health_pb2.HealthCheckResponse.NOT_SERVING
                served.wait_for("draining", 10.0)
            with grpc.insecure_channel(served.address) as late, pytest.raises(grpc.RpcError) as refused:
                what_if_pb2_grpc.WhatIfServiceStub(late).ListModels(what_if_pb2.ListModelsRequest())
            assert refused.value.code() == grpc.StatusCode.UNAVAILABLE
            assert not at_work.done(), "it ended before a new one was refused: nothing is shown"
            assert at_work.result().throws == 1_500_000
        assert served.process.wait(60.0) == 0
        events = [line["event"] for line in served.log_lines()]
        assert events == ["listening", "serving", "draining", "request", "stopped"]
        assert served.requests()[0]["status"] == "OK"


class Frozen:
    """A way to a server that can be cut without a word: nothing is closed, nothing passes any more."""

    def __init__(self, served: Served) -> None:
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.address = f"127.0.0.1:{self._listening.getsockname()[1]}"
        self._far = socket.create_connection(("127.0.0.1", served.port))
        self._cut = threading.Event()
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self) -> None:
        near, _ = self._listening.accept()
        for start, end in ((near, self._far), (self._far, near)):
            threading.Thread(target=self._pass_on, args=(start, end), daemon=True).start()

    def _pass_on(self, start: socket.socket, end: socket.socket) -> None:
        while content := start.recv(65536):
            if self._cut.is_set():
                threading.Event().wait()  # keeps both sockets open for ever
            end.sendall(content)

    def cut(self) -> None:
        """Let nothing through any more."""
        self._cut.set()


def test_a_client_that_is_cut_off_without_a_word_frees_its_slot() -> None:
    """Keepalive: after 30 s of silence the server asks, and waits 10 s for the answer."""
    with serving("--at-once", "1", *ANY_WORK, "--metrics-port", "0") as served:
        way = Frozen(served)
        request = request_for("compare")
        request.throws = 5 * MANY  # longer than all that
        with grpc.insecure_channel(way.address) as channel:
            call = what_if_pb2_grpc.WhatIfServiceStub(channel).Compare.future(request)
            inside(served, 1)
            way.cut()
            start = time.monotonic()
            line = served.wait_for("request", 120.0)
            took = time.monotonic() - start
            call.cancel()
        print(f"cut off: noticed after {took:.1f} s")
        assert line["status"] == "CANCELLED"
        assert took < 60.0  # 40 s, and half as much again for a busy machine
        inside(served, 0)


def test_sigterm_stops_what_does_not_end_in_time() -> None:
    with serving(*ANY_WORK, "--metrics-port", "0", "--grace", "0.5") as served:
        with working(served) as call:
            served.process.send_signal(signal.SIGTERM)
            with pytest.raises(grpc.RpcError) as found:
                call.result(60.0)
            assert found.value.code() in {grpc.StatusCode.UNAVAILABLE, grpc.StatusCode.CANCELLED}
            assert served.process.wait(60.0) == 0
        events = [line["event"] for line in served.log_lines()]  # and nothing that a library has to say
        assert events == ["listening", "serving", "draining", "request", "stopped"]
        assert served.requests()[0]["status"] == "CANCELLED"


@pytest.mark.usefixtures("interruptible")
def test_an_interrupt_stops_it_too() -> None:
    with serving(until="listening") as served:
        served.process.send_signal(signal.SIGINT)
        assert served.process.wait(60.0) == 0
        assert [line["event"] for line in served.log_lines()] == ["listening", "draining", "stopped"]


def test_clients_live_through_the_death_of_a_server() -> None:
    answers: list[list[float]] = [[] for _ in range(4)]
    troubles: list[Exception] = []
    over = threading.Event()

    def ask(address: str, answered: list[float]) -> None:
        with Client(address, deadline=20.0) as client:
            while not over.is_set():
                try:
                    client.fly("two-grips", throws=200)
                    answered.append(time.monotonic())
                except Exception as error:
                    troubles.append(error)

    with serving() as served:
        address, port = served.address, str(served.port)
        asking = [threading.Thread(target=ask, args=(address, answered)) for answered in answers]
        for thread in asking:
            thread.start()
        time.sleep(2.0)
        served.process.kill()
        killed = time.monotonic()
        try:
            served.process.wait()
            with serving("--port", port) as again:
                back = time.monotonic()
                end = back + 30.0
                while not all(answered and answered[-1] > back for answered in answers):
                    assert time.monotonic() < end, "a client never came back"
                    time.sleep(0.1)
                over.set()
                for thread in asking:
                    thread.join(60.0)
                assert again.process.poll() is None
        finally:
            over.set()
            for thread in asking:
                thread.join(60.0)
    assert all(answered[0] < killed for answered in answers)
    assert {type(error) for error in troubles} <= {UnavailableError}, troubles


# --- logs that can't be written -------------------------------------------------------------------------------------
def free_port() -> int:
    """A port that nothing listens on."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        port: int = tried.getsockname()[1]
        return port


@pytest.mark.parametrize("kind", ["a full disk", "a closed pipe"])
def test_logs_that_cannot_be_written_do_not_stop_the_service(kind: str) -> None:
    port = free_port()
    if kind == "a full disk":
        where = os.open("/dev/full", os.O_WRONLY)
    else:
        read, where = os.pipe()
        os.close(read)
    try:
        process = subprocess.Popen([COMMAND, "serve", "--port", str(port)], stderr=where, env=environment())
    finally:
        os.close(where)
    try:
        with Client(f"127.0.0.1:{port}", deadline=60.0) as client:
            end = time.monotonic() + 120.0
            while True:
                try:
                    client.models()
                    break
                except ServiceError:
                    assert time.monotonic() < end
                    assert process.poll() is None
            for _ in range(3):
                assert client.fly("two-grips", throws=100).throws == 100
        process.send_signal(signal.SIGTERM)
        assert process.wait(60.0) == 0
    finally:
        process.kill()
        process.wait()
