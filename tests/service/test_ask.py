"""Many questions of one call: the answers of single calls, and faults that stay with their question."""

import asyncio
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import grpc
import pytest
from asking import ASKED, FLY, fly, one_by_one
from grpc.aio import Metadata
from sending import WHOLE
from serving import Served

from latebreak.engine.errors import InputError
from latebreak.service.client import AsyncClient, Client, RefusedError, ServerFaultError, UnavailableError, requests
from latebreak.service.client import many as at_the_client
from latebreak.service.client.errors import error_of
from latebreak.service.client.requests import Request
from latebreak.service.questions import Answer
from latebreak.service.wire.many import LONGEST_ID, request_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

TABLE = Path(__file__).parents[2] / "scenarios" / "new-grip.csv"
FEW: dict[str, Any] = {"throws": 200, "seed": 3}
QUICK: dict[str, Any] = {**FEW, "intervals": False}
#: Every kind of question, by the name of its method in client and requests: what is asked about, and how.
QUESTIONS: dict[str, tuple[Any, dict[str, Any]]] = {
    "fly": (ASKED, FEW),
    "compare": (ASKED, FEW),
    "levers": (ASKED, {**QUICK, "pitch": "curve_spike"}),
    "reach": (
        ASKED,
        {**QUICK, "pitch": "curve_spike", "measure": "late_break_in", "goal": "+0.1", "by": ["spin_rpm"]},
    ),
    "aim": (ASKED, {**QUICK, "pitch": "curve_spike"}),
    "mix": (ASKED, QUICK),
    "fit": (TABLE, {"base": "before-the-bullpen", "columns": TABLE.with_suffix(".columns.toml")}),
}


def built(kind: str) -> Request:
    about, how = QUESTIONS[kind]
    request: Request = getattr(requests, kind)(about, **how)
    return request


def alone(client: Client, kind: str) -> dict[str, Any]:
    about, how = QUESTIONS[kind]
    answer: dict[str, Any] = getattr(client, kind)(about, **how).to_dict()
    return answer


# --- answers --------------------------------------------------------------------------------------------------------
def test_every_question_has_the_answer_of_a_call_of_its_own(server: Served) -> None:
    with Client(server.address) as client:
        found = dict(client.ask((kind, built(kind)) for kind in QUESTIONS))
        assert set(found) == set(QUESTIONS)
        for kind, answer in found.items():
            assert isinstance(answer, Answer)
            assert answer.to_dict() == alone(client, kind)


def test_the_asynchronous_twin_gives_the_same(server: Served) -> None:
    async def ask(questions: Any) -> dict[str, Any]:
        async with AsyncClient(server.address) as client:
            found = [one async for one in client.ask(questions)]
        return {name: answer.to_dict() for name, answer in found if isinstance(answer, Answer)}

    named = [("a", built("fly")), ("b", built("compare"))]
    with Client(server.address) as client:
        expected = {"a": alone(client, "fly"), "b": alone(client, "compare")}
    assert asyncio.run(ask(named)) == expected
    assert asyncio.run(ask(one_by_one(named)())) == expected


def test_answers_come_as_they_are_done(server: Served) -> None:
    questions = [("slow", requests.compare(ASKED, throws=20_000)), ("quick", requests.fly(ASKED, throws=64))]
    with Client(server.address) as client:
        assert [name for name, _ in client.ask(questions)] == ["quick", "slow"]


def test_a_question_at_fault_is_told_as_in_a_call_of_its_own(server: Served) -> None:
    faulty = {
        "no such pitch": requests.compare(ASKED, pitches=["nobody"]),
        "too much": requests.compare(ASKED, throws=100_000_000),
        "no such key": requests.aim(ASKED, pitch="curve_spike", measure="charm"),
    }
    calls: dict[str, Callable[[Client], Any]] = {
        "no such pitch": lambda client: client.compare(ASKED, pitches=["nobody"]),
        "too much": lambda client: client.compare(ASKED, throws=100_000_000),
        "no such key": lambda client: client.aim(ASKED, pitch="curve_spike", measure="charm"),
    }
    with Client(server.address) as client:
        found = dict(client.ask([*faulty.items(), ("good", built("fly"))]))
        assert isinstance(found.pop("good"), Answer)
        for name, told in found.items():
            with pytest.raises((InputError, RefusedError)) as single:
                calls[name](client)
            assert type(told) is type(single.value)
            assert str(told) == str(single.value)
            if isinstance(told, RefusedError) and isinstance(single.value, RefusedError):
                assert (told.code, told.reason) == (single.value.code, single.value.reason)


def test_questions_are_counted_and_logged_as_calls_are(server: Served) -> None:
    before = server.metric("latebreak_requests_total", method="Fly", status="OK")
    number = "ask-for-the-log"
    with grpc.insecure_channel(server.address) as channel:
        call = what_if_pb2_grpc.WhatIfServiceStub(channel).Ask(
            iter([fly("a"), what_if_pb2.AskRequest(id="b"), fly("c")]), metadata=(("x-request-id", number),)
        )
        assert {response.id for response in call} == {"a", "b", "c"}
    server.wait_for("request", 10.0, request_id=number, method="Ask", status="OK")
    lines = {line["request_id"]: line["status"] for line in server.requests() if number in line["request_id"]}
    assert lines == {f"{number}-1": "OK", f"{number}-2": "INVALID_ARGUMENT", f"{number}-3": "OK", number: "OK"}
    assert server.metric("latebreak_requests_total", method="Fly", status="OK") == before + 2


