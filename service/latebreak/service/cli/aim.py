"""`latebreak aim`."""

from __future__ import annotations

from typing import Any

import click

from latebreak.service.cli.options import answering, asks, at_server, in_full, in_park, in_table, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("aim")
@asks
@in_table
@in_units
@in_full
@at_server
@in_park
@click.option("--pitch", default="", metavar="P", help="The pitch that is to be aimed.")
@click.option("--measure", metavar="M", help="Key of a measure of compare; default: strikes without contact.")
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
    """Say where a pitch should be aimed, given how it scatters, and what a ball's width costs."""
    loaded = read(scenario, park, elsewhere=server is not None)
    asked: dict[str, Any] = {} if measure is None else {"measure": measure}
    with answering(server, server_ca, "aiming") as (ask, more):
        answer = ask.aim(loaded, pitch=pitch, intervals=not no_interval, seed=seed, throws=throws, **asked, **more)
    tell(answer, loaded.scenario, units, as_json=as_json, whole=whole)
