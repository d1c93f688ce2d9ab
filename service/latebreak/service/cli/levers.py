"""`latebreak levers`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_full, in_park, in_table, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("levers")
@asks
@in_table
@in_units
@in_full
@at_server
@in_park
@click.option("--pitch", default="", metavar="P", help="The pitch whose levers are tried.")
@click.option(
    "--measure", metavar="M", help="The one measure that is wanted, as compare --json names it; default: all."
)
@click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster.")
def command(
    scenario: str,
    seed: int | None,
    throws: int | None,
    as_json: bool,
    units: Units,
    whole: bool,
    server: str | None,
    server_ca: str | None,
    park: dict[str, float],
    pitch: str,
    measure: str | None,
    no_interval: bool,
) -> None:
    """Say what a step on each lever of a pitch does to each measure, and where the leak is."""
    loaded = read(scenario, park, elsewhere=server is not None)
    with answering(server, server_ca, "stepping") as (ask, more):
        answer = ask.levers(
            loaded, pitch=pitch, measure=measure, intervals=not no_interval, seed=seed, throws=throws, **more
        )
    tell(answer, loaded.scenario, units, as_json=as_json, whole=whole)
