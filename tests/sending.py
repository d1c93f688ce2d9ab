"""A sender of any bytes to a server, that holds what comes back against what is promised; whole requests."""

import json
from typing import Any

import grpc
from google.protobuf.message import Message
from google.rpc import error_details_pb2, status_pb2
from grpc_status import rpc_status
from serving import Served

from latebreak.service.scenario import parse
from latebreak.service.scenario.starter import starter_text
from latebreak.service.wire.answers import answer_of
from latebreak.service.wire.many import request_of
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import what_if_pb2

SERVICE = what_if_pb2.DESCRIPTOR.services_by_name["WhatIfService"]
METHODS = {method.name: method for method in SERVICE.methods}
#: s; no small question takes so long: a call that does hangs.
HANGS = 30.0
#: Enough for every question with few throws, too little for many.
MOST_WORK = 300_000
MEGABYTE = 1 << 20
#: The allocator gives freed memory back at once: what is held is held by the server.
GIVES_BACK = {"MALLOC_ARENA_MAX": "1", "MALLOC_MMAP_THRESHOLD_": "65536", "MALLOC_TRIM_THRESHOLD_": "131072"}
REFUSED = {grpc.StatusCode.INVALID_ARGUMENT, grpc.StatusCode.RESOURCE_EXHAUSTED}


class Sender:
    """Sends bytes to a server and looks at what comes back."""

    def __init__(self, served: Served) -> None:
        self.served, self.sent = served, 0
        self.channel = grpc.insecure_channel(
            served.address, [("grpc.max_send_message_length", -1), ("grpc.max_receive_message_length", -1)]
        )

    def raw(self, path: str, content: bytes, *, streams: bool = False, **how: Any) -> list[bytes]:
        """Call any path with any bytes; the responses as bytes."""
        make = self.channel.unary_stream if streams else self.channel.unary_unary
        call = make(path, request_serializer=lambda one: one, response_deserializer=lambda one: one)
        self.sent += 1
        reply = call(content, timeout=HANGS, **how)
        return list(reply) if streams else [reply]

    def send(self, method: str, content: bytes, **how: Any) -> grpc.StatusCode:
        """Call a method; hold whatever it answers against what was promised."""
        streams = METHODS[method].server_streaming
        try:
            replies = self.raw(f"/{SERVICE.full_name}/{method}", content, streams=streams, **how)
        except grpc.RpcError as error:
            self.check_refusal(error)
            code: grpc.StatusCode = error.code()
            return code
        if method == "Ask":
            return self.check_one_of_many(*replies)
        for reply in replies:
            self.check_reply(method, reply)
        return grpc.StatusCode.OK

    def check_one_of_many(self, reply: bytes) -> grpc.StatusCode:
        response = what_if_pb2.AskResponse.FromString(reply)
        which = response.WhichOneof("answer")
        assert which is not None
        if which != "status":
            json.dumps(answer_of(getattr(response, which)).to_dict(), allow_nan=False)
            return grpc.StatusCode.OK
        status = status_pb2.Status.FromString(response.status.SerializeToString())
        [code] = [one for one in grpc.StatusCode if one.value[0] == status.code]
        self.check_status(code, status.message, status)
        return code

    def check_refusal(self, error: grpc.RpcError) -> None:
        self.check_status(error.code(), error.details(), rpc_status.from_call(error))

    def check_status(self, code: grpc.StatusCode, text: str | None, status: status_pb2.Status | None) -> None:
        assert code in REFUSED, f"{code}: {text}\n{self.bugs()}"
        assert text
        assert all(character.isprintable() or character == "\n" for character in text), ascii(text)
        if status is None:  # the library itself refused: the message is too large
            assert "larger than max" in text
            return
        info, bad = error_details_pb2.ErrorInfo(), error_details_pb2.BadRequest()
        assert status.details[0].Unpack(info)
        assert info.domain == "latebreak"
        assert info.reason
        if code is grpc.StatusCode.INVALID_ARGUMENT:
            assert status.details[1].Unpack(bad)
            assert bad.field_violations
            assert all(one.description.isprintable() and one.field.isprintable() for one in bad.field_violations)

    def check_reply(self, method: str, reply: bytes) -> None:
        response = getattr(what_if_pb2, METHODS[method].output_type.name).FromString(reply)
        if method not in {"StreamFlights", "ListModels"}:
            json.dumps(answer_of(response).to_dict(), allow_nan=False)

    def bugs(self) -> str:
        """The last trace that the server has logged."""
        traces = [line["trace"] for line in self.served.log_lines() if "trace" in line]
        return str(traces[-1]) if traces else "no trace"

    def is_well(self) -> bool:
        assert self.served.process.poll() is None, "the server has ended"
        assert self.bugs() == "no trace"
        return self.send("ListModels", b"") is grpc.StatusCode.OK


def scenario() -> Any:
    return message_of(parse(starter_text("base")))


def whole_requests() -> dict[str, Message]:
    """A request of every kind to which there is an answer."""
    csv = b"pitch,speed_mph,spin_rpm,break_clock_deg,induced_vertical_break_in,induced_side_break_in,release_side_ft,"
    csv += (
        b"release_height_ft,extension_ft\nfastball,90,2200,20,15,-8,-1.9,5.9,6.2\ncurve,77,2400,200,-9,6,-1.9,5.8,6\n"
    )
    few: dict[str, Any] = {"scenario": scenario(), "throws": 3}
    quick: dict[str, Any] = {**few, "no_interval": True}
    return {
        "Fly": what_if_pb2.FlyRequest(**few),
        "Compare": what_if_pb2.CompareRequest(**quick),
        "Levers": what_if_pb2.LeversRequest(**quick, pitch="curve"),
        "Reach": what_if_pb2.ReachRequest(
            **quick, pitch="curve", measure="late_break_in", goal="+0.1", by=["spin_rpm"]
        ),
        "Aim": what_if_pb2.AimRequest(**quick, pitch="curve"),
        "Mix": what_if_pb2.MixRequest(**quick),
        "FitThrows": what_if_pb2.FitThrowsRequest(base=scenario(), csv=csv, throws=3),
        "StreamFlights": what_if_pb2.StreamFlightsRequest(**few, points=5),
        "Ask": request_of("a", what_if_pb2.CompareRequest(**quick)),
        "ListModels": what_if_pb2.ListModelsRequest(),
    }


WHOLE = whole_requests()
