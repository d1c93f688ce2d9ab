"""The gate: how many requests are worked on at once, how many may wait, and what the others are told.

Room is shared out among peers by a dynamic threshold (Choudhury and Hahne 1998, from memory): a peer may hold no more
than what is still free. So one peer alone gets half of the room, two get a third each, and whoever comes next finds a
place, without a list of who is entitled to what.
"""

from __future__ import annotations

import asyncio
import ipaddress
from collections import Counter
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from urllib.parse import unquote

from latebreak.engine.errors import LatebreakError

#: Bits of an IPv6 address that tell one household or office from another (common practice, no source).
_NETWORK = 64


class BusyError(LatebreakError):
    """Too many requests at once; try again later."""


class SlowError(LatebreakError):
    """The caller takes too long to send or to take."""


def peer_of(address: str) -> str:
    """Return who calls, from what the library says of a call's other end.

    Off this machine that is the address, or its network for IPv6. On this machine it is the connection, since all share
    the address.
    """
    rest = address.partition(":")[2]
    try:
        host = ipaddress.ip_address(unquote(rest).rpartition(":")[0].strip("[]").partition("%")[0])
    except ValueError:
        return address
    mapped = host.ipv4_mapped if isinstance(host, ipaddress.IPv6Address) else None
    host = mapped or host
    if host.is_loopback:
        return address
    return str(host if host.version == 4 else ipaddress.ip_network((host, _NETWORK), strict=False))


class Share:
    """Room that peers share.

    Parameters
    ----------
    room : int
        Places in all.
    what : str
        What takes a place, for the message to those who find none.

    Attributes
    ----------
    inside : int
        Places that are taken.
    """

    def __init__(self, room: int, what: str) -> None:
        self._room, self._what = room, what
        self._held: Counter[str] = Counter()
        self._freed = asyncio.Event()
        self.inside = 0

    @contextmanager
    def held(self, peer: str) -> Iterator[None]:
        """Hold a place.

        Raises
        ------
        BusyError
            If none is free, or this peer has its share.
        """
        if self._is_full_for(peer):
            mine = " from you" if self.inside < self._room else ""
            raise BusyError(f"the server is busy: as many {self._what}{mine} as may be; try again in a moment")
        self._add(peer, 1)
        try:
            yield
        finally:
            self._add(peer, -1)

    async def free(self, peer: str) -> None:
        """Wait until there is a place for this peer."""
        while self._is_full_for(peer):
            await self._freed.wait()

    @asynccontextmanager
    async def awaited(self, peer: str) -> AsyncIterator[None]:
        """Hold a place as soon as there is one for this peer."""
        await self.free(peer)
        with self.held(peer):
            yield

    @contextmanager
    def aside(self, peer: str) -> Iterator[None]:
        """Give the place that is held to others meanwhile; it is taken again in any case."""
        self._add(peer, -1)
        try:
            yield
        finally:
            self._add(peer, 1)

    def _is_full_for(self, peer: str) -> bool:
        return self._held[peer] >= self._room - self.inside

    def _add(self, peer: str, count: int) -> None:
        self.inside += count
        self._held[peer] += count
        if not self._held[peer]:
            del self._held[peer]
        if count < 0:
            self._freed.set()
            self._freed = asyncio.Event()


class Gate:
    """Lets some requests in, some wait, and turns the rest away.

    Parameters
    ----------
    at_once : int
        Requests worked on at once.
    waiting : int
        Requests that may wait for them.

    Attributes
    ----------
    slots : asyncio.Semaphore
        Held while numbers are worked out; at most `at_once` hold it.
    places : Share
        Requests that were let in and have not ended.
    """

    def __init__(self, at_once: int, waiting: int) -> None:
        self.slots = asyncio.Semaphore(at_once)
        self.places = Share(at_once + waiting, "requests wait")

    @property
    def inside(self) -> int:
        """Requests at work or waiting for a slot."""
        return self.places.inside
