"""Worker processes on this machine."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait

from latebreak.engine.errors import LatebreakError


class WorkerError(LatebreakError):
    """A worker process ended before its work."""


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def process_pool(workers: int | None = None) -> Iterator[Executor]:
    """Start worker processes, and end them with the block: at once where an error or an interrupt leaves it.

    They are spawned, not forked: a copy of a process whose numba threads run would stand still.

    Parameters
    ----------
    workers : int, optional
        Default: one for each core.

    Raises
    ------
    WorkerError
        The system ended a worker.
    """
    number = workers or cores()
    others = set(multiprocessing.active_children())
    pool = ProcessPoolExecutor(number, multiprocessing.get_context("spawn"), initializer=_at_the_start)
    try:
        with _interrupts_ignored():  # a new process inherits this, and so starts deaf to Ctrl-C
            for _ in range(number):
                pool.submit(os.getpid)
        yield pool
    except BaseException as error:
        for process in set(multiprocessing.active_children()) - others:
            process.terminate()
        if isinstance(error, BrokenProcessPool):
            reason = "a worker process ended before its work, perhaps for want of memory"
            raise WorkerError(f"{reason}; what is finished is kept: run it again, with fewer --workers") from error
        raise
    finally:
        pool.shutdown(cancel_futures=True)


def _at_the_start() -> None:
    """Prepare a worker: Ctrl-C is for its parent, and without a parent it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_after, args=(parent.sentinel,), daemon=True).start()


def _end_after(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)


@contextmanager
def _interrupts_ignored() -> Iterator[None]:
    if threading.current_thread() is not threading.main_thread():  # only that one may set what a signal does
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
