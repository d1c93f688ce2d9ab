"""What callers send to take a server down: little on the wire, much in memory; calls that stay open; guessed tokens."""

import asyncio
import socket
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import AsyncExitStack, ExitStack
from pathlib import Path
from typing import Any

import grpc
import pytest
from serving import Served, serving

from latebreak.service.client import Client
from latebreak.service.scenario import load
from latebreak.service.server import reading
from latebreak.service.server.running import start
from latebreak.service.server.settings import Limits, Settings
from latebreak.service.wire.scenarios import message_of
from latebreak.v1 import scenario_pb2, what_if_pb2, what_if_pb2_grpc

TOKEN = "a-token-of-the-tests-and-of-nobody-else"
BEARER = (("authorization", f"Bearer {TOKEN}"),)
FLY, CHECK = "/latebreak.v1.WhatIfService/Fly", "/grpc.health.v1.Health/Check"
REFLECTION = "/grpc.reflection.v1alpha.ServerReflection/ServerReflectionInfo"
MEGABYTE = 1 << 20


@pytest.fixture(scope="module")
def guarded() -> Iterator[Served]:
    """A server that wants a token."""
    with serving(env={"LATEBREAK_TOKEN": TOKEN}) as served:
        yield served


def peak(served: Served, work: Callable[[], object]) -> int:
    """By how much the server's memory rises at most while something is done."""
    process = Path(f"/proc/{served.process.pid}")
    (process / "clear_refs").write_text("5")  # forgets the peak until now
    before = served.rss()
    work()
    [line] = [line for line in (process / "status").read_text().splitlines() if line.startswith("VmHWM:")]
    return int(line.split()[1]) * 1024 - before


def told(served: Served, path: str, content: bytes, count: int = 1, **how: Any) -> Counter[grpc.StatusCode]:
    """Send the same many times at once; how the calls end."""
    with grpc.insecure_channel(served.address, [("grpc.max_send_message_length", -1)]) as channel:
        method = channel.unary_unary(path, request_serializer=None, response_deserializer=None)
        calls = [method.future(content, timeout=60.0, **how) for _ in range(count)]
        return Counter(call.code() for call in calls)


def varint(value: int) -> bytes:
    """A number as the wire has it."""
    return bytes([value]) if value < 0x80 else bytes([value & 0x7F | 0x80]) + varint(value >> 7)


def many_pitches(size: int) -> bytes:
    """A request of some bytes whose scenario lists pitches without name and content, two or three each."""
    number = scenario_pb2.Scenario.DESCRIPTOR.fields_by_name["pitch"].number
    entry = varint(number << 3 | 2) + b"\0"
    listed = entry * (size // len(entry))
    return b"\x0a" + varint(len(listed)) + listed


# --- little on the wire, much in memory -----------------------------------------------------------------------------
def test_without_the_token_nothing_is_unpacked_or_parsed(guarded: Served) -> None:
    """8 KB of gzip, or 8 MB as they are: parsed they would be a gigabyte."""
    content = many_pitches(7_900_000)

    def attack() -> None:
        packed = told(guarded, FLY, content, compression=grpc.Compression.Gzip)
        assert packed == {grpc.StatusCode.UNIMPLEMENTED: 1}
        assert told(guarded, FLY, content, 4) == {grpc.StatusCode.UNAUTHENTICATED: 4}

    assert peak(guarded, attack) < 16 * MEGABYTE


def test_entries_are_counted_before_they_are_made(guarded: Served) -> None:
    content = many_pitches(990_000)  # in the limit of bytes

    def attack() -> None:
        assert told(guarded, FLY, content, 4, metadata=BEARER) == {grpc.StatusCode.RESOURCE_EXHAUSTED: 4}

    assert peak(guarded, attack) < 16 * MEGABYTE
    with Client(guarded.address, token=TOKEN) as client:
        assert client.fly("two-grips", throws=100).throws == 100


@pytest.mark.parametrize("path", [CHECK, REFLECTION])
def test_health_and_reflection_take_small_messages_only(guarded: Served, path: str) -> None:
    for size, code in (
        (1_000, {grpc.StatusCode.NOT_FOUND, grpc.StatusCode.OK}),
        (5_000, {grpc.StatusCode.RESOURCE_EXHAUSTED}),
    ):
        name = b"n" * size
        content = (b"\x0a" if path == CHECK else b"\x22") + varint(size) + name
        assert set(told(guarded, path, content, metadata=BEARER)) <= code


def test_many_large_health_calls_are_read_one_after_the_other(guarded: Served) -> None:
    """Sixty at once, unpacked and parsed, took a gigabyte and more; plain, all would stand in memory at once."""

    def attack() -> None:
        for compression, code in (
            (grpc.Compression.NoCompression, grpc.StatusCode.RESOURCE_EXHAUSTED),
            (grpc.Compression.Gzip, grpc.StatusCode.UNIMPLEMENTED),
        ):
            assert told(guarded, CHECK, bytes(3_900_000), 60, compression=compression) == {code: 60}

    assert peak(guarded, attack) < 80 * MEGABYTE
    assert told(guarded, CHECK, b"", 60) == {grpc.StatusCode.OK: 60}


def test_a_message_that_does_not_come_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "_ARRIVES_WITHIN", 0.2)

    async def ask() -> grpc.StatusCode:
        running = await start(Settings(port=0))
        try:
            async with grpc.aio.insecure_channel(f"127.0.0.1:{running.port}") as channel:
                call = channel.stream_unary(FLY)(timeout=20.0)  # begins, and says nothing
                code: grpc.StatusCode = await call.code()
                return code
        finally:
            await running.drain(0.0)

    assert asyncio.run(ask()) is grpc.StatusCode.DEADLINE_EXCEEDED


