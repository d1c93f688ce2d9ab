"""What surrounds every table: heading, who hits, notes, warnings, cautions."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Console

from latebreak.service.quantities import QUANTITIES, Reader, value_of
from latebreak.service.questions.answer import Answer
from latebreak.service.questions.fitting.result import Flagged
from latebreak.service.scenario import Scenario
from latebreak.service.tables.layout import prose
from latebreak.service.wording import clean, shown

#: Columns where the output is no terminal (a file, a pipe): a line that mail and a side panel still show whole.
_PIPE_WIDTH = 100


class Page(Console):
    """Where tables are printed."""

    def on_broken_pipe(self) -> None:
        """Leave it to the command line: whoever read the answer has seen enough."""
        raise BrokenPipeError


def console() -> Console:
    """Return the page on stdout."""
    width = None if sys.stdout.isatty() else shutil.get_terminal_size((_PIPE_WIDTH, 0)).columns
    return Page(width=width, highlight=False)


def heading(answer: Answer[Any], scenario: Scenario, reader: Reader) -> Console:
    """Print what was asked about; return where the answer goes."""
    out, pitcher = console(), scenario.pitcher
    level = pitcher.level.replace("_", " ")
    age = f", {pitcher.age_years:g} years" if pitcher.age_years is not None else ""
    rubber = value_of(QUANTITIES["rubber_to_plate_ft"], reader).exactly(scenario.field.rubber_to_plate_ft)
    prose(out, clean(answer.title), "bold")
    prose(
        out,
        f"{level} {pitcher.hand}-hander{age}; rubber to plate {rubber}; "
        f"{answer.throws:,} throw{'s' * (answer.throws != 1)} of each pitch, seed {answer.seed}",
    )
    return out


def say_hitter(scenario: Scenario, fastball: str, judged_among: str, reader: Reader, out: Console) -> None:
    """Print who hits, behind which fastball, and among which pitches one is judged."""
    hitter = scenario.hitter
    level = hitter.level.replace("_", " ")
    commit = value_of(QUANTITIES["commit_before_arrival_ms"], reader).exactly(hitter.commit_before_arrival_ms)
    prose(
        out,
        f"{level} hitter, bats {hitter.bats}, familiarity {hitter.familiarity:g}; commit point {commit} before "
        f"arrival; the fastball is {clean(scenario.called(fastball))}",
    )
    prose(out, f"judged among: {clean(judged_among)}")


def say_found(sentences: Iterable[object], out: Console) -> None:
    """Print in sentences what was found out."""
    out.print()
    for sentence in sentences:
        prose(out, str(sentence), "bold")
    out.print()


def say_more(number: int, what: str, out: Console) -> None:
    """Print how to see what is left out, where something is."""
    if number > 0:
        prose(out, f"--all for the other {number} {what}")


def say_flagged(flagged: Sequence[Flagged], out: Console, most: int | None = None) -> None:
    """Print which rows and cells are not used, and why; `most` of them, else all, with the file where it is not one."""
    if not flagged:
        return
    out.print()
    prose(out, "Not used:", "bold")
    several = len({one.file for one in flagged}) > 1
    for one in flagged[:most]:
        where = f"{shown(one.file)} " if several else ""
        what = "row" if one.flag.left_out else clean(one.flag.key)
        said = f"{where}line {one.flag.line}, {clean(one.flag.pitch) or 'no pitch'}, {what}: {clean(one.flag.reason)}"
        prose(out, said, indent=2)
    more = len(flagged) - len(flagged[:most])
    if more > 0:
        prose(out, f"and {more:,} more; --json names them all", indent=2)


def estimates_are(judged: bool, of: str = "estimates") -> str:
    """Say what the numbers of an answer are, and what stands in brackets behind them; once for all its tables."""
    if judged:
        return (
            f"These are a model's {of}; in brackets the 90 % interval over what is not known of flight, hitter and "
            "means."
        )
    return f"These are a model's {of}; in brackets their error from the number of throws alone, no interval."


def closing(
    answer: Answer[Any], out: Console, notes: Sequence[str] = (), warnings: Sequence[str] | None = None
) -> None:
    """Print notes, warnings (the answer's, or these in their place) and cautions."""
    for note in notes:
        prose(out, note, "dim")
    for warning in answer.warnings if warnings is None else warnings:
        prose(out, f"Warning: {clean(warning)}", "yellow")
    for caution in answer.cautions:
        prose(out, f"Caution: {caution}", "bold")
