"""The answer of `levers` as a table: the levers that matter most first, by the measures that decide."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from latebreak.service.quantities import MAIN, QUANTITIES, Quantity, Reader, Said, change_of, value_of
from latebreak.service.questions import Answer, Estimate, LeversResult
from latebreak.service.questions.leaks import MEASURE
from latebreak.service.questions.levers import Move
from latebreak.service.questions.levers_words import warnings_for, why_leaks
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import prose, show_table
from latebreak.service.tables.page import closing, estimates_are, heading, say_found, say_hitter, say_more

#: Rows and columns that come first.
_LEVERS, _MEASURES = 5, 2


def show(answer: Answer[LeversResult], scenario: Scenario, reader: Reader, *, whole: bool = False) -> None:
    """Print the leaks and the table; `whole` with every lever and all the measures that sum a pitch up."""
    out, result = heading(answer, scenario, reader), answer.result
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    only = next(iter(result.now)) if len(result.now) == 1 else MEASURE
    costs = only if QUANTITIES[only].better else MEASURE
    say_found(why_leaks(scenario, result.pitch, result.leaks, reader, costs), out)
    columns = columns_of(result.levers)
    shown = columns if whole else columns[:_MEASURES]
    there = ", ".join(_now(measure, result.now[measure.key], reader) for measure in shown)
    prose(out, f"{scenario.called(result.pitch)}: {there}. A step on one lever alone changes:")
    moves = by_effect(result.levers, columns[0])
    first = list(moves) if whole else list(moves)[:_LEVERS]
    rows = [
        (
            named_step(key, moves[key].step, reader),
            [_cell(measure, moves[key].measures.get(measure.key), reader) for measure in shown],
        )
        for key in first
    ]
    show_table(out, [measure.brief for measure in shown], rows)
    judged = any(one.low is not None for move in result.levers.values() for one in move.measures.values())
    left = len(moves) - len(first)
    say_more(left, f"levers and {len(columns) - len(shown)} measures" if len(columns) > len(shown) else "levers", out)
    nearer = (" Nearer the plate: it looks like the fastball longer.",) if len(shown) > _MEASURES else ()
    closing(
        answer,
        out,
        ("".join((estimates_are(judged, "estimates of changes, all on the same throws"), *nearer)),),
        warnings_for(scenario, result.pitch, result.levers, answer.warnings, reader),
    )


def by_effect(moves: Mapping[str, Move], measure: Quantity) -> dict[str, Move]:
    """Return the moves, those that change a measure most first, and last those that can't be thrown."""

    def effect(move: Move) -> float:
        change = move.measures.get(measure.key)
        return abs(change.value) if change is not None and isfinite(change.value) else -1.0

    return dict(sorted(moves.items(), key=lambda item: -effect(item[1])))


def columns_of(moves: Mapping[str, Move]) -> list[Quantity]:
    """Return the measures that sum a pitch up and that the answer has: all the others stand in the JSON."""
    asked = {key for move in moves.values() for key in move.measures}
    return [QUANTITIES[key] for key in MAIN if key in asked] or [QUANTITIES[key] for key in sorted(asked)]


def named_step(key: str, step: float, reader: Reader) -> str:
    """Say which lever is moved how far: "speed 1.0 mph faster"."""
    return f"{QUANTITIES[key].name} {change_of(QUANTITIES[key], reader).say(step)}"


def _now(measure: Quantity, now: Estimate, reader: Reader) -> str:
    return f"{measure.brief} {value_of(measure, reader).say(now.value)}"


def _cell(measure: Quantity, change: Estimate | None, reader: Reader) -> Said:
    return Said("can't be thrown") if change is None else change_of(measure, reader).estimate(change, brief=True)
