"""Errors of latebreak: one root, and faults of input that say what, where and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


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
        parts = [self.problem]
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.remedy:
            parts.append(self.remedy)
        text = "; ".join(parts)
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
        super().__init__("\n".join(f"{source}: {fault}" if source else str(fault) for fault in self.faults))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Fault, ...], str]]:
        return type(self), (self.faults, self.source)  # travels between processes as it was made
