"""Work that nobody waits for any more, servers that are told to stop or die, and requests that are refused.

How long work goes on is taken from the server's log: the line of a request is written when its slot is free. Where that
was later than 100 ms, the CPU time that the server had in between counts instead, so that a machine that is busy with
other things does not make the test fail.
"""

import asyncio
import datetime
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import grpc
import pytest
from commands import COMMAND
from grpc_health.v1 import health_pb2, health_pb2_grpc
from serving import Served, environment, serving

from latebreak.service.client import AsyncClient, Client, OutOfTimeError, RefusedError, ServiceError, UnavailableError
from latebreak.service.scenario import load
from latebreak.service.server.work import MOST_ENTRIES, MOST_LINES
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import scenario_pb2, what_if_pb2, what_if_pb2_grpc

# Whole servers that are stopped and killed: minutes, and times of the wall clock, which want a machine of their own.
pytestmark = pytest.mark.slow

#: s; the promise: work stops within this after a deadline or a cancellation.
STOPS_WITHIN = 0.1
#: Throws that take some ten seconds at least, whatever is asked.
MANY = 20_000_000
#: Room for that.
ANY_WORK = ("--most-work", str(10**15))
#: s; nothing excuses more than this, however busy the machine (chosen).
BUSY = 2.0
CORES = os.cpu_count() or 1
#: s; CPU time is counted in steps of 0.01 s, and goes on a little until the test has seen the end of a request.
TICK = 0.03


def sixty_pitches() -> scenario_pb2.Scenario:
    """A scenario whose work is not in the throws: sixty pitches behind one fastball."""
    message = message_of(load("two-grips"))
    message.hitter.expects.clear()
    for number in range(60):
        message.pitch[f"curve_{number}"].CopyFrom(message.pitch["curve_spike"])
    return message


