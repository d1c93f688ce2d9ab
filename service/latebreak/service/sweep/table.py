"""The table of a sweep: one row a what-if and pitch, as CSV or Parquet, put in place when it is complete."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager
from pathlib import Path

from latebreak.service.sweep.asking import Ask, Outcome
from latebreak.service.sweep.measures import MEASURES
from latebreak.service.sweep.roads import ROAD_COLUMNS, road_cells
from latebreak.service.sweep.what_ifs import WhatIfs
from latebreak.service.tabular import writer
from latebreak.service.tabular.parquet import Kinds
from latebreak.service.tabular.writer import Cell, Kind, Write


def check_place(table: Path) -> None:
    """Check that a table can stand where it is to stand, before hours of work; raises as of `writer`."""
    writer.check_place(table, KIND)


def columns_of(ask: Ask, what_ifs: WhatIfs) -> list[str]:
    """Return the columns: swept keys, pitch, numbers, the road where one is asked for, verdict, status, warnings."""
    roads = ROAD_COLUMNS if ask.roads else ()
    verdict = [] if ask.question == "fly" else ["better", *(["chance_percent"] if ask.intervals else [])]
    return [*what_ifs.keys, "pitch", *ask.columns, *roads, *verdict, "status", "warnings"]


def rows_of(ask: Ask, what_ifs: WhatIfs, number: int, outcome: Outcome) -> Iterator[list[Cell]]:
    """Return the rows of one what-if, one a pitch; one row without a pitch where it is at fault."""
    change = what_ifs[number]
    swept = [change.get(key) for key in what_ifs.keys]
    verdict: list[Cell] = [] if ask.question == "fly" else [outcome.better]
    if ask.question != "fly" and ask.intervals:
        verdict.append(outcome.chance_percent)
    end = [*verdict, outcome.status, " | ".join(outcome.warnings) or None]
    for name, numbers in outcome.pitches.items() or [(None, dict[str, float | None]())]:
        road = road_cells(outcome.road, name) if ask.roads else []
        yield [*swept, name, *(numbers.get(column) for column in ask.columns), *road, *end]


def new_table(table: Path, ask: Ask, what_ifs: WhatIfs) -> AbstractContextManager[Write]:
    """Write a table row by row, as `writer.new_table` does; raises as it does."""
    return writer.new_table(table, schema_of(ask, what_ifs), KIND)


def schema_of(ask: Ask, what_ifs: WhatIfs) -> dict[str, Kinds]:
    """Return the columns, each with the kinds of its cells: text and numbers of the answer, and what was swept."""
    swept = {key: what_ifs.kinds(key) for key in what_ifs.keys}
    texts = ("pitch", "road_lever", "better", "status", "warnings")
    return {column: swept.get(column, {str} if column in texts else {float}) for column in columns_of(ask, what_ifs)}


def _are_own(columns: Sequence[str]) -> bool:
    """Tell whether columns are those of a sweep: what was swept, the pitch, measures, and what became of it."""
    if "pitch" not in columns or tuple(columns[-2:]) != ("status", "warnings"):
        return False
    first = columns[columns.index("pitch") + 1]
    return any(first in known for known in MEASURES.values())


#: Tables of earlier sweeps, known by their columns.
KIND = Kind("table of latebreak sweep", _are_own)
