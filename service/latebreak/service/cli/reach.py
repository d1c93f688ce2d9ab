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
@click.option(
    "--measure", metavar="M", help="Key of an estimate of compare, such as late_break_in; default: the whole mix."
)
@click.option(
    "--goal",
    metavar="X",
    help="14.5 or =-3 (a value), +2 or -2 (a change), or like:PITCH; default: twice what matters, for the mix +1.",
)
@click.option("--by", metavar="KEY,KEY", help="Levers to try, one at a time; default: speed, spin, axis, aim, spread.")
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
    measure: str | None,
    goal: str | None,
    by: str | None,
    no_interval: bool,
) -> None:
    """Say how much speed, spin or a cleaner axis a pitch needs until a measure reaches a goal."""
    from latebreak.service.questions.goal import usual_goal  # noqa: PLC0415 - compiles kernels
    from latebreak.service.questions.verdict import MEASURE  # noqa: PLC0415

    measure = MEASURE if measure is None else measure
    loaded = read(scenario, park, elsewhere=server is not None)
    keys = None if by is None else [key.strip() for key in by.split(",") if key.strip()]
    with answering(server, server_ca, "searching") as (ask, more):
        answer = ask.reach(
            loaded,
            pitch=pitch,
            measure=measure,
            goal=usual_goal(measure) if goal is None else goal,
            by=keys,
            intervals=not no_interval,
            seed=seed,
            throws=throws,
            **more,
        )
    tell(answer, loaded.scenario, units, as_json=as_json)
