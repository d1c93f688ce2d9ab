"""Work over the blocks of a bundle, in threads: the kernels release the interpreter lock."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from threading import Event
from typing import TypeVar

from latebreak.engine.stopping import checkpoint

T = TypeVar("T")


def over_blocks(blocks: int, threads: int, work: Callable[[Iterator[int]], T]) -> list[T]:
    """Share the blocks out among threads.

    Whatever stops the work, an interrupt from the keyboard or an error in one thread, stops it after the block at hand.

    Parameters
    ----------
    blocks : int
        Number of blocks.
    threads : int
        Most threads to use; 1 works in the caller's.
    work : callable
        Given block numbers; must not depend on which thread gets which.

    Returns
    -------
    list
        What each call of `work` returned.
    """
    stopped = Event()

    def share(first: int, step: int) -> Iterator[int]:
        for block in range(first, blocks, step):
            if stopped.is_set():
                return
            checkpoint()
            yield block

    threads = min(threads, blocks)
    if threads == 1:
        return [work(share(0, 1))]
    with ThreadPoolExecutor(threads) as pool:
        running = [pool.submit(copy_context().run, work, share(first, threads)) for first in range(threads)]
        try:
            return [one.result() for one in running]
        except BaseException:
            stopped.set()
            raise
