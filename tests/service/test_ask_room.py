"""Many questions of one call: room is shared, time is limited, and who does not read or ask is left."""

import asyncio
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

import grpc
import pytest
from asking import ASKED, FLY, fly, one_by_one

from latebreak.service.client import AsyncClient, Client, UnavailableError, requests
from latebreak.service.client import many as at_the_client
from latebreak.service.questions import Answer
from latebreak.service.server import many as at_the_server
from latebreak.service.server.running import Running, start
from latebreak.service.server.settings import Limits, Settings
from latebreak.service.wire.many import request_of
from latebreak.v1 import what_if_pb2, what_if_pb2_grpc

LONG = what_if_pb2.CompareRequest(scenario=FLY.scenario, throws=20_000_000, no_interval=True)


@asynccontextmanager
async def a_server(**limits: Any) -> AsyncIterator[tuple[Running, Any]]:
    """A server of this process, and a stub."""
    running = await start(Settings(port=0, limits=Limits(**limits)))
    try:
        async with grpc.aio.insecure_channel(f"127.0.0.1:{running.port}") as channel:
            stub: Any = what_if_pb2_grpc.WhatIfServiceStub(channel)
            await stub.Fly(FLY)  # compiles, which takes its time
            yield running, stub
    finally:
        await running.drain(0.0)


async def read(call: Any) -> tuple[list[what_if_pb2.AskResponse], grpc.StatusCode]:
    """All that came, and how the call ended."""
    found = []
    try:
        async for response in call:
            found.append(response)
    except grpc.aio.AioRpcError as error:
        return found, error.code()
    return found, grpc.StatusCode.OK


async def to_the_end(call: Any) -> None:
    while await call.read() is not grpc.aio.EOF:
        pass


def test_the_next_question_is_read_when_there_is_room() -> None:
    """Not more than some questions, and what the connection's window holds, are on their way before an answer."""
    sent = 0

    async def questions() -> AsyncIterator[what_if_pb2.AskRequest]:
        nonlocal sent
        large = what_if_pb2.FlyRequest()
        large.CopyFrom(FLY)
        large.scenario.title = "t" * 400_000
        for number in range(100):
            sent += 1
            yield request_of(str(number), large)

    async def ask() -> None:
        async with a_server(at_once=1, waiting=15) as (running, stub):
            call = stub.Ask(questions())
            await call.read()
            assert sent < 12
            answer = await stub.Fly(FLY)  # there is room for others
            assert answer.command == "fly"
            assert running.servicer._gate.inside <= 2
            await to_the_end(call)
            assert sent == 100

    asyncio.run(ask())


def test_many_calls_of_many_share_what_there_is() -> None:
    async def ask() -> None:
        async with a_server(at_once=1, waiting=1, streams=40) as (_, stub):
            calls = [read(stub.Ask(one_by_one(map(fly, "abcdefghij"))())) for _ in range(8)]
            for found, code in await asyncio.gather(*calls):
                assert code is grpc.StatusCode.OK
                assert sorted(one.id for one in found) == list("abcdefghij")
                assert all(one.HasField("fly") for one in found)  # nobody was told that the server is busy

    asyncio.run(ask())


def test_who_hangs_up_or_has_no_time_stops_the_work() -> None:
    async def ask() -> None:
        async with a_server(at_once=1, work=10**12) as (running, stub):
            for timeout in (0.5, None):
                call = stub.Ask(one_by_one(request_of(name, LONG) for name in "abc")(), timeout=timeout)
                reading = asyncio.create_task(read(call))
                while running.servicer.at_work == 0:
                    await asyncio.sleep(0.01)
                if timeout is None:
                    reading.cancel()
                    call.cancel()
                else:
                    assert await reading == ([], grpc.StatusCode.DEADLINE_EXCEEDED)
                end = time.monotonic() + 10.0
                while running.servicer._gate.inside or running.servicer.at_work:
                    assert time.monotonic() < end
                    await asyncio.sleep(0.01)

    asyncio.run(ask())


