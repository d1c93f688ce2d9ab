"""A sweep: independent questions handed to an executor, a bounded number at a time, their answers kept as they come."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future
from contextlib import nullcontext
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from queue import SimpleQueue

from latebreak.service.questions.answer import Json
from latebreak.service.sweep.asking import ANSWERED, OUR_FAULT, SCENARIO, Ask, Outcome
from latebreak.service.sweep.journal import Journal, journal_beside
from latebreak.service.sweep.overrides import Overrides
from latebreak.service.sweep.table import new_table, rows_of
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.tabular.parquet import parquet_library
from latebreak.service.tabular.writer import is_parquet

#: Most what-ifs that are handed over and not answered (chosen: some megabytes, and four each for 250 workers).
WINDOW = 1000


@dataclass(frozen=True)
class Swept:
    """What a sweep came to.

    Attributes
    ----------
    table, page : str or None
        Paths of the table and the page; None where there is none.
    what_ifs, rows : int
        How many what-ifs were asked, and rows written.
    answered, at_fault : int
        How many what-ifs have an answer, and a message instead.
    resumed : int
        How many were taken from the journal of an earlier run.
    warned : int
        How many have warnings.
    our_faults : int
        How many met a fault of latebreak itself.
    first_message : str or None
        Of the first what-if that is at fault.
    without_answer : dict of str to str
        Of a sweep over several scenarios those without a single answer, each with its first message.
    """

    table: str | None
    page: str | None
    what_ifs: int
    rows: int
    answered: int
    at_fault: int
    resumed: int
    warned: int
    our_faults: int
    first_message: str | None
    without_answer: dict[str, str]

    def to_dict(self) -> Json:
        """Return the JSON object."""
        return dict(vars(self))


@dataclass(frozen=True)
class Page:
    """A page of a sweep.

    Attributes
    ----------
    path : Path
        Where it is to stand.
    write : callable
        Writes it there from every outcome, in the order of the what-ifs.
    """

    path: Path
    write: Callable[[list[Outcome]], None]


def as_finished(
    ask: Callable[[Overrides], Outcome],
    what_ifs: Sequence[Overrides],
    numbers: Iterable[int],
    executor: Executor,
    window: int = WINDOW,
) -> Iterator[tuple[int, Outcome]]:
    """Ask what-ifs, and yield each number with its outcome as soon as it is there, in any order.

    Parameters
    ----------
    ask : callable
        Asks one; must be fit to travel to the executor's workers.
    what_ifs : sequence of mapping
        What changes in each.
    numbers : iterable of int
        Which to ask.
    executor : concurrent.futures.Executor
        Where they are asked.
    window : int
        Most that are handed over and not answered.
    """
    numbers = iter(numbers)
    outstanding: dict[Future[Outcome], int] = {}
    finished: SimpleQueue[Future[Outcome]] = SimpleQueue()
    try:
        while True:
            for number in islice(numbers, window - len(outstanding)):
                future = executor.submit(ask, what_ifs[number])
                outstanding[future] = number
                future.add_done_callback(finished.put)
            if not outstanding:
                return
            future = finished.get()
            yield outstanding.pop(future), future.result()
    finally:
        for future in outstanding:
            future.cancel()


def sweep_to_table(
    ask: Ask,
    what_ifs: WhatIfs,
    executor: Executor,
    table: str | os.PathLike[str] | None,
    *,
    page: Page | None = None,
    window: int = WINDOW,
    progress: Callable[[float], None] = lambda share: None,
    notice: Callable[[str], None] = lambda words: None,
) -> Swept:
    """Ask what-ifs and write their table, in the order of the list.

    Outcomes go to a journal beside the table as they come. Asked again after an interruption, the same sweep takes
    from it what is finished.

    Parameters
    ----------
    ask : Ask
        What is asked.
    what_ifs : WhatIfs
        Of what.
    executor : concurrent.futures.Executor
        Where; numbers do not depend on it.
    table : str or path-like or None
        File to write: Parquet where it ends in .parquet, else CSV. It is replaced when the new one is complete.
    page : Page, optional
        What to write besides, or in place of a table.
    window : int, optional
        Most what-ifs that are handed over and not answered.
    progress : callable, optional
        Told the share of the what-ifs that is done.
    notice : callable, optional
        Told why an interrupted sweep starts again.

    Raises
    ------
    JournalError
        Another sweep writes this table, or has left a journal.
    ParquetError
        pyarrow is needed and not installed.
    OSError
        A file can't be written.
    """
    path = None if table is None else Path(table)
    if path is not None and is_parquet(path):
        parquet_library()
    place = path or (page.path if page is not None else None)
    if place is None:
        raise ValueError("neither a table nor a page is asked for")
    with journal_beside(place, ask, what_ifs, notice) as journal:
        resumed = journal.finished
        missing = (number for number in range(len(what_ifs)) if number not in journal)
        progress(journal.finished / len(what_ifs))
        for number, outcome in as_finished(ask, what_ifs, missing, executor, window):
            journal.add(number, outcome)
            progress(journal.finished / len(what_ifs))
        swept = _write(path, ask, what_ifs, journal, resumed)
        if page is None:
            return swept
        page.write([journal.outcome(number) for number in range(len(what_ifs))])
        return replace(swept, page=str(page.path))


def _write(path: Path | None, ask: Ask, what_ifs: WhatIfs, journal: Journal, resumed: int) -> Swept:
    rows = warned = our_faults = 0
    messages: dict[str, str] = {}
    answered: Counter[str] = Counter()
    with nullcontext(None) if path is None else new_table(path, ask, what_ifs) as write:
        for number in range(len(what_ifs)):
            outcome = journal.outcome(number)
            for row in rows_of(ask, what_ifs, number, outcome):
                rows += 1
                if write is not None:
                    write(row)
            scenario = str(what_ifs[number].get(SCENARIO, ""))
            answered[scenario] += outcome.status == ANSWERED
            warned += bool(outcome.warnings)
            our_faults += outcome.status.startswith(OUR_FAULT)
            if outcome.status != ANSWERED:
                messages.setdefault(scenario, outcome.status)
    total, right = len(what_ifs), answered.total()
    without = {name: messages[name] for name, number in answered.items() if name and not number}
    first = next(iter(messages.values()), None)
    return Swept(
        None if path is None else str(path),
        None,
        total,
        rows,
        right,
        total - right,
        resumed,
        warned,
        our_faults,
        first,
        without,
    )
