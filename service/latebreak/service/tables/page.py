"""What surrounds every table: heading, warnings, cautions."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from latebreak.service.quantities import QUANTITIES, Reader, Said, value_of
from latebreak.service.questions.answer import Answer
from latebreak.service.scenario import Scenario
from latebreak.service.wording import clean

#: Columns where the output is no terminal (a file, a pipe): room for a staff of four pitches.
_PIPE_WIDTH = 120


class Page(Console):
    """Where tables are printed."""

    def on_broken_pipe(self) -> None:
        """Leave it to the command line: whoever read the answer has seen enough."""
        raise BrokenPipeError


def console() -> Console:
    """Return the page on stdout."""
    width = None if sys.stdout.isatty() else int(shutil.get_terminal_size((_PIPE_WIDTH, 0)).columns)
    return Page(width=width, highlight=False)


def heading(answer: Answer[Any], scenario: Scenario, reader: Reader, out: Console) -> None:
    """Print what was asked about."""
    pitcher = scenario.pitcher
    level = pitcher.level.replace("_", " ")
    age = f", {pitcher.age_years:g} years" if pitcher.age_years is not None else ""
    rubber = value_of(QUANTITIES["rubber_to_plate_ft"], reader).exactly(scenario.field.rubber_to_plate_ft)
    out.print(Text(clean(answer.title), style="bold"))
    out.print(
        Text(
            f"{level} {pitcher.hand}-hander{age}; rubber to plate {rubber}; "
            f"{answer.throws:,} throw{'s' * (answer.throws != 1)} of each pitch, seed {answer.seed}"
        )
    )


def grid(names: Iterable[str]) -> Table:
    """Start a table: one column for what is said, one for each pitch."""
    table = Table(show_edge=False, pad_edge=False, header_style="bold")
    table.add_column("")
    for name in names:
        table.add_column(Text(clean(name)), justify="right")
    return table


def cell(said: Said, before: str = " (", after: str = ")") -> Text:
    """Return a cell of a table: a number, then its interval between two marks."""
    text = Text(" ".join(word for word in (said.value, said.where) if word))
    return text.append(f"{before}{said.interval}{after}", style="dim") if said.interval else text


def closing(
    answer: Answer[Any], out: Console, notes: Sequence[str] = (), warnings: Sequence[str] | None = None
) -> None:
    """Print notes, warnings (the answer's, or these in their place) and cautions."""
    for note in notes:
        out.print(Text(note, style="dim"))
    for warning in answer.warnings if warnings is None else warnings:
        out.print(Text(f"Warning: {clean(warning)}", style="yellow"))
    for caution in answer.cautions:
        out.print(Text(f"Caution: {caution}", style="bold"))