def request_for(question: str) -> Any:
    """A request that takes long."""
    staff = message_of(load("staff"))
    wants: dict[str, Any] = {"pitch": "curve", "scenario": staff, "throws": MANY}
    table = Path(__file__).parents[2] / "scenarios"
    rows = (table / "new-grip.csv").read_bytes().splitlines(keepends=True)
    requests: dict[str, Callable[[], Any]] = {
        "fly": lambda: what_if_pb2.FlyRequest(scenario=staff, throws=MANY),
        "compare": lambda: what_if_pb2.CompareRequest(scenario=staff, throws=MANY),
        "compare, no interval": lambda: what_if_pb2.CompareRequest(scenario=staff, throws=MANY, no_interval=True),
        "compare, many pitches": lambda: what_if_pb2.CompareRequest(scenario=sixty_pitches(), throws=200),
        "levers": lambda: what_if_pb2.LeversRequest(**wants),
        "levers, no interval": lambda: what_if_pb2.LeversRequest(**wants, no_interval=True),
        "reach": lambda: what_if_pb2.ReachRequest(**wants, measure="late_break_in", goal="+0.2"),
        "reach, many pitches": lambda: what_if_pb2.ReachRequest(
            pitch="curve_1", scenario=sixty_pitches(), throws=20_000, measure="miss_chance_percent", goal="+2"
        ),
        "fit": lambda: what_if_pb2.FitThrowsRequest(
            base=message_of(load("before-the-bullpen")),
            csv=rows[0] + b"".join(rows[1:]) * (MOST_LINES // len(rows)),
            columns=(table / "new-grip.columns.toml").read_bytes(),
        ),
        "flights": lambda: what_if_pb2.StreamFlightsRequest(scenario=staff, throws=MANY),
    }
    return requests[question]()


QUESTIONS = (
    "fly", "compare", "compare, no interval", "compare, many pitches", "levers", "levers, no interval", "reach",
    "reach, many pitches", "flights",
)  # fmt: skip


@pytest.fixture(scope="module")
def tight() -> Iterator[Served]:
    """A server that works on one request at a time, lets one wait, and takes on any amount of work."""
    with serving("--at-once", "1", "--waiting", "1", *ANY_WORK, "--metrics-port", "0") as served:
        yield served


def inside(served: Served, count: int) -> None:
    """Wait until so many requests are at work or waiting."""
    end = time.monotonic() + 60.0
    while served.metric("latebreak_requests_inside") != count:
        assert time.monotonic() < end, f"never {count} requests inside"
        time.sleep(0.02)


@contextmanager
def working(served: Served, question: str = "compare") -> Iterator[Any]:
    """Keep a slot busy; the call is cancelled in the end."""
    with grpc.insecure_channel(served.address) as channel:
        call = what_if_pb2_grpc.WhatIfServiceStub(channel).Compare.future(request_for(question))
        try:
            inside(served, 1)
            yield call
        finally:
            call.cancel()


class Stopped:
    """How long a server goes on working after a moment."""

    def __init__(self, served: Served) -> None:
        self._served, self._before = served, len(served.requests())
        self._moment, self._cpu = 0.0, 0.0

    def _cpu_time(self) -> float:
        """CPU time that the server has had, s."""
        fields = Path(f"/proc/{self._served.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def now(self) -> None:
        """Say that from now on nobody waits."""
        self._moment, self._cpu = time.time(), self._cpu_time()

    def check(self, status: str, label: str) -> None:
        """Wait for the request's end; check that it came soon enough, and that the slot is free."""
        line = self._served.wait_for("request", 60.0, count=self._before + 1)
        worked = (self._cpu_time() - self._cpu) / CORES
        after = datetime.datetime.fromisoformat(line["time"]).timestamp() - self._moment
        print(f"{label}: free {1000 * after:.0f} ms later, {1000 * worked:.0f} ms of CPU time per core")
        assert line["status"] == status
        assert min(after, worked - TICK) <= STOPS_WITHIN
        assert after < BUSY
        inside(self._served, 0)


# --- deadlines and cancellation -------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    ("question", "seconds"),
    [
        *((question, seconds) for question in QUESTIONS for seconds in (0.2, 0.7, 1.6)),
        *(("fit", seconds) for seconds in (0.1, 0.2, 0.3)),  # as many rows as may be do not take longer
    ],
)
def test_a_deadline_stops_the_work(tight: Served, question: str, seconds: float) -> None:
    request = request_for(question)
    method = type(request).__name__.removesuffix("Request")
    stopped, ended = Stopped(tight), []
    with grpc.insecure_channel(tight.address) as channel:
        call = getattr(what_if_pb2_grpc.WhatIfServiceStub(channel), method)
        grpc.channel_ready_future(channel).result(30.0)

        def ask() -> None:
            try:
                answer = call(request, timeout=seconds)
                for _ in answer if method == "StreamFlights" else ():
                    pass
            except grpc.RpcError as error:
                ended.append((error.code(), time.monotonic()))

        asking, start = threading.Thread(target=ask), time.monotonic()
        asking.start()
        time.sleep(seconds)
        stopped.now()
        stopped.check("DEADLINE_EXCEEDED", f"{question}, deadline of {seconds} s")
        asking.join(60.0)
    [(code, at)] = ended
    assert code == grpc.StatusCode.DEADLINE_EXCEEDED
    assert at - start < seconds + 1.0  # the caller's own clock ends the wait, whatever the server does


def test_clients_see_that_the_time_is_over(tight: Served) -> None:
    async def ask() -> None:
        async with AsyncClient(tight.address, deadline=0.2) as client:
            await client.levers("staff", pitch="curve", throws=MANY)

    with Client(tight.address, deadline=0.2) as client:
        for asked in (
            lambda: client.levers("staff", pitch="curve", throws=MANY),
            lambda: list(client.flights("staff", throws=MANY)),
            lambda: asyncio.run(ask()),
        ):
            start = time.monotonic()
            with pytest.raises(OutOfTimeError) as found:
                asked()
            assert found.value.code == grpc.StatusCode.DEADLINE_EXCEEDED
            assert time.monotonic() - start < 1.2
            inside(tight, 0)


@pytest.mark.parametrize("seconds", [0.3, 1.1])
def test_a_cancelled_call_stops_the_work(tight: Served, seconds: float) -> None:
    stopped = Stopped(tight)
    with working(tight) as call:
        time.sleep(seconds)
        stopped.now()
        call.cancel()
        stopped.check("CANCELLED", f"cancelled after {seconds} s")


def test_a_cancelled_task_of_the_asynchronous_client_stops_the_work(tight: Served) -> None:
    stopped = Stopped(tight)

    async def ask() -> None:
        async with AsyncClient(tight.address) as client:
            task = asyncio.create_task(client.compare("two-grips", throws=MANY))
            await asyncio.to_thread(inside, tight, 1)
            await asyncio.sleep(0.4)
            stopped.now()
            task.cancel()
            with pytest.raises(asyncio.CancelledError):
                await task

    asyncio.run(ask())
    stopped.check("CANCELLED", "task cancelled")


def test_a_client_that_is_killed_stops_the_work(tight: Served) -> None:
    stopped = Stopped(tight)
    script = (
        f"from latebreak.service.client import Client\nClient({tight.address!r}).compare('two-grips', throws={MANY})\n"
    )
    client = subprocess.Popen([sys.executable, "-c", script], stderr=subprocess.DEVNULL)
    try:
        inside(tight, 1)
        time.sleep(0.5)
        stopped.now()
        client.kill()
        stopped.check("CANCELLED", "client killed")
    finally:
        client.kill()
        client.wait()


def test_who_gives_up_waiting_leaves_the_queue(tight: Served) -> None:
    with working(tight), Client(tight.address, deadline=0.5) as client:
        before = len(tight.requests())
        with pytest.raises(OutOfTimeError):
            client.fly("two-grips", throws=100)
        line = tight.wait_for("request", 10.0, count=before + 1)
        assert (line["method"], line["status"]) == ("Fly", "DEADLINE_EXCEEDED")
        assert tight.metric("latebreak_requests_inside") == 1
    inside(tight, 0)


# --- more than a server takes on ------------------------------------------------------------------------------------
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
