"""`latebreak columns`."""

from __future__ import annotations

from pathlib import Path

import click

from latebreak.service.cli.options import FILE
from latebreak.service.writing import check_place, write


@click.command("columns")
@click.argument("throws")
@click.option("-o", "--output", type=FILE, metavar="MAP.toml", help="Write the map here.")
def command(throws: str, output: Path | None) -> None:
    """Propose a column map for measured throws of any device, with the reason of every line.

    THROWS is a CSV file, one row a throw. What is not sure becomes a comment with the choices: read the map, mend it,
    then hand it on, as in

        latebreak fit THROWS.csv --base SCENARIO --columns MAP.toml
    """
    from latebreak.service.throws.loading import throws_content  # noqa: PLC0415 - not for the help
    from latebreak.service.throws.proposing import propose  # noqa: PLC0415

    if output is not None:
        check_place(output)  # said before the work is done
    proposed = propose(throws_content(throws), Path(throws).name)
    if output is None:
        click.echo(proposed, nl=False)
        return
    write(output, proposed)
    click.echo(f"wrote {output}; read it, then: latebreak fit {throws} --base SCENARIO --columns {output}")