# --- callers who do not read ----------------------------------------------------------------------------------------
def test_streams_that_nobody_reads_keep_nobody_out_and_end() -> None:
    """As many as the whole room of the gate, each with its own connection, or all with one."""
    limits = Limits(at_once=1, waiting=5, streams=24, taken_within=2.0)
    request = what_if_pb2.StreamFlightsRequest(scenario=message_of(load("two-grips")), throws=20_000, points=257)

    async def attack() -> None:
        running = await start(Settings(port=0, limits=limits))
        address = f"127.0.0.1:{running.port}"
        own = (("grpc.use_local_subchannel_pool", 1),)
        async with AsyncExitStack() as stack:
            stack.push_async_callback(running.drain, 0.0)
            channels = [await stack.enter_async_context(grpc.aio.insecure_channel(address, own)) for _ in range(7)]
            stubs = [what_if_pb2_grpc.WhatIfServiceStub(channel) for channel in channels]
            idle = [stub.StreamFlights(request) for stub in stubs[:6]]
            for stream in idle:
                await stream.read()
            refused = [stubs[6].StreamFlights(request) for _ in range(12)]
            codes = await asyncio.gather(*(next_of(stream) for stream in refused))
            assert "BUSY" in codes  # one caller does not get all
            asked = what_if_pb2.FlyRequest(scenario=request.scenario, throws=64)
            async with asyncio.timeout(60.0):
                while await next_of(stubs[0].Fly(asked)) == "BUSY":  # while the streams still fly what nobody takes
                    await asyncio.sleep(0.1)
            await asyncio.sleep(2.0 * limits.taken_within)  # the last chunk is offered when there is time to fly it
            for stream in idle:
                with pytest.raises(grpc.aio.AioRpcError, match="a chunk was not taken within the 2 s") as found:
                    await end_of(stream)
                assert found.value.code() is grpc.StatusCode.DEADLINE_EXCEEDED

    async def end_of(stream: Any) -> None:
        while await stream.read() is not grpc.aio.EOF:
            pass

    async def next_of(stream: Any) -> str:
        """How a call goes, as far as the first message."""
        try:
            await (stream.read() if hasattr(stream, "read") else stream)
        except grpc.aio.AioRpcError as error:
            return "BUSY" if "as many" in (error.details() or "") else error.code().name
        return "OK"

    asyncio.run(attack())


def test_a_stream_that_is_read_slowly_but_steadily_goes_on() -> None:
    limits = Limits(taken_within=3.0)
    request = what_if_pb2.StreamFlightsRequest(scenario=message_of(load("two-grips")), throws=600, points=257)

    async def read() -> Counter[str]:
        running, found = await start(Settings(port=0, limits=limits)), Counter[str]()
        async with AsyncExitStack() as stack:
            stack.push_async_callback(running.drain, 0.0)
            channel = await stack.enter_async_context(grpc.aio.insecure_channel(f"127.0.0.1:{running.port}"))
            stub = what_if_pb2_grpc.WhatIfServiceStub(channel)
            await stub.Fly(
                what_if_pb2.FlyRequest(scenario=request.scenario, throws=64)
            )  # compiles, which takes its time
            began = time.monotonic()
            async for chunk in stub.StreamFlights(request, timeout=120.0):
                found[chunk.pitch] += len(chunk.paths)
                await asyncio.sleep(0.2)
        assert time.monotonic() - began > limits.taken_within  # all together took longer than one may
        return found

    assert set(asyncio.run(read()).values()) == {600}


# --- connections that only stand ------------------------------------------------------------------------------------
#: What a client says first: that it speaks HTTP/2, and no settings. RFC 9113, 3.4.
GREETING = b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n" + b"\0\0\0\4\0\0\0\0\0"


@pytest.mark.parametrize("said", [b"", GREETING], ids=["nothing", "a greeting"])
def test_hundreds_of_connections_that_say_nothing_keep_nobody_out(guarded: Served, said: bytes) -> None:
    descriptors = Path(f"/proc/{guarded.process.pid}/fd")
    before = len(list(descriptors.iterdir()))
    with ExitStack() as stack:

        def attack() -> None:
            for _ in range(800):
                connection = stack.enter_context(socket.create_connection(("127.0.0.1", guarded.port), 10.0))
                connection.sendall(said)
            with Client(guarded.address, token=TOKEN) as client:
                assert client.fly("two-grips", throws=100).throws == 100

        assert peak(guarded, attack) < 48 * MEGABYTE
    end = time.monotonic() + 60.0
    while len(list(descriptors.iterdir())) > before + 5:  # given back when they hang up
        assert time.monotonic() < end
        time.sleep(0.1)


def test_connections_without_a_call_are_closed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("latebreak.service.server.running._HANDSHAKE", 500)
    monkeypatch.setattr("latebreak.service.server.running._IDLE", 1_000)

    async def wait(said: bytes) -> None:
        served = await start(Settings(port=0))
        try:
            reader, writer = await asyncio.open_connection("127.0.0.1", served.port)
            writer.write(said)
            async with asyncio.timeout(30.0):
                while await reader.read(1000):
                    pass
            writer.close()
        finally:
            await served.drain(0.0)

    for said in (b"", GREETING):
        asyncio.run(wait(said))
