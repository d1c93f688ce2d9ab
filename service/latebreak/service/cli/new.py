"""`latebreak new`."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("new")
@click.argument("name")
def command(name: str) -> None:
    """Write a commented starter scenario, NAME.toml, into this folder; an existing file is not overwritten."""
    from latebreak.service.scenario.starter import write_starter  # noqa: PLC0415 - not for the help
    from latebreak.service.wording import quoted  # noqa: PLC0415

    path = write_starter(name, Path())
    click.echo(
        f"wrote {quoted(path)}; change its numbers to your pitcher's, then ask: latebreak compare {quoted(path)}"
    )
