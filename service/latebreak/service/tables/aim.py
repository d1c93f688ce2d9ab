"""The answer of `aim` as a table: the measure at every target, as the catcher sees the plate."""

from __future__ import annotations

from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.questions import AimResult, Answer
from latebreak.service.questions.aim_words import why_there
from latebreak.service.questions.target_search import BALL
from latebreak.service.scenario import Scenario
from latebreak.service.tables.compare import say_hitter
from latebreak.service.tables.page import closing, console, grid, heading


def show(answer: Answer[AimResult], scenario: Scenario, reader: Reader) -> None:
    """Print the best target and the grid."""
    out, result = console(), answer.result
    heading(answer, scenario, reader, out)
    say_hitter(scenario, result.fastball, result.judged_among, reader, out)
    out.print()
    for sentence in why_there(scenario, result, reader):
        out.print(Text(str(sentence), style="bold"))
    out.print()
    measure = QUANTITIES[result.measure]
    wording, side, height = (
        value_of(QUANTITIES[key], reader) for key in (result.measure, "target_side_ft", "target_height_ft")
    )
    out.print(Text(f"{measure.brief}, {wording.symbol}, by target as the catcher sees it; * best, o now"))
    sides = sorted({place.target_side_ft for place in result.grid})
    table = grid([side.say(one) if side.toward(one) else "middle" for one in sides])
    held = {(place.target_side_ft, place.target_height_ft): place.value for place in result.grid}
    for up in sorted({place.target_height_ft for place in result.grid}, reverse=True):
        cells = []
        for aside in sides:
            value = held[aside, up]
            marks = "".join(
                mark
                for mark, target in (("*", result.best), ("o", result.now))
                if max(abs(target.target_side_ft - aside), abs(target.target_height_ft - up)) <= 0.5 * BALL
            )
            cells.append(Text(marks + (" " if marks else "") + ("-" if value is None else wording.number(value))))
        table.add_row(height.say(up), *cells)
    out.print(table)
    closing(
        answer,
        out,
        (
            "These are a model's estimates; in brackets the 90 % interval over what is not known of flight, hitter and "
            "means. The pitch scatters about every target as it does about its own; targets of the table have fewer "
            "throws than the sentences.",
        ),
    )
