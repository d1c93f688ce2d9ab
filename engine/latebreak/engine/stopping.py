"""Stopping work that nobody waits for any more: long loops ask at checkpoints whether to go on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from latebreak.engine.errors import LatebreakError

_stopped: ContextVar[Callable[[], bool] | None] = ContextVar("stopped", default=None)


class StoppedError(LatebreakError):
    """The work was stopped from outside."""


@contextmanager
def stoppable(stopped: Callable[[], bool]) -> Iterator[None]:
    """Let work inside be stopped: `stopped` is asked at every checkpoint, in any thread of the work."""
    token = _stopped.set(stopped)
    try:
        yield
    finally:
        _stopped.reset(token)


def checkpoint() -> None:
    """Stop here if the work is not wanted any more.

    Raises
    ------
    StoppedError
        If so.
    """
    stopped = _stopped.get()
    if stopped is not None and stopped():
        raise StoppedError("the work was stopped")
