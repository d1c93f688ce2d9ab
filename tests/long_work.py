"""Work that takes long, and a server that it keeps busy, for tests of what stops it."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import grpc
from serving import Served

from latebreak.service.scenario import load
from latebreak.service.server.work import MOST_LINES
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import scenario_pb2, what_if_pb2, what_if_pb2_grpc

#: s; the promise: work stops within this after a deadline or a cancellation.
STOPS_WITHIN = 0.1
#: Throws that take some ten seconds at least, whatever is asked.
MANY = 20_000_000
#: Room for that.
ANY_WORK = ("--most-work", str(10**15))


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
    table = Path(__file__).parents[1] / "scenarios"
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