def test_each_question_has_the_time_of_a_call() -> None:
    async def ask() -> None:
        async with a_server(at_once=2, work=10**12, seconds=2.0) as (_, stub):
            found, code = await read(stub.Ask(one_by_one([request_of("long", LONG), fly("quick")])()))
            assert code is grpc.StatusCode.OK
            told = {one.id: one.status for one in found}
            assert told["quick"].code == 0
            assert told["long"].code == grpc.StatusCode.DEADLINE_EXCEEDED.value[0]
            assert "not done within the 2 s that this server gives a request" in told["long"].message

    asyncio.run(ask())


def test_who_does_not_read_is_left_and_keeps_nobody_out() -> None:
    async def ask() -> None:
        compare = what_if_pb2.CompareRequest(scenario=FLY.scenario, throws=64, no_interval=True)
        async with a_server(at_once=1, waiting=1, taken_within=2.0) as (running, stub):
            own = (("grpc.use_local_subchannel_pool", 1), ("grpc.http2.bdp_probe", 0))  # a window of 64 KB
            async with grpc.aio.insecure_channel(f"127.0.0.1:{running.port}", own) as channel:
                call = what_if_pb2_grpc.WhatIfServiceStub(channel).Ask(
                    one_by_one(request_of(str(number), compare) for number in range(500))()
                )
                await call.read()
                for _ in range(5):
                    assert (await stub.Fly(FLY)).command == "fly"
                end = time.monotonic() + 100.0
                while running.servicer._many:  # some twenty answers go into the window
                    assert time.monotonic() < end
                    await asyncio.sleep(0.1)
                assert (running.servicer._gate.inside, running.servicer.at_work) == (0, 0)
                with pytest.raises(grpc.aio.AioRpcError, match=r"an answer was not taken within the 2 s|from Core"):
                    await to_the_end(call)  # the library may tell its own trouble with sending in place of the status

    asyncio.run(ask())


def test_who_asks_nothing_more_is_left() -> None:
    async def questions() -> AsyncIterator[what_if_pb2.AskRequest]:
        yield fly("a")
        await asyncio.sleep(60.0)

    async def ask() -> None:
        async with a_server(seconds=1.0) as (_, stub):
            call = stub.Ask(questions())
            found, code = await read(call)
            assert [one.id for one in found] == ["a"]
            assert code is grpc.StatusCode.DEADLINE_EXCEEDED
            assert "no question came within the 1 s" in await call.details()

    asyncio.run(ask())


def test_a_server_that_ends_answers_what_it_has_read() -> None:
    async def ask() -> None:
        async with a_server(at_once=1) as (running, _):
            found: list[str] = []

            def all_of_them() -> None:
                request = requests.fly(ASKED, throws=2000)
                with Client(f"127.0.0.1:{running.port}") as client:
                    for name, answer in client.ask((str(number), request) for number in range(5000)):
                        assert isinstance(answer, Answer)
                        found.append(name)

            asking = asyncio.create_task(asyncio.to_thread(all_of_them))
            while not found:
                await asyncio.sleep(0.01)
            draining = asyncio.create_task(running.drain(10.0))
            with pytest.raises(UnavailableError, match="ask again what has no answer") as ended:
                await asking
            assert ended.value.reason == "ENDING"
            assert 0 < len(found) < 5000
            await draining

    asyncio.run(ask())


def test_more_questions_than_a_call_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(at_the_server, "MOST_QUESTIONS", 5)

    async def ask() -> None:
        async with a_server() as (running, stub):
            found, code = await read(stub.Ask(one_by_one(map(fly, "abcdefg"))()))
            assert [one.WhichOneof("answer") for one in found] == 5 * ["fly"]
            assert code is grpc.StatusCode.RESOURCE_EXHAUSTED
            monkeypatch.setattr(at_the_client, "MOST_QUESTIONS", 5)  # then it takes as many calls as are needed
            async with AsyncClient(f"127.0.0.1:{running.port}") as client:
                request = requests.fly(ASKED, throws=64)
                names = [name async for name, found in client.ask((name, request) for name in "abcdefghijkl")]
                assert sorted(names) == list("abcdefghijkl")

    asyncio.run(ask())
