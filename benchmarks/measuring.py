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
    """One line of the table.

    Attributes
    ----------
    key : str
        By which goals name it.
    group, name : str
        What people read.
    value : float or None
        Median; None where it could not be measured, and `note` says why.
    unit : str
        Of the value.
    scatter : float or None
        Half the distance between the quartiles of the repeats, in percent of the median.
    times : float or None
        How many times as fast as this one latebreak is: median over the rounds, in each of which both were timed.
    error, bound : float or None
        Largest difference from the reference, and what is allowed.
    error_unit : str
        Of both.
    memory : float or None
        MiB that the process held at most.
    note : str
        What else must be known.
    """

    key: str
    group: str
    name: str
    value: float | None = None
    unit: str = ""
    scatter: float | None = None
    times: float | None = None
    error: float | None = None
    bound: float | None = None
    error_unit: str = ""
    memory: float | None = None
    note: str = ""

    @property
    def accurate(self) -> bool:
        """Whether the error, where one was measured, is within its bound."""
        return self.error is None or (self.bound is not None and self.error <= self.bound)


@dataclass(frozen=True)
class Effort:
    """How much is measured.

    Attributes
    ----------
    seconds : float
        Of each comparison and of each question.
    rounds : int
        Most repeats of what starts a process.
    most_throws : int
        Of the largest run.
    cold : bool
        Whether a start without compiled kernels is timed.
    """

    seconds: float
    rounds: int
    most_throws: int
    cold: bool


@dataclass(frozen=True)
class Timed:
    """Seconds of functions that took turns: an array of repeats each."""

    seconds: Mapping[str, NDArray[np.float64]]

    def median(self, name: str) -> tuple[float, float]:
        """Median in s, and half the distance between the quartiles in percent of it."""
        low, middle, high = np.quantile(self.seconds[name], (0.25, 0.5, 0.75))
        return float(middle), float(50.0 * (high - low) / middle)

    def rate(self, name: str, count: float) -> tuple[float, float]:
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

    Parameters
    ----------
    functions : mapping
        Without arguments, by name; each is called once before, so that it is compiled.
    effort : Effort
        Rounds begin until its seconds have passed.
    clock : callable
        `perf_counter`, or `process_time` for the work of one core: a busy machine distorts that less.
    share : mapping, optional
        Of the whole work that a function does, where it is not 1; its times are scaled to all of it.
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
