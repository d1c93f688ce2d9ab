"""Work that nobody waits for any more: after a deadline, a cancellation, or the death of a client.

How long work goes on is taken from the server's log: the line of a request is written when its slot is free. Where that
was later than 100 ms, the CPU time that the server had in between counts instead, so that a machine that is busy with
other things does not make the test fail.
"""

import asyncio
import datetime
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import grpc
import pytest
from long_work import MANY, STOPS_WITHIN, inside, request_for, working
from serving import Served

from latebreak.service.client import AsyncClient, Client, OutOfTimeError
from latebreak.v1 import what_if_pb2_grpc

# Whole servers that are stopped and killed: minutes, and times of the wall clock, which want a machine of their own.
pytestmark = pytest.mark.slow

#: s; nothing excuses more than this, however busy the machine (chosen).
BUSY = 2.0
CORES = os.cpu_count() or 1
#: s; CPU time is counted in steps of 0.01 s, and goes on a little until the test has seen the end of a request.
TICK = 0.03
QUESTIONS = (
    "fly", "compare", "compare, no interval", "compare, many pitches", "levers", "levers, no interval", "reach",
    "reach, many pitches", "flights",
)  # fmt: skip


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


@pytest.mark.parametrize(
    ("question", "seconds"),
    [
        *((question, seconds) for question in QUESTIONS for seconds in (0.1, 0.3, 0.5)),
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
