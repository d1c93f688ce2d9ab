"""`latebreak levers`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import asks, print_json, progress


@click.command("levers")
@asks
@click.option("--pitch", required=True, metavar="P", help="The pitch whose levers are tried.")
@click.option("--no-interval", is_flag=True, help="Leave out the intervals; faster.")
def command(scenario: str, seed: int | None, throws: int | None, as_json: bool, pitch: str, no_interval: bool) -> None:
    """Say what a step on each lever of a pitch does to each measure, and where the leak is."""
    from latebreak.service.questions import levers  # noqa: PLC0415 - compiles kernels; not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415

    loaded = load(scenario)
    with progress("stepping") as done:
        answer = levers(loaded, pitch=pitch, intervals=not no_interval, seed=seed, throws=throws, progress=done)
    if as_json:
        print_json(answer.to_dict())
        return
    from latebreak.service.tables.levers import show  # noqa: PLC0415

    show(answer, loaded.scenario)
