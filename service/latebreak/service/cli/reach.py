"""`latebreak reach`."""

from __future__ import annotations

from functools import wraps
from typing import Any, cast

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
    """Add what is wanted of a pitch: --pitch, --measure, --goal, --by, --no-interval; the usual where not given."""

    @wraps(function)
    def filled(*, measure: str | None, goal: str | None, **given: Any) -> Any:
        from latebreak.service.questions.goal import usual_goal  # noqa: PLC0415 - compiles kernels
        from latebreak.service.questions.verdict import MEASURE  # noqa: PLC0415

        measure = MEASURE if measure is None else measure
        return function(measure=measure, goal=usual_goal(measure) if goal is None else goal, **given)

    for option, metavar, words in (
        ("--by", "KEY,KEY", "Levers to try, one at a time; default: speed, spin, axis, aim, spread."),
        ("--goal", "X", "14.5 or =-3 (a value), +2, -2 or like:PITCH; default: twice what matters, for the mix +1."),
        ("--measure", "M", "Key of an estimate of compare, such as late_break_in; default: the whole mix."),
        ("--pitch", "P", "The pitch that is to reach the goal."),
    ):
        filled = click.option(option, metavar=metavar, help=words, default="" if option == "--pitch" else None)(filled)
    filled = click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster.")(filled)
    return cast("F", filled)


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
