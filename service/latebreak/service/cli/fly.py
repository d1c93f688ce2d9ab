"""`latebreak fly`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import answering, asks, at_server, in_units, print_json
from latebreak.service.quantities import Reader, Units


@click.command("fly")
@asks
@in_units
@at_server
def command(
    scenario: str,
    seed: int | None,
    throws: int | None,
    as_json: bool,
    units: Units,
    server: str | None,
    server_ca: str | None,
) -> None:
    """Say where these pitches go: time, place, breaks, approach, and how they scatter."""
    from latebreak.service.scenario import load  # noqa: PLC0415 - not for the help

    loaded = load(scenario, elsewhere=server is not None)
    with answering(server, server_ca, "flying") as (ask, more):
        answer = ask.fly(loaded, seed=seed, throws=throws, **more)
    if as_json:
        print_json(answer.to_dict())
        return
    from latebreak.service.tables.fly import show  # noqa: PLC0415

    show(answer, loaded.scenario, Reader(units, loaded.scenario.pitcher.hand))
