"""Messages that are too large, full of faults or to nobody, and noise around them: refused and forgotten."""

import random
import re
import socket
from collections.abc import Callable
from typing import Any

import grpc
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sending import MEGABYTE, REFUSED, WHOLE, Sender, scenario
from serving import Served

from latebreak.v1 import what_if_pb2


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


def test_a_message_that_is_too_large_is_refused_without_memory(sender: Sender) -> None:
    content = field_2(64 * MEGABYTE)

    def drop() -> None:
        for _ in range(3):
            assert sender.send("FitThrows", content) is grpc.StatusCode.RESOURCE_EXHAUSTED

    drop()
    assert growth(sender.served, drop) < 16 * MEGABYTE  # a quarter of one
    assert sender.is_well()


@pytest.mark.parametrize("compression", [grpc.Compression.Deflate, grpc.Compression.Gzip])
def test_a_compressed_request_is_refused_whatever_it_holds(sender: Sender, compression: grpc.Compression) -> None:
    """What a few bytes unpack to would be known too late, and no request gains by it."""
    with pytest.raises(grpc.RpcError, match="is disabled") as caught:
        sender.raw("/latebreak.v1.WhatIfService/Compare", WHOLE["Compare"].SerializeToString(), compression=compression)
    assert caught.value.code() is grpc.StatusCode.UNIMPLEMENTED
    assert sender.is_well()


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

    @settings(database=None)
    @given(
        st.lists(
            st.tuples(NAMES, PRINTABLE) | st.tuples(NAMES.map("{}-bin".format), st.binary(max_size=60)), max_size=6
        )
    )
    def taken(metadata: list[tuple[str, str | bytes]]) -> None:
        assert sender.send("ListModels", b"", metadata=metadata) is grpc.StatusCode.OK

    taken()
    sender.served.wait_for("request", 10.0, count=before + settings().max_examples)
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
