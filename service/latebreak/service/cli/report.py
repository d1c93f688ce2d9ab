"""`latebreak report`."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import click

from latebreak.engine.errors import LatebreakError
from latebreak.service.cli.options import in_units, progress
from latebreak.service.quantities import Units

#: Packages of the extra `report`, and what they need, by the names that they are imported by.
_EXTRA = ("jinja2", "markupsafe", "matplotlib")


class MissingExtraError(LatebreakError):
    """Packages that only pages need are not installed."""


@click.command("report")
@click.argument("scenario")
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="PAGE.html",
    help="Write the page here; default: the scenario's name, in this folder.",
)
@click.option(
    "--card",
    type=click.Path(path_type=Path),
    metavar="CARD.html",
    help="Write a sheet for the pitcher's locker too: one side of A4 or Letter, to be printed.",
)
@click.option("--pitches", metavar="A,B", help="Pitches to show, five at most; default: all that are no fastballs.")
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
    help="Make the pitches from measured throws first, as fit does; twice for an earlier and a later session.",
)
@click.option("--columns", metavar="MAP", help="Column map of the measured throws: a TOML file or a ready name.")
@click.option("--fastball", metavar="NAME", help="Which measured pitch is the fastball.")
def command(
    scenario: str,
    output: Path | None,
    card: Path | None,
    pitches: str | None,
    pitch: str | None,
    measure: str | None,
    goal: str | None,
    units: Units,
    seed: int | None,
    throws: int | None,
    measured: tuple[str, ...],
    columns: str | None,
    fastball: str | None,
) -> None:
    """Write a page with pictures for the pitcher, and say its path.

    The page is one file for any browser: what the hitter sees, why, what to work on, all numbers. It asks for
    nothing from anywhere. With --measured, SCENARIO is the base that says hand, level, field, air, ball and hitter.
    """
    pages = _pages()
    from latebreak.service.report.saving import check_place, save  # noqa: PLC0415 - not for the help
    from latebreak.service.scenario import load  # noqa: PLC0415

    if len(measured) > 2:
        raise click.UsageError("--measured is given twice at most: an earlier and a later session.")
    if not measured and (columns or fastball):
        raise click.UsageError("--columns and --fastball belong to --measured.")
    loaded = load(scenario)
    place = Path(f"{Path(scenario).stem}.html") if output is None else output
    if card is not None and card.resolve() == place.resolve():
        raise click.UsageError("--card and -o name the same file.")
    for one in (place, *([card] if card else [])):
        check_place(one)  # said before the work is done
    from latebreak.service.report.material import Measured, gather  # noqa: PLC0415 - compiles kernels

    thrown = Measured(measured[0], measured[1] if len(measured) > 1 else None, columns, fastball) if measured else None
    names = None if pitches is None else [name.strip() for name in pitches.split(",") if name.strip()]
    with progress("making the page") as done:
        material = gather(
            loaded,
            measured=thrown,
            pitches=names,
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


def _pages() -> Any:
    """Import the module that makes pages.

    Raises
    ------
    MissingExtraError
        jinja2 or matplotlib is not installed.
    """
    try:
        return importlib.import_module("latebreak.service.report.page")
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in _EXTRA:
            raise
        message = f"a page needs {error.name}, which is not installed: pip install 'latebreak[report]'"
        raise MissingExtraError(message) from None
