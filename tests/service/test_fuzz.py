"""Whatever is sent to the server: it answers or says what is wrong, it does not fall over, hang, or grow."""

import json
import random
import re
import socket
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from typing import Any

import grpc
import pytest
from google.protobuf.descriptor import Descriptor, FieldDescriptor
from google.protobuf.message import DecodeError, Message
from google.rpc import error_details_pb2
from grpc_status import rpc_status
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from serving import Served, serving

from latebreak.service.questions.lever import LEVERS
from latebreak.service.questions.response import MEASURES
from latebreak.service.scenario import parse
from latebreak.service.scenario.starter import starter_text
from latebreak.service.wire.answers import answer_of
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


# --- sending --------------------------------------------------------------------------------------------------------
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
        for reply in replies:
            self.check_reply(method, reply)
        return grpc.StatusCode.OK

    def check_refusal(self, error: grpc.RpcError) -> None:
        assert error.code() in REFUSED, f"{error.code()}: {error.details()}\n{self.bugs()}"
        text = error.details()
        assert text
        assert all(character.isprintable() or character == "\n" for character in text), ascii(text)
        status = rpc_status.from_call(error)
        if status is None:  # the library itself refused: the message is too large
            assert "larger than max" in text
            return
        info, bad = error_details_pb2.ErrorInfo(), error_details_pb2.BadRequest()
        assert status.details[0].Unpack(info)
        assert info.domain == "latebreak"
        assert info.reason
        if error.code() is grpc.StatusCode.INVALID_ARGUMENT:
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


@pytest.fixture(scope="module")
def sender() -> Iterator[Sender]:
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        yield Sender(served)


# --- requests -------------------------------------------------------------------------------------------------------
def is_map(field: FieldDescriptor) -> bool:
    return field.message_type is not None and field.message_type.GetOptions().map_entry


def map_value(field: FieldDescriptor) -> FieldDescriptor:
    """The field that holds what a map holds by name."""
    assert field.message_type is not None
    value: FieldDescriptor = field.message_type.fields_by_name["value"]
    return value


Place = tuple[FieldDescriptor, ...]
Change = tuple[Place, list[str], Any]


def places(descriptor: Descriptor, before: Place = ()) -> Iterator[Place]:
    """Every field of a message and of the messages in it, with the way to it."""
    for field in descriptor.fields:
        yield (*before, field)
        inner = map_value(field).message_type if is_map(field) else field.message_type
        if inner is not None:
            yield from places(inner, (*before, field))


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
        "FitThrows": what_if_pb2.FitThrowsRequest(base=scenario(), csv=csv, throws=3),
        "StreamFlights": what_if_pb2.StreamFlightsRequest(**few, points=5),
        "ListModels": what_if_pb2.ListModelsRequest(),
    }


WHOLE = whole_requests()
KEYS = sorted({field.name for method in METHODS.values() for place in places(method.input_type) for field in place})
#: Words that mean something somewhere, and some that mean nothing.
WORDS = (
    *("fastball", "curve", "breaking", "offspeed", "right", "left", "youth", "college", "professional", "reverse"),
    *(
        "baseball",
        "softball",
        "observer",
        "power_lift",
        "falling_drag",
        "12:45",
        "25:99",
        "like:curve",
        "=-3",
        "+1e308",
    ),
    *(
        "speed_mph:spin_rpm",
        "spin_rpm:spin_rpm",
        "",
        "\x00",
        "\x1b[2J",
        "\r\n",
        "\u202e",
        "\U0010ffff",
        "é" * 40,
        "...",
    ),
    *("../../etc/passwd", "file:///etc/passwd", "%s%n", "{0}", "nan", "-1", "9" * 400, "[columns]"),
    *MEASURES[:4],
    *(lever.key for lever in LEVERS),
    *KEYS,
)
TEXTS = st.sampled_from(WORDS) | st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
HUGE = st.builds(lambda piece, times: piece * times, TEXTS, st.sampled_from([1_000, 20_000]))
DOUBLES = st.floats() | st.sampled_from([0.0, -0.0, 1.0, 90.0, 5e-324, 1.7976931348623157e308, -1e300, 1e15 + 0.3])
COUNTS = st.sampled_from([0, 1, 2, 7, 64, 2**31, 2**32 - 1])
WIDE_COUNTS = COUNTS | st.sampled_from([2**53 + 1, 2**63 - 1, 2**63, 2**64 - 1]) | st.integers(0, 2**64 - 1)
TABLES = st.sampled_from(
    [
        b"pitch,speed_mph\n",
        b"pitch,speed_mph\ncurve,77\n",
        b"pitch;speed_kmh\r\nfastball;145,2\r\n",
        b"pitch,speed_mph\n" + b"curve,1e999\n" * 50,
        b"\xef\xbb\xbfpitch,session\na,b\n",
        b'"' * 5000,
        b"," * 5000 + b"\n" + b"1," * 5000,
        b"[columns]\n'Velo' = {key = 'speed_mph', unit = 'km/h'}\n",
        b"a=" + b"[" * 3000,
    ]
)
BYTES = st.binary(max_size=200) | TABLES | st.lists(TABLES | TEXTS.map(str.encode), max_size=3).map(b"".join)


