"""Work in threads, which can be asked to stop and can't be made to.

When a caller hangs up or the time is over, the work is stopped at its next checkpoint, and its slot is given back when
the thread has ended. A thread that a plug-in keeps for ever is counted as lost, and its slot with it.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

from latebreak.engine.stopping import stoppable
from latebreak.service.server.logs import tell
from latebreak.service.server.strangers import HangingError, at_work, called

#: s; after this work that was stopped has not come to a checkpoint, so it may be a plug-in that hangs; after this it is
#: given up, and its thread counts as lost (chosen: the longest way between two checkpoints measured is 45 ms).
_STOPS_WITHIN, GIVEN_UP = 0.1, 3.0

T = TypeVar("T")


class Threads:
    """Threads for so many questions at once.

    Parameters
    ----------
    slots : asyncio.Semaphore
        Held while numbers are worked out.
    count : int
        Threads.
    tell_lost : callable
        Told how many hang, whenever that changes.

    Attributes
    ----------
    at_work : int
        Threads that work.
    lost : int
        Those among them that hang.
    """

    def __init__(self, slots: asyncio.Semaphore, count: int, tell_lost: Callable[[int], Awaitable[None]]) -> None:
        self._slots, self._tell_lost = slots, tell_lost
        self._pool = ThreadPoolExecutor(count, thread_name_prefix="question")
        self._watched: set[asyncio.Task[None]] = set()
        self.at_work = self.lost = 0

    def close(self) -> None:
        """Give the threads back, but for those that hang."""
        for watching in self._watched:
            watching.cancel()
        self._pool.shutdown(wait=False, cancel_futures=True)

    async def work(self, asked: Callable[[], T]) -> T:
        """Wait for a slot and work in a thread; when the caller hangs up or the time is over, stop the work first."""
        stopped = threading.Event()

        def run() -> T:
            thread.append(threading.get_ident())
            with stoppable(stopped.is_set):
                return called(asked)

        thread: list[int] = []
        await self._slots.acquire()
        running = asyncio.get_running_loop().run_in_executor(self._pool, run)
        self.at_work += 1
        running.add_done_callback(self._stopped)
        try:
            return await asyncio.shield(running)
        except asyncio.CancelledError:
            stopped.set()
            await asyncio.wait([running], timeout=_STOPS_WITHIN)
            stranger = at_work(thread[0]) if thread and not running.done() else None
            if stranger is None:
                await asyncio.wait([running], timeout=GIVEN_UP)
            if not running.done():
                watching = asyncio.create_task(self._watch(running, stranger))
                self._watched.add(watching)
                watching.add_done_callback(self._watched.discard)
            elif not running.cancelled():
                running.exception()  # seen
            if stranger is not None:
                raise HangingError(f"{stranger} does not answer; the time for this request is over") from None
            raise
        finally:
            del running  # what it raised holds this frame: a circle that would keep the request in memory

    def _stopped(self, _: asyncio.Future[Any]) -> None:
        """Give the slot back: the work has stopped."""
        self.at_work -= 1
        self._slots.release()

    async def _watch(self, running: asyncio.Future[Any], stranger: str | None) -> None:
        """Count a thread as lost while it hangs."""
        await asyncio.wait([running], timeout=GIVEN_UP)
        if not running.done():
            self.lost += 1
            tell("thread_lost", level=logging.ERROR, problem=f"{stranger or 'the work'} does not stop", lost=self.lost)
            await self._tell_lost(self.lost)
            await asyncio.wait([running])
            self.lost -= 1
            tell("thread_back", lost=self.lost)
            await self._tell_lost(self.lost)
        if not running.cancelled():
            running.exception()  # seen
