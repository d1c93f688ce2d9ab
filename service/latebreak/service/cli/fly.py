"""`latebreak fly`."""

from __future__ import annotations

import click

from latebreak.service.cli.options import asks, print_json, progress


@click.command("fly")
@asks
def command(scenario: str, seed: int | None, throws: int | None, as_json: bool) -> None:
    """Say where these pitches go: time, place, breaks, approach, and how they scatter."""
    from latebreak.service.questions import fly  # noqa: PLC0415 - compiles kernels; not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415

    loaded = load(scenario)
    with progress("flying") as done:
        answer = fly(loaded, seed=seed, throws=throws, progress=done)
    if as_json:
        print_json(answer.to_dict())
        return
    from latebreak.service.tables.fly import show  # noqa: PLC0415

    show(answer, loaded.scenario)
