"""The gate: how many are inside, how many at work, and that both are given back whatever happens."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, ExitStack, asynccontextmanager

import pytest

from latebreak.service.server.gate import BusyError, Gate, Share, peer_of


@asynccontextmanager
async def admitted(gate: Gate, peer: str) -> AsyncIterator[None]:
    with gate.places.held(peer):
        yield


def test_as_many_are_inside_as_work_and_wait() -> None:
    async def crowd() -> None:
        gate = Gate(at_once=2, waiting=3)
        async with AsyncExitStack() as stack:
            for number in range(5):
                assert gate.inside == number
                await stack.enter_async_context(admitted(gate, f"peer {number}"))
            with pytest.raises(BusyError, match="try again"):
                async with admitted(gate, "peer 5"):
                    raise AssertionError("a sixth was let in")
            assert gate.inside == 5
        assert gate.inside == 0
        async with admitted(gate, ""):
            assert gate.inside == 1

    asyncio.run(crowd())


@pytest.mark.parametrize(("callers", "each"), [(1, 6), (2, 4), (3, 3)])
def test_callers_share_the_room_and_leave_some(callers: int, each: int) -> None:
    """With m callers each gets 1/(m + 1) of the room, rounded to their order of coming; and one more finds a place."""
    share = Share(12, "requests wait")
    with ExitStack() as stack:
        for _ in range(each):
            for number in range(callers):
                stack.enter_context(share.held(f"peer {number}"))
        for number in range(callers):
            with pytest.raises(BusyError, match="from you"), share.held(f"peer {number}"):
                raise AssertionError("more than its share")
        stack.enter_context(share.held("a newcomer"))
        with share.aside("peer 0"):
            assert share.inside == callers * each
    assert share.inside == 0


def test_who_waits_for_a_place_gets_it_when_it_is_free() -> None:
    async def crowd() -> list[int]:
        share, order = Share(2, "messages"), []

        async def take(number: int) -> None:
            async with share.awaited("peer"):
                order.append(share.inside)
                await asyncio.sleep(0)

        async with asyncio.timeout(10.0):
            await asyncio.gather(*map(take, range(20)))
        return order

    assert asyncio.run(crowd()) == 20 * [1]


@pytest.mark.parametrize(
    ("address", "peer"),
    [
        ("ipv4:192.0.2.7:41000", "192.0.2.7"),
        ("ipv6:%5B2001:db8:1:2:3::4%5D:41000", "2001:db8:1:2::/64"),
        ("ipv6:[::ffff:192.0.2.7]:41000", "192.0.2.7"),
        ("ipv6:[fe80::1%25eth0]:41000", "fe80::/64"),
        ("ipv4:127.0.0.1:41000", "ipv4:127.0.0.1:41000"),
        ("ipv6:%5B::1%5D:41000", "ipv6:%5B::1%5D:41000"),
        ("unix:/run/socket", "unix:/run/socket"),
    ],
)
def test_a_caller_is_an_address_or_on_this_machine_a_connection(address: str, peer: str) -> None:
    assert peer_of(address) == peer


def test_no_more_than_at_once_hold_a_slot_and_all_get_one_in_turn() -> None:
    async def crowd() -> tuple[int, list[int]]:
        gate, most, working, order = Gate(at_once=2, waiting=100), 0, 0, []

        async def work(number: int) -> None:
            nonlocal most, working
            async with admitted(gate, f"peer {number}"), gate.slots:
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
            async with admitted(gate, ""), gate.slots:
                raise ZeroDivisionError

        async def stay(peer: str) -> None:
            async with admitted(gate, peer), gate.slots:
                await asyncio.Event().wait()

        at_work, waiting = asyncio.create_task(stay("one")), asyncio.create_task(stay("other"))
        await asyncio.sleep(0)
        await asyncio.sleep(0)
        assert gate.inside == 2
        for task in (waiting, at_work):
            task.cancel()
            with pytest.raises(asyncio.CancelledError):
                await task
        assert gate.inside == 0
        async with asyncio.timeout(10.0), admitted(gate, ""), gate.slots:
            assert gate.inside == 1

    asyncio.run(crowd())


def test_a_gate_without_room_to_wait_still_lets_work_in() -> None:
    async def crowd() -> None:
        gate = Gate(at_once=1, waiting=0)
        async with admitted(gate, ""):
            with pytest.raises(BusyError):
                await admitted(gate, "").__aenter__()
        async with admitted(gate, ""):
            pass

    asyncio.run(crowd())
