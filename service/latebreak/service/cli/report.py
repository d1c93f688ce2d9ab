"""`latebreak report`."""

from __future__ import annotations

from pathlib import Path

import click

from latebreak.service.cli.options import FILE, in_units, names, pages_module, progress
from latebreak.service.quantities import Units


@click.command("report")
@click.argument("scenario")
@click.option(
    "-o",
    "--output",
    type=FILE,
    metavar="PAGE.html",
    help="Write the page here; default: the scenario's name, in this folder.",
)
@click.option(
    "--card",
    type=FILE,
    metavar="CARD.html",
    help="Write a sheet for the pitcher's locker too: one side of A4 or Letter, to be printed.",
)
@names("--pitches", "A,B", "Pitches to show, five at most; default: all that are no fastballs.")
@click.option("--pitch", metavar="P", help="The pitch to work on; default: the leader.")
@click.option(
    "--measure", metavar="M", help="What that pitch is to reach; default: strikes without contact of the whole mix."
)
@click.option(
    "--goal", metavar="X", help="14.5 or =-3, +2 or -2, or like:PITCH; default: twice what matters, for the mix +1."
)
@in_units
@click.option("--seed", type=int, metavar="N", help="Seed of the random draws; the same seed, the same page.")
@click.option("--throws", type=int, metavar="N", help="Simulated throws of each pitch, 1 to 100,000,000.")
@click.option(
    "--measured",
    multiple=True,
    metavar="THROWS.csv",
    help="Make the pitches from measured throws first, as fit does; once for each session, in their order.",
)
@click.option("--goal-file", metavar="GOAL", help="A file of latebreak goal: how far it is by the measured throws.")
@click.option("--columns", metavar="MAP", help="Column map of the measured throws: a TOML file or a ready name.")
@click.option("--fastball", metavar="NAME", help="Which measured pitch is the fastball.")
def command(
    scenario: str,
    output: Path | None,
    card: Path | None,
    pitches: list[str] | None,
    pitch: str | None,
    measure: str | None,
    goal: str | None,
    units: Units,
    seed: int | None,
    throws: int | None,
    measured: tuple[str, ...],
    goal_file: str | None,
    columns: str | None,
    fastball: str | None,
) -> None:
    """Write a page with pictures for the pitcher, and say its path.

    The page is one file for any browser: what the hitter sees, why, what to work on, all numbers. It asks for
    nothing from anywhere. With --measured, SCENARIO is the base that says hand, level, field, air, ball and hitter.
    """
    pages = pages_module("page")
    from latebreak.service.report.saving import check_place, save  # noqa: PLC0415 - not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415

    if not measured and (columns or fastball or goal_file):
        raise click.UsageError("--columns, --fastball and --goal-file belong to --measured.")
    loaded = load(scenario)
    place = Path(f"{Path(scenario).stem}.html") if output is None else output
    if card is not None and card.resolve() == place.resolve():
        raise click.UsageError("--card and -o name the same file.")
    for one in (place, *([card] if card else [])):
        check_place(one)  # said before the work is done
    from latebreak.service.report.material import Measured, gather  # noqa: PLC0415 - compiles kernels

    thrown = Measured(measured[0], measured[1:], columns, fastball, goal_file) if measured else None
    with progress("making the page") as done:
        material = gather(
            loaded,
            measured=thrown,
            pitches=pitches,
            pitch=pitch,
            **({} if measure is None else {"measure": measure}),
            goal=goal,
            seed=seed,
            throws=throws,
            progress=done,
        )
        written = {place: pages.render(material, units)}
        if card is not None:
            written[card] = pages.render_card(material, units)
    for one, text in written.items():
        save(one, text)
        click.echo(str(one))
