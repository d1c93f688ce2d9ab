"""`latebreak hitters`."""

from __future__ import annotations

from pathlib import Path

import click

from latebreak.service.cli.options import FILE, in_full, in_json, in_table, in_units, progress, tell
from latebreak.service.quantities import Units
from latebreak.service.writing import check_place, write


@click.command("hitters")
@click.argument("swings")
@click.option(
    "--base",
    required=True,
    metavar="SCENARIO",
    help="Path or ready name of the scenario that says hand, field, air, the pitches' roles, and the hitter as known.",
)
@click.option("--columns", metavar="MAP", help="Column map of the file: a TOML file or a ready name.")
@click.option("--hitter", metavar="NAME", help="Teach this hitter alone, shrunk toward the others of the file.")
@click.option("--fastball", metavar="NAME", help="Which pitch is the fastball; default: by name, or the fastest.")
@click.option("-o", "--output", type=FILE, metavar="HITTERS", help="Write the taught hitters here.")
@in_table
@in_units
@in_full
@in_json
def command(
    swings: str,
    base: str,
    columns: str | None,
    hitter: str | None,
    fastball: str | None,
    output: Path | None,
    as_json: bool,
    units: Units,
    whole: bool,
) -> None:
    """Teach the hitter model by your own record of swings.

    SWINGS is a CSV file, one row a pitch, with the columns of measured throws and bats, balls, strikes, swing, miss,
    day. A scenario uses what -o wrote by [hitter] file = "HITTERS". Days that were held out say how well it predicts.
    """
    if output is not None:
        check_place(output)  # said before the work is done
    from latebreak.service.questions.hitters import hitters  # noqa: PLC0415 - compiles kernels; not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415

    loaded = load(base)
    with progress("learning") as done:
        answer = hitters(swings, base=loaded, columns=columns, hitter=hitter, fastball=fastball, progress=done)
    if output is not None:
        write(output, answer.result.hitters)
    tell(answer, loaded.scenario, units, output, as_json=as_json, whole=whole)
