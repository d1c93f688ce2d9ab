"""The gate: how many are inside, how many at work, and that both are given back whatever happens."""

import asyncio
from contextlib import AsyncExitStack

import pytest

from latebreak.service.server.gate import BusyError, Gate


def test_as_many_are_inside_as_work_and_wait() -> None:
    async def crowd() -> None:
        gate = Gate(at_once=2, waiting=3)
        async with AsyncExitStack() as stack:
            for number in range(5):
                assert gate.inside == number
                await stack.enter_async_context(gate.admitted())
            with pytest.raises(BusyError, match="try again"):
                async with gate.admitted():
                    raise AssertionError("a sixth was let in")
            assert gate.inside == 5
        assert gate.inside == 0
        async with gate.admitted():
            assert gate.inside == 1

    asyncio.run(crowd())


def test_no_more_than_at_once_hold_a_slot_and_all_get_one_in_turn() -> None:
    async def crowd() -> tuple[int, list[int]]:
        gate, most, working, order = Gate(at_once=2, waiting=100), 0, 0, []

        async def work(number: int) -> None:
            nonlocal most, working
            async with gate.admitted(), gate.slots:
                working += 1
                most = max(most, working)
                order.append(number)
                await asyncio.sleep(0)
                working -= 1

        await asyncio.gather(*map(work, range(20)))
        assert gate.inside == 0
        return most, order

    assert asyncio.run(crowd()) == (2, list(range(20)))


def test_errors_and_cancellation_give_the_place_back() -> None:
    async def crowd() -> None:
        gate = Gate(at_once=1, waiting=1)
        with pytest.raises(ZeroDivisionError):
            async with gate.admitted(), gate.slots:
                raise ZeroDivisionError

        async def stay() -> None:
            async with gate.admitted(), gate.slots:
                await asyncio.Event().wait()

        at_work, waiting = asyncio.create_task(stay()), asyncio.create_task(stay())
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        assert gate.inside == 2
        for task in (waiting, at_work):
            task.cancel()
            with pytest.raises(asyncio.CancelledError):
                await task
        assert gate.inside == 0
        async with asyncio.timeout(10.0), gate.admitted(), gate.slots:
            assert gate.inside == 1

    asyncio.run(crowd())


def test_a_gate_without_room_to_wait_still_lets_work_in() -> None:
    async def crowd() -> None:
        gate = Gate(at_once=1, waiting=0)
        async with gate.admitted():
            with pytest.raises(BusyError):
                await gate.admitted().__aenter__()
        async with gate.admitted():
            pass

    asyncio.run(crowd())
