"""`latebreak mix`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_units, tell
from latebreak.service.quantities import Units


@click.command("mix")
@asks
@in_units
@at_server
@click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster.")
def command(
    scenario: str,
    seed: int | None,
    throws: int | None,
    as_json: bool,
    units: Units,
    server: str | None,
    server_ca: str | None,
    no_interval: bool,
) -> None:
    """Say how often each pitch should be thrown when hitters come to expect what is thrown."""
    from latebreak.service.scenario import load  # noqa: PLC0415 - not for the help

    loaded = load(scenario, elsewhere=server is not None)
    with answering(server, server_ca, "mixing") as (ask, more):
        answer = ask.mix(loaded, intervals=not no_interval, seed=seed, throws=throws, **more)
    tell(answer, loaded.scenario, units, as_json=as_json)
