"""The answer of `levers` as a table."""

from __future__ import annotations

from math import isfinite

from rich.text import Text

from latebreak.service.questions import Answer, Estimate, LeversResult
from latebreak.service.scenario import Scenario
from latebreak.service.scenario.section import Hand
from latebreak.service.tables.compare import say_hitter
from latebreak.service.tables.moves import lever_label, say_move
from latebreak.service.tables.page import closing, console, grid, heading
from latebreak.service.tables.phrases import Phrase

#: What is shown of a move: all the others stand in the JSON.
COLUMNS = {
    "miss_chance_percent": Phrase("miss chance", "points", 1, "change"),
    "clean_contact_percent": Phrase("clean contact", "points", 1, "change"),
    "same_line_separation_ft": Phrase("looks like the fastball until", "ft", 1, "place"),
    "late_break_in": Phrase("late break", "in", 2, "change"),
}


def show(answer: Answer[LeversResult], scenario: Scenario) -> None:
    """Print the leaks and the table."""
    out, hand, result = console(), scenario.pitcher.hand, answer.result
    heading(answer, scenario, out)
    say_hitter(scenario, result.fastball, result.judged_among, out)
    out.print()
    for sentence in result.why:
        out.print(Text(sentence, style="bold"))
    out.print()
    now = result.now["miss_chance_percent"].value
    missed = f"is missed on {now:.1f} % of swings" if isfinite(now) else "never arrives"
    out.print(Text(f"{result.pitch} {missed}. A step on one lever alone changes:"))
    table = grid([COLUMNS[key].label for key in COLUMNS])
    for key, move in result.levers.items():
        said = f"{lever_label(key)} {say_move(key, move.step, hand)}"
        cells = [_cell(phrase, move.measures.get(measure), hand) for measure, phrase in COLUMNS.items()]
        table.add_row(said, *cells)
    out.print(table)
    judged = any(one.low is not None for move in result.levers.values() for one in move.measures.values())
    second = "below each its 90 % interval" if judged else "in brackets the Monte Carlo standard error"
    closing(
        answer,
        out,
        (
            f"These are a model's estimates of changes, all on the same draws; {second}. Farther, nearer: from the "
            "plate; nearer means that it looks like the fastball longer. All measures stand in --json.",
            "A leak is a lever short of the level's usual speed or spin rate, or of a good or a steady axis, whose gap "
            "costs a fifth or more of what all such gaps cost.",
        ),
    )


def _cell(phrase: Phrase, change: Estimate | None, hand: Hand) -> Text:
    if change is None or not isfinite(change.value):
        return Text("can't be thrown" if change is None else "none")
    cell = Text(phrase.say(change.value, hand))
    if change.low is not None and change.high is not None:
        return cell.append(f"\n{phrase.say_range(change.low, change.high, hand)}", style="dim")
    if change.sampling_error and isfinite(change.sampling_error):
        return cell.append(f" (+-{change.sampling_error:.1g})", style="dim")
    return cell
