"""What a measurement is, and how time and memory are taken."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

#: The installed command.
COMMAND = str(Path(sys.executable).with_name("latebreak"))
#: s; a shorter function is called again and again until one turn of it lasts as long.
TURN = 0.005
FEWEST_ROUNDS = 3

#: A small process that runs a command and says what it took: Linux counts the memory of its starter as the command's.
_WATCHED = """
import subprocess, sys, time
start = time.perf_counter()
subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL, check=True)
print(time.perf_counter() - start)
if sys.platform != "win32":
    import resource
    print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    key: str  # by which goals name it
    group: str
    name: str
    value: float | None = None  # median; None where it could not be measured, and the note says why
    unit: str = ""
    scatter: float | None = None  # half the distance between the quartiles of the repeats, % of the median
    times: float | None = None  # how many times as fast as this one latebreak is, median over rounds that timed both
    error: float | None = None  # largest difference from the reference
    bound: float | None = None  # and what is allowed
    error_unit: str = ""
    memory: float | None = None  # MiB that the process held at most
    note: str = ""

    @property
    def accurate(self) -> bool:
        """Whether the error, where one was measured, is within its bound."""
        return self.error is None or (self.bound is not None and self.error <= self.bound)


class Effort(NamedTuple):
    """How much is measured."""

    seconds: float  # of each comparison and of each question
    rounds: int  # most repeats of what starts a process
    most_throws: int  # of the largest run
    cold: bool  # whether a start without compiled kernels is timed


@dataclass(frozen=True)
class Timed:
    """Seconds of functions that took turns: an array of repeats each."""

    seconds: Mapping[str, NDArray[np.float64]]

    def median(self, name: str) -> tuple[float, float | None]:
        """Median in s, and half the distance between the quartiles in percent of it (None of fewer than three)."""
        low, middle, high = np.quantile(self.seconds[name], (0.25, 0.5, 0.75))
        return float(middle), float(50.0 * (high - low) / middle) if self.seconds[name].size > 2 else None

    def rate(self, name: str, count: float) -> tuple[float, float | None]:
        """The same of `count` things a second."""
        seconds, scatter = self.median(name)
        return count / seconds, scatter

    def times(self, name: str, other: str) -> float:
        """How many times as long `other` takes as `name`: median over the rounds."""
        return float(np.median(self.seconds[other] / self.seconds[name]))


def take_turns(
    functions: Mapping[str, Callable[[], object]],
    effort: Effort,
    clock: Callable[[], float] = perf_counter,
    share: Mapping[str, float] | None = None,
) -> Timed:
    """Time functions in turns, so that what disturbs the machine disturbs all of them.

    Each is called once before, so that it is compiled; then rounds begin until the effort's seconds have passed. For
    the work of one core the clock is `process_time`, which a busy machine distorts less. Where a function does part of
    the whole work, `share` says which, and its times are scaled to all of it.
    """
    for function in functions.values():
        function()
    calls = dict.fromkeys(functions, 1)
    found: dict[str, list[float]] = {name: [] for name in functions}
    until = perf_counter() + effort.seconds
    rounds = 0
    while perf_counter() < until or rounds < min(effort.rounds, FEWEST_ROUNDS):
        rounds += 1
        for name, function in functions.items():
            start = clock()
            for _ in range(calls[name]):
                function()
            took = (clock() - start) / calls[name]
            found[name].append(took / (share or {}).get(name, 1.0))
            calls[name] = max(1, round(TURN / max(took, 1e-7)))
    return Timed({name: np.array(times) for name, times in found.items()})


@contextmanager
def one_core() -> Iterator[None]:
    """Keep this process, and threads that begin inside, to one core, where the system can do that."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    cores = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {max(cores)})
    try:
        yield
    finally:
        os.sched_setaffinity(0, cores)


def run(*arguments: str | Path, env: Mapping[str, str] | None = None) -> tuple[float, float | None]:
    """Run the command in a new process: s that it took, and MiB that it held at most (None where nobody tells)."""
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", _WATCHED, COMMAND, *map(str, arguments)],
        env={**os.environ, **(env or {})}, stdout=subprocess.PIPE, text=True, check=True,
    )  # fmt: skip
    seconds, *peak = map(float, ran.stdout.split())
    return seconds, peak[0] / (1024**2 if sys.platform == "darwin" else 1024) if peak else None
