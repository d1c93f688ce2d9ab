"""`latebreak fit`."""

from __future__ import annotations

from pathlib import Path

import click

from latebreak.service.cli.options import FILE, answering, at_server, in_full, in_json, in_table, in_units, tell
from latebreak.service.quantities import Units
from latebreak.service.writing import check_place, write


@click.command("fit")
@click.argument("throws")
@click.argument("later", nargs=-1)
@click.option(
    "--base",
    required=True,
    metavar="SCENARIO",
    help="Path or ready name of the scenario that says hand, level, field, air, ball and hitter.",
)
@click.option("--columns", metavar="MAP", help="Column map of the files: a TOML file or a ready name.")
@click.option("--fastball", metavar="NAME", help="Which pitch is the fastball; default: by name, or the fastest.")
@click.option("--goal", metavar="GOAL", help="A file of latebreak goal: how far it is, session by session.")
@click.option("-o", "--output", type=FILE, metavar="SCENARIO", help="Write the scenario here.")
@click.option(
    "--throws-out",
    type=FILE,
    metavar="FILE",
    help="Write the throws that are used, without slips and strays: CSV, or .parquet; fit reads the CSV again.",
)
@click.option("--seed", type=int, metavar="N", help="Seed of the scenario; the same seed, the same digits.")
@click.option("--throws", "simulated", type=int, metavar="N", help="Simulated throws of each pitch of the scenario.")
@in_table
@at_server
@in_units
@in_full
@in_json
def command(
    throws: str,
    later: tuple[str, ...],
    base: str,
    columns: str | None,
    fastball: str | None,
    goal: str | None,
    output: Path | None,
    throws_out: Path | None,
    seed: int | None,
    simulated: int | None,
    as_json: bool,
    units: Units,
    whole: bool,
    server: str | None,
    server_ca: str | None,
) -> None:
    """Make a scenario from measured throws, and say what changed.

    THROWS is a CSV file, one row a throw, or the name of a ready one. With LATER, throws of later sessions, the
    scenario is that of the last, and what changed since the first is said with the chance that it truly did. With
    --goal the base should be the scenario that the goal is of.
    """
    from latebreak.service.questions.fitting.sessions import session_names  # noqa: PLC0415 - not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415
    from latebreak.service.tabular.throws import KIND as THROWS  # noqa: PLC0415
    from latebreak.service.tabular.throws import write_throws  # noqa: PLC0415
    from latebreak.service.tabular.writer import check_place as check_table  # noqa: PLC0415
    from latebreak.service.throws import clean_throws  # noqa: PLC0415

    if output is not None:
        check_place(output)  # said before the work is done
    if throws_out is not None:
        check_table(throws_out, THROWS)
    loaded = load(base, elsewhere=server is not None)
    with answering(server, server_ca, "fitting") as (ask, more):
        answer = ask.fit(
            throws,
            base=loaded,
            later=later,
            columns=columns,
            fastball=fastball,
            goal=goal,
            seed=seed,
            throws_per_pitch=simulated,
            **more,
        )
    if output is not None:
        write(output, answer.result.scenario)
    if throws_out is not None:
        files = clean_throws((throws, *later), columns, loaded.scenario.pitcher)
        write_throws(throws_out, files, session_names(files))
    tell(answer, loaded.scenario, units, output, as_json=as_json, whole=whole)
