"""`latebreak goal`."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from latebreak.service.cli.options import answering, asks, at_server, in_park, in_table, in_units, names_in, read, tell
from latebreak.service.cli.reach import wanted_of
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
    type=click.Path(path_type=Path),
    metavar="GOAL.toml",
    required=True,
    help="Keep the goal here; an earlier goal of this name is written over.",
)
def command(
    scenario: str,
    seed: int | None,
    throws: int | None,
    as_json: bool,
    units: Units,
    server: str | None,
    server_ca: str | None,
    park: dict[str, float],
    pitch: str,
    measure: str,
    goal: str,
    by: str | None,
    no_interval: bool,
    output: Path,
) -> None:
    """Keep what is wanted of a pitch in a file: what reach answers, with the day.

    Next month: latebreak fit THROWS.csv --base SCENARIO --goal GOAL.toml
    """
    from latebreak.service.questions.following.goal_text import OWN, goal_text  # noqa: PLC0415 - not for the help
    from latebreak.service.questions.following.kept_goal import keep  # noqa: PLC0415
    from latebreak.service.questions.reach_words import wanted  # noqa: PLC0415

    check_place(output, OWN)  # said before the work is done
    loaded = read(scenario, park, elsewhere=server is not None)
    with answering(server, server_ca, "searching") as (ask, more):
        answer = ask.reach(
            loaded,
            pitch=pitch,
            measure=measure,
            goal=goal,
            by=names_in(by),
            intervals=not no_interval,
            seed=seed,
            throws=throws,
            **more,
        )
    reader = Reader(units, loaded.scenario.pitcher.hand)
    said = str(wanted(loaded.scenario, answer.result, reader))
    write(output, goal_text(keep(answer, loaded.scenario, date.today()), said, scenario, reader), OWN)
    tell(replace(answer, command="goal"), loaded.scenario, units, output, scenario, as_json=as_json)