# --- what is no question --------------------------------------------------------------------------------------------
def told(server: Served, *contents: bytes) -> list[tuple[str, int, str]]:
    """Id, status and first fault or message of each response, the call ending well."""
    with grpc.insecure_channel(server.address) as channel:
        call = channel.stream_stream(
            "/latebreak.v1.WhatIfService/Ask", None, what_if_pb2.AskResponse.FromString
        )(iter(contents), timeout=60.0)  # fmt: skip
        found = [(one.id, one.status.code, one.status.message) for one in call]
        assert call.code() is grpc.StatusCode.OK
    return found


INVALID, EXHAUSTED = grpc.StatusCode.INVALID_ARGUMENT.value[0], grpc.StatusCode.RESOURCE_EXHAUSTED.value[0]


@pytest.mark.parametrize(
    ("content", "name", "code", "text"),
    [
        (what_if_pb2.AskRequest(id="empty").SerializeToString(), "empty", INVALID, "question: nothing is asked"),
        (what_if_pb2.AskRequest(fly=FLY).SerializeToString(), "", INVALID, "id: no id is given"),
        (fly("x" * 65).SerializeToString(), "x" * LONGEST_ID, INVALID, "id: an id of 65 characters"),
        (fly("first").SerializeToString(), "first", INVALID, "id: 'first' is the id of another question"),
        (b"\xff" * 40, "", INVALID, "the bytes are no message"),
        (fly("cut").SerializeToString()[:-3], "", INVALID, "the bytes are no message"),
        (
            b"\x0a\x04many\x12\x9c\x80\x04\x0a\x98\x80\x04" + b"\x2a\x00" * 32_780,
            "many",
            EXHAUSTED,
            "than 20,000 values",
        ),
        (b"", "", INVALID, "question: nothing is asked"),
    ],
    ids=["empty", "no id", "long id", "same id", "no message", "cut off", "many values", "nothing"],
)
def test_what_is_no_question_has_its_fault_and_the_call_goes_on(
    server: Served, content: bytes, name: str, code: int, text: str
) -> None:
    found = told(server, fly("first").SerializeToString(), content, fly("last").SerializeToString())
    assert len(found) == 3
    [(its_name, its_code, its_text)] = [one for one in found if one[1]]
    assert (its_name, its_code) == (name, code)
    assert text in its_text
    assert {one[0] for one in found if not one[1]} == {"first", "last"}


def test_a_question_may_be_as_large_as_in_a_call_of_its_own(server: Served) -> None:
    large = what_if_pb2.FlyRequest()
    large.CopyFrom(FLY)
    large.scenario.title = "t" * 1_000_000
    fit = WHOLE["FitThrows"]
    wide = type(fit).FromString(fit.SerializeToString())
    wide.csv += b"\n" + b"," * 1_500_000  # type: ignore[attr-defined]
    contents = [request_of("fly", large).SerializeToString(), request_of("fit", wide).SerializeToString()]
    found = {name: (code, text) for name, code, text in told(server, *contents)}
    assert found["fly"][0] == EXHAUSTED
    assert "this call takes 1,000,000 at most" in found["fly"][1]
    assert "bytes" not in found["fit"][1]  # read, whatever is wrong with the table


def test_an_iterator_that_fails_does_so_where_the_answers_are_read(server: Served) -> None:
    def questions() -> Iterator[tuple[str, Request]]:
        yield "a", built("fly")
        raise KeyError("of the caller")

    found: list[str] = []
    with Client(server.address) as client:
        with pytest.raises(KeyError, match="of the caller"):
            found.extend(name for name, _ in client.ask(questions()))
        assert found == ["a"]
        with pytest.raises(InputError, match="'a' is the id of another question"):
            list(client.ask([("a", built("fly")), ("a", built("fly"))]))


# --- the client ----------------------------------------------------------------------------------------------------
def test_a_call_that_is_cut_off_while_questions_are_sent_is_a_server_that_went_away() -> None:
    """The asynchronous library tells of its own trouble in place of the status."""
    cut_off = grpc.aio.AioRpcError(grpc.StatusCode.INTERNAL, Metadata(), Metadata(), "Internal error from Core")
    told = error_of(cut_off, "here:1")
    assert isinstance(told, UnavailableError)
    assert "ask again what has no answer" in str(told)


def test_a_server_that_answers_what_was_not_asked_is_at_fault() -> None:
    open_questions = at_the_client.Open("here:1")
    with pytest.raises(ServerFaultError, match="which asks nothing"):
        open_questions.found(what_if_pb2.AskResponse(id="z", fly=what_if_pb2.FlyResponse()))
    open_questions.message("a", built("fly"))
    with pytest.raises(InputError, match="StreamFlightsRequest can't be asked among many; allowed: fly, compare"):
        open_questions.message("b", requests.flights(ASKED))
    with pytest.raises(ServerFaultError, match="without answers to 1 "):
        open_questions.ended()