@dataclass(frozen=True)
class Times:
    """What stands there, times a factor: a question that differs a little has an answer more often."""

    factor: float


def values(field: FieldDescriptor) -> st.SearchStrategy[Any]:
    """Values that a field can hold, sensible or not."""
    return {
        FieldDescriptor.TYPE_DOUBLE: DOUBLES,
        FieldDescriptor.TYPE_UINT64: WIDE_COUNTS,
        FieldDescriptor.TYPE_UINT32: COUNTS,
        FieldDescriptor.TYPE_BOOL: st.booleans(),
        FieldDescriptor.TYPE_STRING: TEXTS | HUGE,
        FieldDescriptor.TYPE_BYTES: BYTES,
    }[field.type]


def put(message: Any, place: Place, names: list[str], value: Any) -> None:
    """Put a value, a list of values or nothing (None) at a place; names are those in maps on the way."""
    *way, last = place
    names = list(names)
    for field in way:
        message = getattr(message, field.name)
        if is_map(field):
            message = message[names.pop(0)]
    if value is None:
        message.ClearField(last.name)
    elif is_map(last):
        held = getattr(message, last.name)
        if map_value(last).message_type is None:
            held[names.pop(0)] = value
        else:
            held[names.pop(0)].SetInParent()
    elif last.is_repeated:
        getattr(message, last.name).extend(value)
    elif last.message_type is not None:
        getattr(message, last.name).SetInParent()
    elif isinstance(value, Times):
        if message.HasField(last.name):
            setattr(message, last.name, getattr(message, last.name) * value.factor)
    else:
        setattr(message, last.name, value)


@st.composite
def changes(draw: st.DrawFn, place: Place) -> Change:
    """Something that is put at a place."""
    names = [draw(st.sampled_from(["fastball", "curve"]) | TEXTS) for field in place if is_map(field)]
    last = place[-1]
    held = map_value(last) if is_map(last) else last
    if draw(st.integers(0, 9)) == 9:
        return place, names, None
    if held.message_type is not None:
        return place, names, True
    if last.is_repeated and not is_map(last):
        few, times = draw(st.lists(values(held), max_size=4)), draw(st.sampled_from([1, 1, 500, 5000]))
        return place, names, few * (times if sum(map(len, few)) * times < MEGABYTE else 1)
    return place, names, draw(values(held))


@cache
def requests(method: str) -> st.SearchStrategy[tuple[Message, bool]]:
    """Requests from their description: any fields with any values; some with whole requests under them."""
    everywhere = list(places(METHODS[method].input_type))
    if not everywhere:
        return st.just((WHOLE[method], True))
    wild = st.sampled_from(everywhere).flatmap(changes)
    gentle = st.tuples(
        st.sampled_from([place for place in everywhere if place[-1].type == FieldDescriptor.TYPE_DOUBLE]),
        st.sampled_from(["fastball", "curve"]).map(lambda name: [name]),
        st.floats(0.9, 1.1).map(Times),
    )

    def built(some: list[Change], whole: Message | None = None) -> tuple[Message, bool]:
        message = type(WHOLE[method])()
        if whole is not None:
            message.CopyFrom(whole)
        for place, names, value in some:
            put(message, place, names, value)
        return message, whole is not None

    far = st.lists(wild, max_size=8).map(built)
    near = st.lists(gentle | gentle | gentle | wild, max_size=4).map(lambda some: built(some, WHOLE[method]))
    return far | far | near


