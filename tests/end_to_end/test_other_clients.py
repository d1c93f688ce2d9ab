"""Clients that are not ours: one in JavaScript that has the .proto files, one in Python that has reflection alone."""

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import grpc
import pytest
from google.protobuf.descriptor_pool import DescriptorPool
from google.protobuf.json_format import ParseDict
from google.protobuf.message import Message
from google.protobuf.message_factory import GetMessageClass
from google.rpc import status_pb2
from grpc_reflection.v1alpha.proto_reflection_descriptor_database import ProtoReflectionDescriptorDatabase
from serving import Served, serving

import latebreak.service.questions as ask
from latebreak.service.scenario import load
from latebreak.service.wire.answers import answer_of
from latebreak.v1 import what_if_pb2

CHECKOUT = Path(__file__).parents[2]
SCRIPT = CHECKOUT / "tests" / "third_party" / "javascript"
#: Where latebreak/v1/*.proto and google/rpc/*.proto lie.
FOLDERS = (CHECKOUT / "proto", Path(status_pb2.__file__).parents[2])
SERVICE = "latebreak.v1.WhatIfService"
ASKED, THROWS = "two-grips", 400
#: s, for a machine that is busy.
LONGEST_INSTALLATION, LONGEST_RUN = 300.0, 120.0


def tables() -> dict[str, Any]:
    """Tables of the scenario file: the message, but for the order of the pitches, which no map keeps."""
    found = dict(load(ASKED).tables)
    return found | {"pitch_order": list(found["pitch"])}


def assert_same(message: Message, answer: ask.Answer[Any]) -> None:
    """The same JSON, in the same order."""
    assert json.dumps(answer_of(message).to_dict()) == json.dumps(answer.to_dict())


# --- JavaScript -------------------------------------------------------------------------------------------------------
@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    """A server whose log tells of the script alone."""
    with serving() as found:
        yield found


@pytest.fixture(scope="module")
def told_in_javascript(served: Served, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What the script was told by the server, once for all tests."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        pytest.skip("node and npm are not installed here")
    folder = tmp_path_factory.mktemp("javascript")
    for part in ("package.json", "ask.js"):
        shutil.copy(SCRIPT / part, folder)
    install = [npm, "install", "--ignore-scripts", "--no-audit", "--no-fund", "--prefer-offline"]
    try:
        subprocess.run(install, cwd=folder, check=True, capture_output=True, text=True, timeout=LONGEST_INSTALLATION)
    except subprocess.CalledProcessError as error:
        pytest.skip(f"npm can't install the libraries: {error.stderr!s}")
    except subprocess.TimeoutExpired as error:
        pytest.skip(f"npm can't install the libraries: {error}")
    (folder / "scenario.json").write_text(json.dumps(tables()))
    done = subprocess.run(
        [node, "ask.js", served.address, "scenario.json", *FOLDERS],
        cwd=folder, capture_output=True, text=True, encoding="utf-8", timeout=LONGEST_RUN, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    told: dict[str, Any] = json.loads(done.stdout)
    return told


@pytest.mark.slow
@pytest.mark.parametrize(
    ("question", "response"), [("fly", what_if_pb2.FlyResponse), ("compare", what_if_pb2.CompareResponse)]
)
def test_javascript_gets_the_same_answer(
    told_in_javascript: dict[str, Any], question: str, response: type[Message]
) -> None:
    """To the last digit: JSON of JavaScript and of Python write a double so that it is read back unchanged."""
    assert_same(ParseDict(told_in_javascript[question], response()), getattr(ask, question)(ASKED, throws=THROWS))


@pytest.mark.slow
def test_javascript_asks_many_in_one_call(told_in_javascript: dict[str, Any]) -> None:
    many = told_in_javascript["many"]
    assert set(many) == {"fly", "compare", "impossible", "nothing"}
    assert many["fly"] == told_in_javascript["fly"]
    assert many["compare"] == told_in_javascript["compare"]
    for name, field in (("impossible", "pitch.fastball.speed_mph"), ("nothing", "question")):
        assert many[name]["code"] == "INVALID_ARGUMENT"
        info, bad = many[name]["details"]
        assert info["reason"] == "INPUT_AT_FAULT"
        assert [one["field"] for one in bad["field_violations"]] == [field]


@pytest.mark.slow
def test_javascript_gets_every_flight(told_in_javascript: dict[str, Any]) -> None:
    assert told_in_javascript["flights"] == dict.fromkeys(load(ASKED).scenario.pitch, THROWS)


@pytest.mark.slow
def test_javascript_can_stop_a_stream(told_in_javascript: dict[str, Any], served: Served) -> None:
    ((pitch, throws),) = told_in_javascript["first_flights"].items()
    assert pitch == next(iter(load(ASKED).scenario.pitch))
    assert 0 < throws < 100_000
    served.wait_for("request", 10.0, method="StreamFlights", status="CANCELLED")


@pytest.mark.slow
def test_javascript_reads_every_fault_of_the_input(told_in_javascript: dict[str, Any]) -> None:
    told = told_in_javascript["impossible"]
    assert told["code"] == "INVALID_ARGUMENT"
    info, bad = told["details"]
    assert info["@type"] == "type.googleapis.com/google.rpc.ErrorInfo"
    assert (info["reason"], info["domain"]) == ("INPUT_AT_FAULT", "latebreak")
    assert info["metadata"]["request_id"]
    assert bad["@type"] == "type.googleapis.com/google.rpc.BadRequest"
    found = {one["field"]: one["description"] for one in bad["field_violations"]}
    assert set(found) == {"pitch.fastball.speed_mph", "ball.lift_law"}
    assert "900 mph" in found["pitch.fastball.speed_mph"]
    assert "saturating_lift" in found["ball.lift_law"]


@pytest.mark.slow
def test_javascript_learns_that_it_asks_too_much(told_in_javascript: dict[str, Any]) -> None:
    told = told_in_javascript["too_much"]
    assert told["code"] == "RESOURCE_EXHAUSTED"
    assert [one["reason"] for one in told["details"]] == [
        "TOO_MUCH_WORK"
    ]  # and no hint to try again: it would not help


@pytest.mark.slow
def test_javascript_deadline_stops_the_work(told_in_javascript: dict[str, Any], served: Served) -> None:
    assert told_in_javascript["too_late"]["code"] == "DEADLINE_EXCEEDED"
    line = served.wait_for("request", 30.0, method="Levers")
    assert line["status"] in {"DEADLINE_EXCEEDED", "CANCELLED"}


# --- reflection -------------------------------------------------------------------------------------------------------
def test_reflection_alone_suffices_to_ask(server: Served) -> None:
    with grpc.insecure_channel(server.address) as channel:
        described = ProtoReflectionDescriptorDatabase(channel)
        assert set(described.get_services()) >= {SERVICE, "grpc.health.v1.Health"}
        pool = DescriptorPool(described)
        service = pool.FindServiceByName(SERVICE)
        declared = what_if_pb2.DESCRIPTOR.services_by_name["WhatIfService"]
        assert [method.name for method in service.methods] == [method.name for method in declared.methods]

        method = service.FindMethodByName("Compare")
        request, response = GetMessageClass(method.input_type), GetMessageClass(method.output_type)
        assert request is not what_if_pb2.CompareRequest
        compare = channel.unary_unary(
            f"/{SERVICE}/{method.name}",
            request_serializer=request.SerializeToString,
            response_deserializer=response.FromString,
        )
        question: Any = request(throws=THROWS)
        ParseDict(tables(), question.scenario)
        answer = compare(question, timeout=60.0)
    assert_same(answer, ask.compare(ASKED, throws=THROWS))
