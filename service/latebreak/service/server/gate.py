"""The gate: how many requests are worked on at once, how many may wait, and what the others are told."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from latebreak.engine.errors import LatebreakError


class BusyError(LatebreakError):
    """Too many requests at once; try again later."""


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
    inside : int
        Requests that were let in and have not ended.
    """

    def __init__(self, at_once: int, waiting: int) -> None:
        self.slots = asyncio.Semaphore(at_once)
        self._room = at_once + waiting
        self.inside = 0

    @asynccontextmanager
    async def admitted(self) -> AsyncIterator[None]:
        """Be inside: at work or waiting for a slot.

        Raises
        ------
        BusyError
            If too many wait already.
        """
        if self.inside >= self._room:
            raise BusyError("the server is busy: as many requests wait as may; try again in a moment")
        self.inside += 1
        try:
            yield
        finally:
            self.inside -= 1
