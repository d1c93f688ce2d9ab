"""A server at saturation: clients in processes of their own, many connections, slow readers, memory, times.

Run as a program it is one of those clients: `test_server_load.py ADDRESS SECONDS CONNECTIONS`.
"""

import json
import math
import statistics
import subprocess
import sys
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import Any

import grpc
import pytest
from serving import Served, environment, serving

import latebreak.service.questions as ask
from latebreak.service.client import Client
from latebreak.service.scenario import load
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

pytestmark = pytest.mark.slow

#: s of load, after some of warming up in which the allocator finds its size.
LOAD, WARM_UP = 60.0, 15.0
#: s; what a caller that was refused waits, as it was told to.
PAUSE = 1.0


# --- a client -------------------------------------------------------------------------------------------------------
def stub(address: str) -> tuple[grpc.Channel, Any]:
    """A connection of its own: channels to one address share theirs otherwise."""
    channel = grpc.insecure_channel(address, [("grpc.use_local_subchannel_pool", 1), ("grpc.enable_retries", 0)])
    return channel, what_if_pb2_grpc.WhatIfServiceStub(channel)


def ask_again_and_again(address: str, until: float) -> tuple[list[float], Counter[str]]:
    """Ask a small question until the time is over: times of answers in s, and how the others ended."""
    request = what_if_pb2.CompareRequest(scenario=message_of(load("two-grips")), throws=1000, no_interval=True)
    channel, service = stub(address)
    times, ended = [], Counter[str]()
    with channel:
        while time.monotonic() < until:
            start = time.monotonic()
            try:
                service.Compare(request, timeout=60.0)
                times.append(time.monotonic() - start)
            except grpc.RpcError as error:
                ended[error.code().name] += 1
                time.sleep(PAUSE)
    return times, ended


def client(address: str, seconds: float, connections: int) -> None:
    """Ask over many connections; print what came as JSON."""
    until = time.monotonic() + seconds
    with ThreadPoolExecutor(connections) as pool:
        found = list(pool.map(lambda _: ask_again_and_again(address, until), range(connections)))
    ended = sum((counter for _, counter in found), Counter[str]())
    print(json.dumps({"times": [one for times, _ in found for one in times], "ended": ended}))


# --- the server under it --------------------------------------------------------------------------------------------
def connections(port: int) -> int:
    """TCP connections that are established to a port of this machine."""
    rows = [line.split() for line in Path("/proc/net/tcp").read_text().splitlines()[1:]]
    rows += [line.split() for line in Path("/proc/net/tcp6").read_text().splitlines()[1:]]
    return sum(int(row[1].rpartition(":")[2], 16) == port and row[3] == "01" for row in rows)


def read_slowly(served: Served, over: threading.Event) -> int:
    """Take one chunk of flights in a while; return how many throws came."""
    taken = 0
    with Client(served.address, deadline=600.0) as slow:
        flights = slow.flights("two-grips", throws=1_000_000)
        with suppress(StopIteration):
            while not over.wait(0.5):
                taken += len(next(flights).paths)
        flights.close()  # type: ignore[attr-defined]
    return taken


def quantile(sorted_times: list[float], share: float) -> float:
    """A quantile of sorted times, ms."""
    return 1000.0 * sorted_times[min(len(sorted_times) - 1, math.floor(share * len(sorted_times)))]


@pytest.mark.parametrize(("processes", "each"), [(4, 1), (4, 50)])
def test_a_saturated_server_answers_or_refuses_and_keeps_its_size(processes: int, each: int) -> None:
    with serving("--metrics-port", "0", "--most-seconds", "600") as served:
        over, memory, most = threading.Event(), [], 0
        command = [sys.executable, __file__, served.address, str(WARM_UP + LOAD), str(each)]
        with ThreadPoolExecutor(3) as readers:
            slow = [readers.submit(read_slowly, served, over) for _ in range(3)]
            path = environment({"PYTHONPATH": str(Path(__file__).parents[1])})
            clients = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=path) for _ in range(processes)]
            try:
                start = time.monotonic()
                while any(one.poll() is None for one in clients):
                    time.sleep(1.0)
                    most = max(most, connections(served.port))
                    if WARM_UP < time.monotonic() - start < WARM_UP + LOAD:
                        memory.append(served.rss())
                    assert time.monotonic() - start < WARM_UP + LOAD + 120.0
                    assert served.process.poll() is None
            finally:
                over.set()
                for one in clients:
                    one.kill()
            found = [json.loads(one.communicate()[0]) for one in clients]
            read = [one.result() for one in slow]
        times = sorted(one for answer in found for one in answer["times"])
        ended = sum((Counter(answer["ended"]) for answer in found), Counter[str]())
        quarter = len(memory) // 4
        first, last = statistics.median(memory[:quarter]), statistics.median(memory[-quarter:])
        rate = len(times) / (WARM_UP + LOAD)
        print(f"\n{processes} processes, {most} connections at most, others {dict(ended)}")
        print(f"{rate:.1f} answers a second, p50 {quantile(times, 0.5):.0f} ms, p99 {quantile(times, 0.99):.0f} ms")
        print(f"memory {first / 1e6:.0f} -> {last / 1e6:.0f} MB, slow readers took {read} throws")
        assert set(ended) <= {"RESOURCE_EXHAUSTED"}
        assert most >= processes * each
        assert len(times) > LOAD  # more than one a second is answered
        assert last < 1.05 * first
        assert all(taken > 1000 for taken in read)
        end = time.monotonic() + 10.0
        while served.metric("latebreak_requests_inside"):  # the readers have hung up a moment ago
            assert time.monotonic() < end, "a slot was never given back"
            time.sleep(0.05)
        statuses = Counter(line["status"] for line in served.requests("Compare"))
        assert statuses["OK"] == len(times)
        assert not [line for line in served.log_lines() if line["event"] in {"bug", "library"}]


def test_what_the_wire_adds_to_a_small_question(server: Served) -> None:
    over_the_wire: list[float] = []
    bare: list[float] = []
    in_process: list[float] = []
    with Client(server.address) as connected:
        for _ in range(60):  # in turns, so that all see the same machine
            for times, question in (
                (over_the_wire, lambda: connected.compare("two-grips", throws=1000, intervals=False)),
                (bare, connected.models),
                (in_process, lambda: ask.compare("two-grips", throws=1000, intervals=False)),
            ):
                start = time.perf_counter()
                question()
                times.append(1000.0 * (time.perf_counter() - start))
    wire, call, here = (statistics.median(times[10:]) for times in (over_the_wire, bare, in_process))
    print(f"\ncompare over the wire {wire:.1f} ms, in process {here:.1f} ms, a bare call {call:.2f} ms")
    print(f"the wire adds {wire - here - call:.2f} ms")
    assert wire - here - call < 0.5 * here  # messages are small beside the question


if __name__ == "__main__":
    client(sys.argv[1], float(sys.argv[2]), int(sys.argv[3]))
