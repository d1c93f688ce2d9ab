"""Whose code it is that fails or hangs: plug-ins are told by the frames they stand in."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterable
from functools import cache
from importlib.metadata import entry_points
from types import FrameType
from typing import TypeVar

from latebreak.engine.errors import LatebreakError
from latebreak.engine.laws import registry as force_laws
from latebreak.engine.plug_ins import OURS, PlugInError, distribution, said
from latebreak.perception import registry as hitter_models

T = TypeVar("T")


class HangingError(PlugInError):
    """A plug-in does not answer."""


def called(work: Callable[[], T]) -> T:
    """Do something that may call plug-ins; what they raise is theirs, SystemExit too.

    Raises
    ------
    PlugInError
        If one fails.
    RuntimeError
        If anything else wants to end the process.
    """
    try:
        return work()
    except LatebreakError:
        raise
    except BaseException as error:
        stranger = _among(frame for frame, _ in traceback.walk_tb(error.__traceback__))
        if stranger is not None:
            raise PlugInError(f"{stranger} failed with {said(error)}") from error
        if not isinstance(error, Exception):  # a server goes on
            raise RuntimeError(f"the work ended with {said(error)}") from error
        raise


def at_work(thread: int) -> str | None:
    """Return which plug-in a thread is in; None where it is in none."""
    frame = sys._current_frames().get(thread)
    return None if frame is None else _among(frame for frame, _ in traceback.walk_stack(frame))


def _among(frames: Iterable[FrameType]) -> str | None:
    places = {(str(frame.f_globals.get("__name__", "")), frame.f_code.co_name) for frame in frames}
    for package, (owner, brings) in _strangers().items():
        if any(f"{module}.".startswith(f"{package}.") for module, _ in places):
            called_by_name = [what for place, what in brings.items() if place in places]
            return f"plug-in {owner!r} ({', '.join(called_by_name or brings.values())})"
    return None


@cache
def _strangers() -> dict[str, tuple[str, dict[tuple[str, str], str]]]:
    """By the outermost package or module: the distribution, and in words what it brings, by module and function."""
    found: dict[str, tuple[str, dict[tuple[str, str], str]]] = {}
    for what, group in (("force law", force_laws.GROUP), ("hitter model", hitter_models.GROUP)):
        for entry in entry_points(group=group):
            if distribution(entry) != OURS:
                _, brings = found.setdefault(entry.module.partition(".")[0], (distribution(entry), {}))
                brings[entry.module, entry.attr] = f"{what} {entry.name!r}"
    return found
