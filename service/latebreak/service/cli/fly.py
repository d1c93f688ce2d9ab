"""`latebreak fly`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_full, in_park, in_table, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("fly")
@asks
@in_table
@in_units
@in_full
@at_server
@in_park
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
) -> None:
    """Say where these pitches go: time, place, breaks, approach, and how they scatter."""
    loaded = read(scenario, park, elsewhere=server is not None)
    with answering(server, server_ca, "flying") as (ask, more):
        answer = ask.fly(loaded, seed=seed, throws=throws, **more)
    tell(answer, loaded.scenario, units, as_json=as_json, whole=whole)
