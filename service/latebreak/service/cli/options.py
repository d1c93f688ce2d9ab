"""Arguments and options that several commands share, and how they print."""

from __future__ import annotations

import importlib
import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

import click

from latebreak.engine.errors import LatebreakError
from latebreak.service.quantities import Reader, Units

if TYPE_CHECKING:
    from latebreak.service.scenario import Loaded, Scenario

#: Keys of the air that options set.
PARK = {
    "altitude_ft": "Altitude of the park in ft",
    "altitude_m": "Altitude of the park in m",
    "temperature_f": "Temperature in deg F",
    "temperature_c": "Temperature in deg C",
    "humidity_percent": "Relative humidity in %",
    "pressure_hpa": "Station pressure in hPa",
}

#: Packages of the extra `report`, and what they need, by the names that they are imported by.
_EXTRA = ("jinja2", "markupsafe", "matplotlib")

F = TypeVar("F", bound=Callable[..., Any])

#: A file that an option names.
FILE = click.Path(path_type=Path)

#: Where the context of a command holds the place of its table.
_TABLE = "latebreak.table"

#: s that a question to a server may take; a person can interrupt sooner.
_SERVER_SECONDS = 600.0


class MissingExtraError(LatebreakError):
    """Packages that only pages need are not installed."""


def asks(function: F) -> F:
    """Add SCENARIO, --seed, --throws and --json."""
    return click.argument("scenario")(asks_of_all(function))


def asks_of_all(function: F) -> F:
    """Add --seed, --throws and --json."""
    function = in_json(function)
    for option, words in (
        ("--throws", "Simulated throws of each pitch, 1 to 100,000,000."),
        ("--seed", "Seed of the random draws; the same seed, the same digits."),
    ):
        function = click.option(option, type=int, metavar="N", help=words)(function)
    return function


