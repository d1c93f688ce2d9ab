"""The answer of `aim` as a table: the measure at every target, as the catcher sees the plate."""

from __future__ import annotations

from collections.abc import Sequence

from latebreak.service.quantities import QUANTITIES, Reader, Said, value_of
from latebreak.service.questions import AimResult, Answer
from latebreak.service.questions.aim_words import why_there
from latebreak.service.questions.target_search import BALL
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import Row, prose, show_table
from latebreak.service.tables.page import closing, estimates_are, heading, say_found, say_hitter, say_more

#: Places to either side of the best target that come first.
_AROUND = 3


def show(answer: Answer[AimResult], scenario: Scenario, reader: Reader, *, whole: bool = False) -> None:
    """Print the best target and the targets around it; `whole` with all of them."""
    out, result = heading(answer, scenario, reader), answer.result
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    say_found(why_there(scenario, result, reader), out)
    measure = QUANTITIES[result.measure]
    wording, side, height = (
        value_of(QUANTITIES[key], reader) for key in (result.measure, "target_side_ft", "target_height_ft")
    )
    left, right = (side.toward(way) for way in (-1.0, 1.0))
    prose(
        out,
        f"{measure.brief}, {wording.symbol}, by target as the catcher sees it: {height.symbol} above the ground, and "
        f"{side.symbol} from the middle of the plate, {left} to the left and {right} to the right; * best, o now",
    )
    held = {(place.target_side_ft, place.target_height_ft): place.value for place in result.grid}
    sides, heights = (sorted({place[axis] for place in held}) for axis in (0, 1))
    every = len(sides) * len(heights)
    if not whole:
        sides = _near(sides, result.best.target_side_ft)
        heights = _near(heights, result.best.target_height_ft)
    rows: list[Row] = []
    for up in reversed(heights):
        cells = []
        for aside in sides:
            value = held[aside, up]
            marks = "".join(
                mark
                for mark, target in (("*", result.best), ("o", result.now))
                if max(abs(target.target_side_ft - aside), abs(target.target_height_ft - up)) <= 0.5 * BALL
            )
            cells.append(Said(marks + ("-" if value is None else wording.number(value))))
        rows.append((height.number(up), cells))
    show_table(out, [side.number(one) for one in sides], rows)
    say_more(every - len(sides) * len(heights), "targets", out)
    judged = result.best.estimate.low is not None
    closing(
        answer,
        out,
        (
            f"{estimates_are(judged)} The pitch scatters about every target as it does about its own; targets of the "
            "table have fewer throws than the sentences.",
        ),
    )


def _near(places: Sequence[float], best: float) -> list[float]:
    """Return the places around the best one."""
    middle = min(range(len(places)), key=lambda number: abs(places[number] - best))
    first = max(0, min(middle - _AROUND, len(places) - 2 * _AROUND - 1))
    return list(places[first : first + 2 * _AROUND + 1])
