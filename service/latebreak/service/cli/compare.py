"""`latebreak compare`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_full, in_park, in_table, in_units, read, tell
from latebreak.service.quantities import Units


@click.command("compare")
@asks
@in_table
@in_units
@in_full
@at_server
@in_park
@click.option("--pitches", metavar="A,B", help="Pitches to compare; default: all that are no fastballs.")
@click.option("--by", metavar="MEASURE", help="Key of the measure that decides; default: that of the whole mix.")
@click.option("--count", metavar="B-S", help="Balls and strikes before the pitch, such as 0-2; default: all counts.")
@click.option("--counts", is_flag=True, help="Tell the measure that decides at each count too.")
@click.option("--hitters", is_flag=True, help="Decide before right and left, first look to well known, too.")
@click.option("--no-interval", is_flag=True, help="Leave out intervals and the chance of the lead; faster.")
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
    pitches: str | None,
    by: str | None,
    count: str | None,
    counts: bool,
    hitters: bool,
    no_interval: bool,
) -> None:
    """Say which of these is harder to hit behind this fastball, what it does for the mix, and how sure that is."""
    loaded = read(scenario, park, elsewhere=server is not None)
    names = None if pitches is None else [name.strip() for name in pitches.split(",") if name.strip()]
    with answering(server, server_ca, "comparing") as (ask, more):
        if by is not None:
            more["by"] = by
        answer = ask.compare(
            loaded,
            pitches=names,
            count=count,
            counts=counts,
            hitters=hitters,
            intervals=not no_interval,
            seed=seed,
            throws=throws,
            **more,
        )
    tell(answer, loaded.scenario, units, as_json=as_json, whole=whole)
