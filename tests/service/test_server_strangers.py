"""Plug-ins that go wrong only at work: the caller learns whose fault it is; the server lives, or says how it is."""

import os
import signal
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import grpc
import pytest
from grpc_health.v1 import health_pb2, health_pb2_grpc
from plugged import write_distribution
from serving import Served, serving

from latebreak.engine.errors import InputError
from latebreak.service.client import Client, OutOfTimeError, ServerFaultError, ServiceError, UnavailableError

#: Well-behaved when they are loaded; at work, which is in threads of that name, each goes wrong in its own way.
MODULE = """
import os, sys, threading
import numpy as np
from latebreak.perception.decision import decide
from latebreak.perception.model import HitterModel

def at_work():
    return threading.current_thread().name.startswith("question")

def lift(s):
    return 0.3 * np.tanh(2.0 * s)

def hanging_lift(s):
    if at_work():
        threading.Event().wait()
    return lift(s)

def gappy_lift(s):
    return np.where((s > 0.1601) & (s < 0.1749), np.nan, lift(s))  # the probe asks at multiples of 0.05

def leaving_lift(s):
    if at_work():
        sys.exit(3)
    return lift(s)

def ending_lift(s):
    if at_work():
        os._exit(5)
    return lift(s)

def leave(*arguments, **named):
    if at_work():
        sys.exit(4)
    return decide(*arguments, **named)

leaving_hitter = HitterModel(decide=leave)
"""
DECLARED = {
    "latebreak.force_laws": {
        "hanging_lift": "strange_laws:hanging_lift",
        "gappy_lift": "strange_laws:gappy_lift",
        "leaving_lift": "strange_laws:leaving_lift",
        "ending_lift": "strange_laws:ending_lift",
    },
    "latebreak.hitter_models": {"leaving_hitter": "strange_laws:leaving_hitter"},
}
SCENARIO = (Path(__file__).parents[2] / "scenarios" / "two-grips.toml").read_text(encoding="utf-8")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A server with these plug-ins on its path and two threads."""
    write_distribution(tmp_path, "strange-laws", DECLARED, {"strange_laws": MODULE})
    path = os.pathsep.join(filter(None, [str(tmp_path), os.environ.get("PYTHONPATH")]))
    with serving("--at-once", "2", "--grace", "1", env={"PYTHONPATH": path}) as found:
        assert not [line for line in found.log_lines() if line["event"] == "plug_in"]
        yield found


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    return tmp_path / "bullpen.toml"


def with_law(scenario: Path, name: str) -> Path:
    scenario.write_text(SCENARIO + f'\n[ball]\nlift_law = "{name}"\n')
    return scenario


def health(served: Served) -> int:
    with grpc.insecure_channel(served.address) as channel:
        answer = health_pb2_grpc.HealthStub(channel).Check(health_pb2.HealthCheckRequest())
    return int(answer.status)


def test_a_law_that_hangs_is_named_at_the_deadline_and_does_not_keep_the_server(served: Served, scenario: Path) -> None:
    assert health(served) == health_pb2.HealthCheckResponse.SERVING
    with Client(served.address, deadline=3.0) as client, pytest.raises(OutOfTimeError) as found:
        client.fly(with_law(scenario, "hanging_lift"), throws=100)
    assert "plug-in 'strange-laws' (force law 'hanging_lift') does not answer" in str(found.value)
    assert found.value.reason == "PLUG_IN"
    line = served.wait_for("thread_lost", 60.0)
    assert "strange-laws" in line["problem"]
    assert health(served) == health_pb2.HealthCheckResponse.NOT_SERVING
    with Client(served.address, deadline=60.0) as client:  # the other thread still answers
        assert client.fly("two-grips", throws=100).throws == 100
    served.process.send_signal(signal.SIGTERM)
    assert served.process.wait(60.0) == 1  # though the thread hangs for ever
    assert [line["event"] for line in served.log_lines()][-2:] == ["stopped", "left"]


def test_a_law_that_hangs_while_the_server_is_asked_to_end_does_not_keep_it(served: Served, scenario: Path) -> None:
    with Client(served.address, deadline=600.0) as client, ThreadPoolExecutor(1) as other:
        asked = other.submit(client.fly, with_law(scenario, "hanging_lift"), throws=100)
        time.sleep(1.0)  # it hangs by then, or will
        served.process.send_signal(signal.SIGTERM)
        assert served.process.wait(60.0) == 1
        with pytest.raises(ServiceError):
            asked.result(60.0)


def test_a_plug_in_that_fails_is_named_and_the_server_goes_on(served: Served, scenario: Path) -> None:
    with Client(served.address, deadline=60.0) as client:
        for name, said in (
            (
                "gappy_lift",
                "force law 'gappy_lift' of distribution 'strange-laws' gives no finite real number at S = 0.1",
            ),
            ("leaving_lift", "force law 'leaving_lift' of distribution 'strange-laws' failed with SystemExit: 3"),
        ):
            with pytest.raises(ServerFaultError) as found:
                client.fly(with_law(scenario, name), throws=100)
            assert said in str(found.value)
            assert found.value.reason == "PLUG_IN"
            assert not isinstance(found.value, InputError)
        scenario.write_text(SCENARIO.replace("[hitter]", '[hitter]\nmodel = "leaving_hitter"'))
        with pytest.raises(ServerFaultError, match=r"plug-in 'strange-laws'.* failed with SystemExit: 4"):
            client.compare(scenario, throws=100, intervals=False)
        assert client.fly("two-grips", throws=100).throws == 100
    events = [line["event"] for line in served.log_lines()]
    assert events.count("plug_in") == 3
    assert "bug" not in events
    served.process.send_signal(signal.SIGTERM)
    assert served.process.wait(60.0) == 0


@pytest.mark.usefixtures("impatient")
def test_a_plug_in_that_ends_the_process_ends_the_server_and_callers_learn_that_it_went_away(
    served: Served, scenario: Path
) -> None:
    """Nothing in the process can stand in its way: what runs the server has to start it again."""
    with Client(served.address, deadline=60.0) as client, pytest.raises(UnavailableError):
        client.fly(with_law(scenario, "ending_lift"), throws=100)
    assert served.process.wait(60.0) == 5
    assert "stopped" not in [line["event"] for line in served.log_lines()]
