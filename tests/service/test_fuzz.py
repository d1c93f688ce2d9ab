"""Whatever is sent to the server: it answers or says what is wrong, it does not fall over, hang, or grow."""

import random
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from typing import Any

import grpc
import pytest
from google.protobuf.descriptor import Descriptor, FieldDescriptor
from google.protobuf.message import DecodeError, Message
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sending import GIVES_BACK, MEGABYTE, METHODS, MOST_WORK, SERVICE, WHOLE, Sender
from serving import serving
from wired import is_map, map_value

from latebreak.service.judging.measures import MEASURES
from latebreak.service.questions.lever import LEVERS
from latebreak.v1 import what_if_pb2

Place = tuple[FieldDescriptor, ...]
Change = tuple[Place, list[str], Any]


def places(descriptor: Descriptor, before: Place = ()) -> Iterator[Place]:
    """Every field of a message and of the messages in it, with the way to it."""
    for field in descriptor.fields:
        yield (*before, field)
        inner = map_value(field).message_type if is_map(field) else field.message_type
        if inner is not None:
            yield from places(inner, (*before, field))


KEYS = sorted({field.name for method in METHODS.values() for place in places(method.input_type) for field in place})
#: Words that mean something somewhere, and some that mean nothing.
WORDS = (
    *("fastball", "curve", "breaking", "offspeed", "right", "left", "youth", "college", "professional", "reverse"),
    *(
        "baseball",
        "softball",
        "one_glance",
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
        if not isinstance(value, Times):  # there is nothing to scale
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
        size = sum(len(one) if isinstance(one, str | bytes) else 8 for one in few)
        return place, names, few * (times if size * times < MEGABYTE else 1)
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


FUZZED = ("Fly", "Compare", "Levers", "Reach", "Aim", "Mix", "FitThrows", "StreamFlights", "Ask")
#: Examples of a method: in every run, to warm up a server, and in the slow suite.
FEW, WARM, MANY = 20, 60, 1600


@pytest.mark.parametrize("method", FUZZED)
def test_anything_that_is_sent_is_answered_or_refused(sender: Sender, method: str) -> None:
    before = sender.sent
    seen = fuzz(sender, method, FEW, same_every_time=True)
    assert sender.sent - before >= FEW * PER_EXAMPLE
    assert {"OK", "INVALID_ARGUMENT"} <= set(seen)  # some came as far as an answer
    assert sender.is_well()


@pytest.mark.slow
def test_a_hundred_thousand_inputs_leave_the_server_as_it_was() -> None:
    with serving("--most-work", str(MOST_WORK), env=GIVES_BACK) as served:
        sender = Sender(served)
        for method in FUZZED:
            fuzz(sender, method, WARM, same_every_time=True)  # warm: every kind of fault and of answer once
        before = served.rss()
        seen: dict[str, int] = {}
        start = sender.sent
        for method in FUZZED:
            for code, count in fuzz(sender, method, MANY, same_every_time=False).items():
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
    for method in set(METHODS) - {"ListModels", "FitThrows", "Ask"}:
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
