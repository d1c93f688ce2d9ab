"""Arguments and options that several commands share, and how they print."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def asks(function: F) -> F:
    """Add SCENARIO, --seed, --throws and --json."""
    for decorate in (
        click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON on stdout, and nothing else."),
        click.option("--throws", type=int, metavar="N", help="Simulated throws of each pitch, 1 to 100,000,000."),
        click.option("--seed", type=int, metavar="N", help="Seed of the random draws; the same seed, the same digits."),
        click.argument("scenario"),
    ):
        function = decorate(function)
    return function


@contextmanager
def progress(words: str) -> Iterator[Callable[[float], None]]:
    """Show the share of the work that is done; only on a terminal, on stderr."""
    if not sys.stderr.isatty():
        yield lambda share: None
        return
    from rich.console import Console  # noqa: PLC0415 - heavy, and only needed here
    from rich.progress import Progress  # noqa: PLC0415

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=1.0)
        yield lambda share: bar.update(task, completed=share)


def print_json(answer: dict[str, Any]) -> None:
    """Print an answer as JSON, in characters that every terminal and pipe can carry."""
    click.echo(json.dumps(answer, indent=2, allow_nan=False))