def in_json(function: F) -> F:
    """Add --json, handed on as `as_json`."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print the answer as JSON on stdout, and nothing else."
    )(function)


def names(option: str, metavar: str, words: str) -> Callable[[F], F]:
    """Return what adds a list of names with commas, handed on as a list; None where it is not given."""

    def parted(context: click.Context, parameter: click.Parameter, written: str | None) -> list[str] | None:
        return None if written is None else [name.strip() for name in written.split(",") if name.strip()]

    return click.option(option, metavar=metavar, help=words, callback=parted)


def no_interval(words: str = "Leave out the intervals; faster.") -> Callable[[F], F]:
    """Return what adds --no-interval, handed on as `intervals`, as questions take it."""
    return click.option(
        "--no-interval", "intervals", is_flag=True, help=words, callback=lambda context, parameter, without: not without
    )


def in_park(function: F) -> F:
    """Add the air of another park: --altitude-ft, --temperature-f and their like, handed on as `park`."""

    @wraps(function)
    def gathered(**given: Any) -> Any:
        park = {f"air.{key}": value for key in PARK if (value := given.pop(key)) is not None}
        return function(park=park, **given)

    for key, words in reversed(PARK.items()):
        option = "--" + key.replace("_", "-")
        gathered = click.option(option, key, type=float, metavar="X", help=f"{words} in place of the scenario's.")(
            gathered
        )
    return cast("F", gathered)


def read(scenario: str, park: Mapping[str, float], *, elsewhere: bool) -> Loaded:
    """Read a scenario and take it to another park.

    Parameters
    ----------
    scenario : str
        Path or ready name.
    park : mapping of str to float
        Keys of the air with their values; those that they exclude go.
    elsewhere : bool
        Whether somebody else answers.
    """
    from latebreak.service.scenario import from_mapping, load  # noqa: PLC0415 - not for the help

    loaded = load(scenario, elsewhere=elsewhere)
    if not park:
        return loaded
    from latebreak.service.sweep.overrides import with_overrides  # noqa: PLC0415 - not for the help

    return from_mapping(with_overrides(loaded.tables, park), loaded.source, elsewhere=elsewhere)


def in_full(function: F) -> F:
    """Add --all, handed on as `whole`."""
    return click.option("--all", "whole", is_flag=True, help="Print every row, not only those that matter first.")(
        function
    )


def in_table(function: F) -> F:
    """Add --table, which `tell` obeys; whether a table may stand there is said before the work is done."""

    def checked(context: click.Context, option: click.Parameter, table: Path | None) -> None:
        if table is not None:
            from latebreak.service.tabular.answers import KIND  # noqa: PLC0415 - not for the help
            from latebreak.service.tabular.writer import check_place  # noqa: PLC0415

            check_place(table, KIND)
            context.meta[_TABLE] = table

    return click.option(
        "--table", type=FILE, metavar="FILE", expose_value=False, callback=checked,
        help="Write the answer's numbers too, one a row, as --json has them: CSV, or .parquet.",
    )(function)  # fmt: skip


def in_units(function: F) -> F:
    """Add --units."""
    choice = click.Choice(["us", "metric"])
    words = "Units of what people read; --json is always the same."
    return click.option("--units", type=choice, default="us", show_default=True, help=words)(function)


def at_server(function: F) -> F:
    """Add --server and --server-ca."""
    function = click.option("--server-ca", metavar="PEM", help="Authority of the server's certificate: ask over TLS.")(
        function
    )
    return click.option(
        "--server", metavar="HOST:PORT", help="Ask a running service; a token is taken from LATEBREAK_TOKEN."
    )(function)


@contextmanager
def answering(server: str | None, server_ca: str | None, words: str) -> Iterator[tuple[Any, dict[str, Any]]]:
    """Give whom to ask, and what else to ask with: the questions here, or a client of a server.

    Parameters
    ----------
    server, server_ca : str or None
        As on the command line.
    words : str
        What is going on, for the progress.
    """
    if server is None:
        from latebreak.service import questions  # noqa: PLC0415 - compiles kernels; not for the help

        with progress(words) as done:
            yield questions, {"progress": done}
        return
    from latebreak.service.client import Client  # noqa: PLC0415 - heavy; not for the help

    authority = None if server_ca is None else Path(server_ca).read_bytes()
    token = os.environ.get("LATEBREAK_TOKEN") or None
    with Client(server, token=token, authority=authority, deadline=_SERVER_SECONDS) as client:
        yield client, {}


def ask(
    question: str,
    words: str,
    scenario: str,
    *,
    park: Mapping[str, float],
    server: str | None,
    server_ca: str | None,
    **given: Any,
) -> tuple[Any, Scenario]:
    """Ask a question of a scenario.

    Parameters
    ----------
    question : str
        Its name.
    words : str
        What is going on, for the progress.
    scenario : str
        Path or ready name.
    park : mapping of str to float
        As of `read`.
    server, server_ca : str or None
        As on the command line.
    **given
        What else is asked; None leaves it to the question.

    Returns
    -------
    answer : Answer
    scenario : Scenario
    """
    loaded = read(scenario, park, elsewhere=server is not None)
    asked = {name: value for name, value in given.items() if value is not None}
    with answering(server, server_ca, words) as (asking, more):
        return getattr(asking, question)(loaded, **asked, **more), loaded.scenario


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


def tell(answer: Any, scenario: Scenario, units: Units, *more: Any, as_json: bool, **how: bool) -> None:
    """Print an answer: as JSON, or as the table of its question, `how` that wants it; write what --table asks."""
    place = click.get_current_context().meta.get(_TABLE)
    if place is not None:
        from latebreak.service.tabular.answers import write_answer  # noqa: PLC0415 - not for the help

        write_answer(place, answer)
    if as_json:
        print_json(answer.to_dict())
    else:
        table = importlib.import_module(f"latebreak.service.tables.{answer.command}")
        table.show(answer, scenario, Reader(units, scenario.pitcher.hand), *more, **how)


def pages_module(name: str) -> Any:
    """Import a module of `latebreak.service.report` that makes pages.

    Raises
    ------
    MissingExtraError
        jinja2 or matplotlib is not installed.
    """
    try:
        return importlib.import_module(f"latebreak.service.report.{name}")
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in _EXTRA:
            raise
        message = f"a page needs {error.name}, which is not installed: pip install 'latebreak[report]'"
        raise MissingExtraError(message) from None
