"""`latebreak reach`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_park, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("reach")
@asks
@in_units
@at_server
@in_park
@click.option("--pitch", default="", metavar="P", help="The pitch that is to reach the goal.")
@click.option("--measure", default="", metavar="M", help="Key of an estimate of compare, such as late_break_in.")
@click.option("--goal", default="", metavar="X", help="14.5 or =-3 (a value), +2 or -2 (a change), or like:PITCH.")
@click.option("--by", metavar="KEY,KEY", help="Levers to try, one at a time; default: speed, spin, axis and aim.")
@click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster.")
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
    keys = None if by is None else [key.strip() for key in by.split(",") if key.strip()]
    with answering(server, server_ca, "searching") as (ask, more):
        answer = ask.reach(
            loaded,
            pitch=pitch,
            measure=measure,
            goal=goal,
            by=keys,
            intervals=not no_interval,
            seed=seed,
            throws=throws,
            **more,
        )
    tell(answer, loaded.scenario, units, as_json=as_json)
