"""Sweeps: many what-ifs over any keys of a scenario, on the cores of this machine or on a cluster."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import Executor
from typing import Any

from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.measures import MEASURES, Question
from latebreak.service.sweep.overrides import Overrides, Value
from latebreak.service.sweep.plan import Options, plan_changes
from latebreak.service.sweep.running import WINDOW, as_finished

__all__ = ["MEASURES", "Ask", "Options", "Outcome", "Overrides", "Value", "sweep"]


def sweep(
    scenario: Mapping[str, Any],
    changes: Sequence[Overrides],
    executor: Executor,
    *,
    question: Question = "compare",
    pitches: Sequence[str] | None = None,
    intervals: bool = True,
    seed: int | None = None,
    throws: int | None = None,
    measures: Sequence[str] | None = None,
    window: int = WINDOW,
) -> list[Outcome]:
    """Ask a question about many changed copies of a scenario.

    Parameters
    ----------
    scenario : mapping
        Tables in the keys of the file, as `tomllib.load` gives them.
    changes : sequence of mapping of str to value
        One what-if each: key paths of the file with their values, ``{"pitch.curve.speed_mph": 78.5}``. A key replaces
        what says the same or excludes it.
    executor : concurrent.futures.Executor
        Where the questions are asked: a ThreadPoolExecutor, a ProcessPoolExecutor (which should spawn its processes),
        ``distributed.Client(...).get_executor()``. The numbers do not depend on it.
    question : {"compare", "fly"}, optional
        What is asked.
    pitches : sequence of str, optional
        For compare: the pitches to compare; default: all that are no fastballs.
    intervals : bool, optional
        For compare: whether to draw what is not known.
    seed, throws : int, optional
        In place of the scenario's own. All what-ifs share their random draws, so their differences are surer.
    measures : sequence of str, optional
        Keys of the answer to keep; default: all of `MEASURES`. Units are in the keys.
    window : int, optional
        Most questions that are handed over and not answered.

    Returns
    -------
    list of Outcome
        In the order of `changes`; a what-if that is at fault has its message as status.

    Raises
    ------
    InputError
        If the scenario, a key path or an option is at fault; nothing is asked then.
    """
    ask, changes = plan_changes(scenario, changes, Options(question, pitches, intervals, seed, throws, measures))
    outcomes = dict(as_finished(ask, changes, range(len(changes)), executor, window))
    return [outcomes[number] for number in range(len(changes))]