def mutated(content: bytes, chance: random.Random, *, hard: bool) -> bytes:
    """The bytes with some changed, cut out, doubled or put in; where it is hard, far from any request."""
    found = bytearray(content)
    for _ in range(chance.randint(20, 60) if hard else chance.randint(1, 4)):
        at, size = chance.randint(0, len(found)), chance.randint(1, 9)
        match chance.randint(0, 4):
            case 0:
                found[at:at] = chance.randbytes(size)
            case 1:
                del found[at : at + size]
            case 2:
                found[at:at] = found[at : at + size]
            case 3 if at < len(found):
                found[at] ^= 1 << chance.randint(0, 7)
            case _:
                found[at : at + size] = bytes(chance.choice([0x00, 0x7F, 0x80, 0xFF]) for _ in range(size))
    return bytes(found)


#: Inputs of one example: a request, its bytes changed in some ways, and bytes that never were a request.
CHANGED, NOISE = 4, 2
PER_EXAMPLE = 1 + CHANGED + NOISE


def fuzz(sender: Sender, method: str, examples: int, *, same_every_time: bool) -> dict[str, int]:
    """Send examples * `PER_EXAMPLE` inputs to a method; how often which status came back."""
    seen: dict[str, int] = {}

    def send(content: bytes) -> None:
        try:
            code = sender.send(method, content).name
        except AssertionError as error:
            message = getattr(what_if_pb2, METHODS[method].input_type.name)()
            with suppress(DecodeError):
                message.ParseFromString(content)
            error.add_note(f"{method} of {content!r:.5000}\n{message!s:.5000}")
            raise
        seen[code] = seen.get(code, 0) + 1

    @settings(
        max_examples=examples,
        deadline=None,
        derandomize=same_every_time,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(request=requests(method), seed=st.integers(0, 2**32))
    def inputs(request: tuple[Message, bool], seed: int) -> None:
        message, is_whole = request
        content, chance = message.SerializeToString(), random.Random(seed)
        send(content)
        for _ in range(CHANGED):
            send(mutated(content, chance, hard=is_whole))
        for _ in range(NOISE):
            send(chance.randbytes(chance.choice([1, 2, 5, 20, 200, 3000])))

    inputs()
    return seen


EXAMPLES = {"Fly": 140, "Compare": 120, "Levers": 110, "Reach": 120, "FitThrows": 120, "StreamFlights": 110}


def test_enough_is_sent() -> None:
    assert sum(EXAMPLES.values()) * PER_EXAMPLE >= 5000


@pytest.mark.parametrize("method", EXAMPLES)
def test_anything_that_is_sent_is_answered_or_refused(sender: Sender, method: str) -> None:
    before = sender.sent
    seen = fuzz(sender, method, EXAMPLES[method], same_every_time=True)
    assert sender.sent - before >= EXAMPLES[method] * PER_EXAMPLE
    assert {"OK", "INVALID_ARGUMENT"} <= set(seen)  # some came as far as an answer
    assert sender.is_well()


@pytest.mark.slow
def test_a_hundred_thousand_inputs_leave_the_server_as_it_was() -> None:
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        sender = Sender(served)
        for method in EXAMPLES:
            fuzz(sender, method, 60, same_every_time=True)  # warm: every kind of fault and of answer once
        before = served.rss()
        seen: dict[str, int] = {}
        start = sender.sent
        for method, examples in EXAMPLES.items():
            for code, count in fuzz(sender, method, 20 * examples, same_every_time=False).items():
                seen[code] = seen.get(code, 0) + count
        print(f"{sender.sent - start} inputs, {seen}, memory {(served.rss() - before) / MEGABYTE:+.1f} MiB")
        assert sender.sent - start >= 100_000
        assert sender.is_well()
        # What fragments; a leak of 1 kB a request would be 100 MB.
        assert served.rss() - before < 32 * MEGABYTE


@pytest.mark.parametrize("method", METHODS)
def test_nothing_at_all_is_a_request(sender: Sender, method: str) -> None:
    expected = grpc.StatusCode.OK if method == "ListModels" else grpc.StatusCode.INVALID_ARGUMENT
    assert sender.send(method, b"") is expected


@pytest.mark.parametrize("method", [name for name in METHODS if name != "ListModels"])
def test_every_whole_request_has_an_answer(sender: Sender, method: str) -> None:
    assert sender.send(method, WHOLE[method].SerializeToString()) is grpc.StatusCode.OK


@pytest.mark.parametrize(
    "content",
    [
        b"\xff" * 50,
        b"\x0b" * 20_000,  # groups in groups
        b"\x0a\xff\xff\xff\xff\x0f",  # a scenario of 4 GB
        b"\x0a\xff\xff\xff\xff\xff\xff\xff\xff\xff\x01",
        b"\x0a\x02\x0a\xff",
        b"\x0a\x04\x0a\x02\xc3\x28",  # a title that is not UTF-8
        WHOLE["Fly"].SerializeToString()[:-3],
    ],
    ids=["ones", "groups", "4 GB", "more", "cut", "not UTF-8", "cut off"],
)
def test_bytes_that_are_no_request_are_input_at_fault(sender: Sender, content: bytes) -> None:
    for method in set(METHODS) - {"ListModels", "FitThrows"}:
        assert sender.send(method, content) is grpc.StatusCode.INVALID_ARGUMENT
    assert sender.is_well()


def test_control_characters_come_back_escaped(sender: Sender) -> None:
    """Names, and names that are proposed in their place, can't steer the terminal of who reads the message."""
    message: Any = what_if_pb2.FlyRequest()
    message.scenario.pitch["curve\x1b[2J"].speed_mph = -1.0
    message.scenario.hitter.expects["curve\x1b[3J"] = 0.5
    with pytest.raises(grpc.RpcError, match=re.escape(r"did you mean curve\x1b[2J?")) as caught:
        sender.raw(f"/{SERVICE.full_name}/Fly", message.SerializeToString())
    sender.check_refusal(caught.value)


# --- bombs ----------------------------------------------------------------------------------------------------------
def growth(served: Served, work: Callable[[], object]) -> int:
    before = served.rss()
    work()
    return served.rss() - before


def field_2(size: int) -> bytes:
    """A message whose field 2, the table of a fit, holds zeros."""
    length, left = bytearray(), size
    while left > 0x7F:
        length.append(left & 0x7F | 0x80)
        left >>= 7
    return b"\x12" + bytes([*length, left]) + bytes(size)


@pytest.mark.parametrize(
    "compression", [grpc.Compression.NoCompression, grpc.Compression.Deflate, grpc.Compression.Gzip]
)
def test_a_message_that_is_too_large_once_unpacked_is_refused_without_memory(
    sender: Sender, compression: grpc.Compression
) -> None:
    """64 MiB of zeros are 65 kB compressed; what counts is what they unpack to."""
    bomb = field_2(64 * MEGABYTE)

    def drop() -> None:
        for _ in range(3):
            assert sender.send("FitThrows", bomb, compression=compression) is grpc.StatusCode.RESOURCE_EXHAUSTED

    drop()
    # A quarter of one bomb. What is unpacked until the limit of 8 MB is reached is given back.
    assert growth(sender.served, drop) < 16 * MEGABYTE
    assert sender.is_well()


def test_a_compressed_request_within_the_limit_is_answered(sender: Sender) -> None:
    content = WHOLE["Compare"].SerializeToString()
    for compression in (grpc.Compression.Deflate, grpc.Compression.Gzip):
        assert sender.send("Compare", content, compression=compression) is grpc.StatusCode.OK


def many(method: str, key: str, count: int, *, distinct: bool) -> bytes:
    """A whole request with a list of very many names."""
    message: Any = type(WHOLE[method])()
    message.CopyFrom(WHOLE[method])
    getattr(message, key).extend(f"n{number}" if distinct else "" for number in range(count))
    content: bytes = message.SerializeToString()
    return content


def crowded() -> bytes:
    """A scenario of thirty thousand pitches of nothing, each a fault or more."""
    message: Any = what_if_pb2.FlyRequest()
    message.CopyFrom(WHOLE["Fly"])
    for number in range(30_000):
        message.scenario.pitch[f"pitch {number}"].speed_mph = -1.0
        message.scenario.hitter.expects[f"pitch{number}"] = 2.0
    content: bytes = message.SerializeToString()
    return content


@pytest.mark.parametrize(
    ("method", "content"),
    [
        ("Reach", many("Reach", "by", 1_500_000, distinct=False)),
        ("Reach", many("Reach", "by", 500_000, distinct=True)),
        ("Compare", many("Compare", "pitches", 500_000, distinct=True)),
        ("StreamFlights", many("StreamFlights", "pitches", 500_000, distinct=True)),
        ("Fly", crowded()),
        ("FitThrows", what_if_pb2.FitThrowsRequest(base=scenario(), csv=b"\n" * 7_000_000).SerializeToString()),
        ("FitThrows", what_if_pb2.FitThrowsRequest(base=scenario(), csv=b"," * 7_000_000).SerializeToString()),
        ("FitThrows", what_if_pb2.FitThrowsRequest(base=scenario(), csv=b'"' * 7_000_000).SerializeToString()),
        ("FitThrows", what_if_pb2.FitThrowsRequest(base=scenario(), columns=b"[" * 7_000_000).SerializeToString()),
    ],
    ids=["nothing", "levers", "compared", "flown", "pitches", "lines", "commas", "quotes", "brackets"],
)
def test_a_message_full_of_faults_is_refused_and_forgotten(sender: Sender, method: str, content: bytes) -> None:
    assert len(content) < 8_000_000

    def drop() -> None:
        for _ in range(4):
            assert sender.send(method, content) in REFUSED

    drop()
    # Four messages of up to 8 MB, and what was made of them: were they kept, it would be 32 MB and more.
    assert growth(sender.served, drop) < 24 * MEGABYTE
    assert sender.is_well()


# --- around the messages --------------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "path",
    [
        "/latebreak.v1.WhatIfService/Nothing",
        "/latebreak.v1.WhatIfService/",
        "/latebreak.v1.WhatIfService/fly",
        "/latebreak.v1.WhatIfService/Fly/",
        "/latebreak.v2.WhatIfService/Fly",
        "/latebreak.v1.WhatIfService/../Fly",
        "/",
        "//",
        "/%00",
        "/" + "x" * 3000,
    ],
)
def test_a_method_that_is_not_there_is_unimplemented(sender: Sender, path: str) -> None:
    with pytest.raises(grpc.RpcError) as caught:
        sender.raw(path, b"")
    assert caught.value.code() is grpc.StatusCode.UNIMPLEMENTED
    assert sender.is_well()


