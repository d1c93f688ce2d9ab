"""`latebreak mix`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_full, in_park, in_table, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("mix")
@asks
@in_table
@in_units
@in_full
@at_server
@in_park
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
    no_interval: bool,
) -> None:
    """Say how often each pitch should be thrown when hitters come to expect what is thrown."""
    loaded = read(scenario, park, elsewhere=server is not None)
    with answering(server, server_ca, "mixing") as (ask, more):
        answer = ask.mix(loaded, intervals=not no_interval, seed=seed, throws=throws, **more)
    tell(answer, loaded.scenario, units, as_json=as_json, whole=whole)
