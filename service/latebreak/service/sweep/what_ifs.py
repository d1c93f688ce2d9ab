"""The list of what-ifs: the full product of axes, each a key or some keys together with their values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod
from typing import overload

from latebreak.engine.errors import Fault
from latebreak.service.sweep.asking import SCENARIO
from latebreak.service.sweep.key_paths import conflicts
from latebreak.service.sweep.overrides import Overrides, Value

#: Most what-ifs of one sweep (chosen: a table of some gigabytes, days of work for one machine).
MOST = 1_000_000


@dataclass(frozen=True)
class Axis:
    """Keys that change together.

    Attributes
    ----------
    keys : tuple of str
        Key paths as the user wrote them.
    rows : tuple of tuple
        One value for each key; None leaves the scenario's own.
    """

    keys: tuple[str, ...]
    rows: tuple[tuple[Value | None, ...], ...]


def swept_keys(keys: Sequence[str]) -> list[str]:
    """Return those keys that are keys of a scenario, and not the one that says which scenario."""
    return [key for key in keys if key != SCENARIO]


@dataclass(frozen=True)
class WhatIfs(Sequence[Overrides]):
    """The full product of axes, the last one running fastest; made one at a time, so a million fit in memory.

    Attributes
    ----------
    axes : tuple of Axis
        At least one.
    """

    axes: tuple[Axis, ...]

    @property
    def keys(self) -> tuple[str, ...]:
        """Every swept key, in order."""
        return tuple(key for axis in self.axes for key in axis.keys)

    def faults(self) -> list[Fault]:
        """Find what is wrong with the axes together: nothing to do, too much, or keys that exclude each other."""
        if not self.axes:
            return [Fault("", "nothing is swept", "", "add --grid KEY=A:B:N or --list FILE.csv")]
        number = len(self)
        if number > MOST:
            remedy = "sweep fewer values, or split the sweep"
            return [Fault("", f"these are {number:,} what-ifs", f"at most {MOST:,}", remedy)]
        # rows of one axis may fill either of two cells, so only keys of different axes exclude each other already here
        alone = [fault for axis in self.axes for fault in conflicts(swept_keys(axis.keys))]
        return [fault for fault in conflicts(swept_keys(self.keys)) if fault not in alone]

    def values(self, key: str) -> list[Value]:
        """Return the values that a key takes."""
        axis = next(axis for axis in self.axes if key in axis.keys)
        return [one for row in axis.rows if (one := row[axis.keys.index(key)]) is not None]

    def kinds(self, key: str) -> set[type]:
        """Return the types of the values that a key takes."""
        return {type(one) for one in self.values(key)}

    def __len__(self) -> int:
        return prod(len(axis.rows) for axis in self.axes)

    @overload
    def __getitem__(self, number: int) -> Overrides: ...
    @overload
    def __getitem__(self, number: slice) -> Sequence[Overrides]: ...
    def __getitem__(self, number: int | slice) -> Overrides | Sequence[Overrides]:
        """Return what changes in a what-if."""
        if isinstance(number, slice):
            return [self[at] for at in range(len(self))[number]]
        if not -len(self) <= number < len(self):
            raise IndexError(number)
        number %= len(self)
        change: dict[str, Value] = {}
        for axis in reversed(self.axes):
            number, row = divmod(number, len(axis.rows))
            change |= {key: value for key, value in zip(axis.keys, axis.rows[row], strict=True) if value is not None}
        return {key: change[key] for key in self.keys if key in change}