PRINTABLE = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60)
NAMES = st.sampled_from(["x-request-id", "authorization", "user-agent", "x", "traceparent", "content-language"])


def test_any_metadata_is_taken(sender: Sender) -> None:
    before = len(sender.served.requests())

    @settings(max_examples=300, deadline=None, derandomize=True, database=None)
    @given(
        st.lists(
            st.tuples(NAMES, PRINTABLE) | st.tuples(NAMES.map("{}-bin".format), st.binary(max_size=60)), max_size=6
        )
    )
    def taken(metadata: list[tuple[str, str | bytes]]) -> None:
        assert sender.send("ListModels", b"", metadata=metadata) is grpc.StatusCode.OK

    taken()
    sender.served.wait_for("request", 10.0, count=before + 300)
    for line in sender.served.requests():  # whatever number was given: the log has a plain one
        assert re.fullmatch(r"[0-9A-Za-z-]{1,64}", line["request_id"])


def test_noise_on_the_socket_leaves_the_server_as_it_was(sender: Sender) -> None:
    chance = random.Random(7)
    start = b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"
    for number in range(60):
        noise = chance.randbytes(chance.choice([1, 9, 100, 5000]))
        with socket.create_connection(("127.0.0.1", sender.served.port), timeout=10.0) as raw:
            try:
                raw.sendall([noise, start + noise, b"GET / HTTP/1.1\r\n\r\n" + noise, start[:10]][number % 4])
            except OSError:  # it has hung up already, as it may
                continue
    assert sender.is_well()
