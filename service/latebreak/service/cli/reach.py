"""`latebreak reach`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import (
    F,
    answering,
    asks,
    at_server,
    in_park,
    in_table,
    in_units,
    names_in,
    read,
    tell,
)
from latebreak.service.quantities import Units


def wanted_of(function: F) -> F:
    """Add what is wanted of a pitch: --pitch, --measure, --goal, --by, --no-interval."""
    for decorate in (
        click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster."),
        click.option("--by", metavar="KEY,KEY", help="Levers to try, one at a time; default: speed, spin, axis, aim."),
        click.option("--goal", default="", metavar="X", help="14.5 or =-3 (a value), +2 or -2, or like:PITCH."),
        click.option("--measure", default="", metavar="M", help="Key of an estimate of compare: late_break_in."),
        click.option("--pitch", default="", metavar="P", help="The pitch that is to reach the goal."),
    ):
        function = decorate(function)
    return function


@click.command("reach")
@asks
@in_table
@in_units
@at_server
@in_park
@wanted_of
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
) -> None:
    """Say how much speed, spin or a cleaner axis a pitch needs until a measure reaches a goal."""
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
    tell(answer, loaded.scenario, units, as_json=as_json)
