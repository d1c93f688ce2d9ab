"""`latebreak fit`."""

from __future__ import annotations

from pathlib import Path

import click

from latebreak.engine.errors import LatebreakError
from latebreak.service.cli.options import answering, at_server, in_units, tell
from latebreak.service.quantities import Units
from latebreak.service.wording import clean, shown


@click.command("fit")
@click.argument("throws")
@click.argument("later", required=False)
@click.option(
    "--base",
    required=True,
    metavar="SCENARIO",
    help="Path or ready name of the scenario that says hand, level, field, air, ball and hitter.",
)
@click.option("--columns", metavar="MAP", help="Column map of the files: a TOML file or a ready name.")
@click.option("--fastball", metavar="NAME", help="Which pitch is the fastball; default: by name, or the fastest.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="SCENARIO", help="Write the scenario here.")
@click.option("--seed", type=int, metavar="N", help="Seed of the scenario; the same seed, the same digits.")
@click.option("--throws", "simulated", type=int, metavar="N", help="Simulated throws of each pitch of the scenario.")
@at_server
@in_units
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON on stdout, and nothing else.")
def command(
    throws: str,
    later: str | None,
    base: str,
    columns: str | None,
    fastball: str | None,
    output: Path | None,
    seed: int | None,
    simulated: int | None,
    as_json: bool,
    units: Units,
    server: str | None,
    server_ca: str | None,
) -> None:
    """Make a scenario from measured throws, and say what changed.

    THROWS is a CSV file, one row a throw, or the name of a ready one. With LATER, throws of a later session, the
    scenario is that of the later ones, and what changed is said with the chance that it truly did.
    """
    if output is not None and output.exists():  # said before the work is done
        raise _exists(output)
    from latebreak.service.scenario import load  # noqa: PLC0415 - not for the help

    loaded = load(base, elsewhere=server is not None)
    with answering(server, server_ca, "fitting") as (ask, more):
        answer = ask.fit(
            throws,
            base=loaded,
            later=later,
            columns=columns,
            fastball=fastball,
            seed=seed,
            throws_per_pitch=simulated,
            **more,
        )
    if output is not None:
        _write(output, answer.result.scenario)
    tell(answer, loaded.scenario, units, output, as_json=as_json)


def _write(path: Path, text: str) -> None:
    """Write a scenario to a new file."""
    from latebreak.service.scenario import ScenarioFileError  # noqa: PLC0415 - not for the help

    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise _exists(path) from None
    except OSError as error:
        raise ScenarioFileError(
            f"{shown(str(path))} can't be written: {clean(error.strerror or str(error))}"
        ) from error


def _exists(path: Path) -> LatebreakError:
    from latebreak.service.scenario import ScenarioFileError  # noqa: PLC0415 - not for the help

    return ScenarioFileError(f"{shown(str(path))} exists already and is not overwritten; name another file with -o")
