"""The comparison of a what-if, and the shortest road of its leading pitch to the goal of the page."""

from __future__ import annotations

from collections.abc import Sequence

from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.setting import one_blas_thread, settle
from latebreak.service.plain import plain
from latebreak.service.questions.answer import Answer, Json
from latebreak.service.questions.compare import CompareResult, compare_lineup
from latebreak.service.questions.goal import usual_goal
from latebreak.service.questions.reach import reach_in
from latebreak.service.questions.verdict import MEASURE, ranked
from latebreak.service.report.roads import nearest_first
from latebreak.service.scenario import Loaded
from latebreak.service.sweep.overrides import Value

#: Columns of a road, with the path of each in the outcome's JSON: lever, change of it, and where it then stands.
ROAD_COLUMNS = {
    "road_lever": ("lever",),
    "road_change": ("change", "value"),
    "road_change_low": ("change", "low"),
    "road_change_high": ("change", "high"),
    "road_new_value": ("new_value",),
}


def compare_and_reach(
    loaded: Loaded, *, pitches: Sequence[str] | None, intervals: bool, seed: int | None, throws: int | None
) -> tuple[Answer[CompareResult], Json | None]:
    """Compare pitches, and find how the leading one gets the goal that the page has where none is named.

    Parameters
    ----------
    loaded : Loaded
        A scenario.
    pitches, intervals, seed, throws
        As for `compare`.

    Returns
    -------
    answer : Answer of CompareResult
        As `compare` has it.
    road : dict or None
        The pitch, the lever and the road of the fewest steps, as JSON; None where no lever alone gets there.

    Raises
    ------
    InputError
        As for `compare`.
    """
    with one_blas_thread():
        lineup = line_up(settle(loaded, seed, throws), "compare", pitches, intervals)
        compared = compare_lineup(lineup)
        pitch = ranked(compared.result.pitches, compared.result.better.measure)[0]
        scenario = lineup.setting.scenario
        reached = reach_in(lineup, pitch, MEASURE, usual_goal(MEASURE), pairs=False).result
    shortest = next(iter(nearest_first(scenario, reached)), None)
    road = None if shortest is None else {"pitch": pitch, "lever": shortest, **plain(reached.levers[shortest])}
    return compared, road


def road_cells(road: Json | None, pitch: str | None) -> list[Value | None]:
    """Return the cells of `ROAD_COLUMNS` in the row of a pitch; empty ones where the road is none of its own."""
    if road is None or road["pitch"] != pitch:
        return [None] * len(ROAD_COLUMNS)
    cells = []
    for first, *rest in ROAD_COLUMNS.values():
        cells.append(road[first].get(rest[0]) if rest else road[first])
    return cells
