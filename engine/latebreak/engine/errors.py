"""Errors of latebreak: one root, and faults of input that say what, where and how to mend it."""

from __future__ import annotations

import shlex
from collections.abc import Iterable
from dataclasses import dataclass

#: Characters beyond which what is allowed is told last.
_LIST = 120


class LatebreakError(Exception):
    """Root of every error that latebreak raises on purpose."""


@dataclass(frozen=True)
class Fault:
    """One fault of an input.

    Attributes
    ----------
    where : str
        Key path, for example ``pitch.curve.speed_mph``; empty where the input as a whole is at fault.
    problem : str
        What is wrong, in words, with the offending value where there is one.
    allowed : str
        The range or the choices that are accepted, with unit; may be empty.
    remedy : str
        What to do about it; may be empty.
    """

    where: str
    problem: str
    allowed: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        allowed = f"allowed: {self.allowed}" if self.allowed else ""
        # a remedy behind a long list would not be found
        parts = [allowed, self.remedy] if len(allowed) <= _LIST else [self.remedy, allowed]
        text = self.problem
        for part in filter(None, parts):
            text += f"{'' if text.endswith('?') else ';'} {part}"
        return f"{self.where}: {text}" if self.where else text


class InputError(LatebreakError):
    """The input is at fault; carries every fault that was found.

    Parameters
    ----------
    faults : iterable of Fault
        At least one.
    source : str
        Name of the file or request that holds the faults; may be empty.
    """

    def __init__(self, faults: Iterable[Fault], source: str = "") -> None:
        self.faults = tuple(faults)
        self.source = source
        named = shlex.quote(source) if " " in source else source  # as it can be copied into a shell
        super().__init__("\n".join(f"{named}: {fault}" if source else str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Fault, ...], str]]:
        return type(self), (self.faults, self.source)  # travels between processes as it was made
