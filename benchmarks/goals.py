"""What is aimed at, and whether it is met."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from benchmarks.measuring import Row


class Goal(NamedTuple):
    """A bound on the value, the ratio or the memory of a row."""

    words: str
    key: str  # of the row
    wanted: Literal["at least", "at most"]
    bound: float
    unit: str
    of: Literal["value", "times", "memory"] = "value"

    def judged(self, rows: Mapping[str, Row], doubles: int) -> dict[str, Any]:
        """What is wanted, what was measured (None where it was not), and whether that meets it.

        Rates of one core are wanted of vectors of eight doubles; of shorter ones half of that.
        """
        bound = self.bound * (0.5 if self.unit.endswith("/s") and doubles < 8 else 1.0)
        measured = getattr(rows[self.key], self.of) if self.key in rows else None
        met = None if measured is None else (measured >= bound) if self.wanted == "at least" else (measured <= bound)
        return {**self._asdict(), "bound": bound, "measured": measured, "met": met}


GOALS = (
    Goal("flight kernel, full model, one core", "flights.full", "at least", 50e6, "flights/s"),
    Goal("flight kernel beside heyoka", "flights.heyoka", "at least", 12.0, "times", "times"),
    Goal("flight kernel beside jax.jit", "flights.jax", "at least", 2.0, "times", "times"),
    Goal("flight kernel beside vectorised numpy", "flights.numpy", "at least", 15.0, "times", "times"),
    Goal("flight kernel beside scipy, DOP853", "flights.dop853", "at least", 20_000.0, "times", "times"),
    Goal("flight kernel beside scipy, RK45", "flights.rk45", "at least", 20_000.0, "times", "times"),
    Goal("draw, fly and summarise, one core", "bundle", "at least", 20e6, "throws/s"),
    Goal("two threads beside one", "threads.1", "at least", 1.8, "times", "times"),
    Goal("100,000,000 throws: memory", "growth.100000000", "at most", 1024.0, "MiB", "memory"),
    Goal("hitter without moments, one core", "hitter.glance.ours", "at least", 20e6, "throws/s"),
    Goal("hitter with moments, one core", "hitter.looks.ours", "at least", 10e6, "throws/s"),
    Goal("hitter with moments beside plain numpy", "hitter.looks.plain", "at least", 300.0, "times", "times"),
    Goal("compare, 10,000 throws", "question.compare", "at most", 250.0, "ms"),
    Goal("compare, 10,000 throws, no interval", "question.compare, no interval", "at most", 20.0, "ms"),
    Goal("compare through the service (a call may take 2 ms)", "service.intervals", "at most", 252.0, "ms"),
    Goal("latebreak --help in a new process", "start.--help", "at most", 0.3, "s"),
    Goal("latebreak fly in a new process", "start.fly", "at most", 1.5, "s"),
    Goal("latebreak compare in a new process", "start.compare", "at most", 1.5, "s"),
)
