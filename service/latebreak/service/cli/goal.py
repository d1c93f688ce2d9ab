"""`latebreak goal`."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import click

from latebreak.service.cli.options import FILE, ask, asks, at_server, in_park, in_table, in_units, tell
from latebreak.service.cli.wanted import wanted_of
from latebreak.service.quantities import Reader, Units
from latebreak.service.writing import check_place, write


@click.command("goal")
@asks
@in_table
@in_units
@at_server
@in_park
@wanted_of
@click.option(
    "-o",
    "--output",
    type=FILE,
    metavar="GOAL.toml",
    required=True,
    help="Keep the goal here; an earlier goal of this name is written over.",
)
def command(scenario: str, as_json: bool, units: Units, output: Path, **given: Any) -> None:
    """Keep what is wanted of a pitch in a file: what reach answers, with the day.

    Next month: latebreak fit THROWS.csv --base SCENARIO --goal GOAL.toml
    """
    from latebreak.service.questions.following.goal_text import OWN, goal_text  # noqa: PLC0415 - not for the help
    from latebreak.service.questions.following.kept_goal import keep  # noqa: PLC0415
    from latebreak.service.questions.reach_words import wanted  # noqa: PLC0415

    check_place(output, OWN)  # said before the work is done
    answer, of = ask("reach", "searching", scenario, **given)
    reader = Reader(units, of.pitcher.hand)
    said = str(wanted(of, answer.result, reader))
    write(output, goal_text(keep(answer, of, date.today()), said, scenario, reader), OWN)
    tell(replace(answer, command="goal"), of, units, output, scenario, as_json=as_json)
