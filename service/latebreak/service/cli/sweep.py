"""`latebreak sweep`."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from latebreak.engine.errors import Fault, InputError
from latebreak.service.cli.options import (
    FILE,
    asks_of_all,
    in_units,
    names,
    no_interval,
    pages_module,
    print_json,
    progress,
)
from latebreak.service.quantities import Units
from latebreak.service.wording import clean

if TYPE_CHECKING:
    from latebreak.service.questions import Answer
    from latebreak.service.sweep.address import Certificates
    from latebreak.service.sweep.measures import Question
    from latebreak.service.sweep.running import Swept
    from latebreak.service.sweep.software import Software


@click.command("sweep")
@click.argument("scenarios", nargs=-1, required=True, metavar="SCENARIO...")
@asks_of_all
@click.option(
    "--grid",
    "grids",
    multiple=True,
    metavar="KEY=A:B:N",
    help="Sweep a key over N equally spaced values from A to B, or over a list, KEY=V1,V2,V3. Several: full product.",
)
@click.option("--list", "listing", type=FILE, metavar="FILE.csv", help="One what-if a row; the header has the keys.")
@click.option("-o", "--output", "table", type=FILE, metavar="TABLE", help="Write a table here: CSV, or .parquet.")
@click.option(
    "--page", type=FILE, metavar="STAFF.html", help="Write a page with one row a pitcher: better pitch, shortest road."
)
@in_units
@click.option("--question", type=click.Choice(["compare", "fly"]), default="compare", show_default=True)
@names("--pitches", "A,B", "Pitches to compare; default: all that are no fastballs.")
@names("--measures", "KEY,KEY", "Keys of the answer to keep; default: all.")
@no_interval("Leave out intervals and the chance of the lead; faster.")
@click.option("--workers", type=click.IntRange(1, 1024), metavar="N", help="Worker processes; default: one each core.")
@click.option(
    "--scheduler",
    metavar="ADDRESS",
    help="Ask on a running dask.distributed cluster: tcp:// on this machine, or tls://, because it executes code.",
)
@click.option("--tls-ca", type=FILE, metavar="PEM", help="For tls://: certificate of the authority.")
@click.option("--tls-cert", type=FILE, metavar="PEM", help="For tls://: certificate of this client.")
@click.option("--tls-key", type=FILE, metavar="PEM", help="For tls://: key of this client.")
def command(
    scenarios: tuple[str, ...],
    seed: int | None,
    throws: int | None,
    as_json: bool,
    grids: tuple[str, ...],
    listing: Path | None,
    table: Path | None,
    page: Path | None,
    units: Units,
    question: Question,
    pitches: list[str] | None,
    measures: list[str] | None,
    intervals: bool,
    workers: int | None,
    scheduler: str | None,
    tls_ca: Path | None,
    tls_cert: Path | None,
    tls_key: Path | None,
) -> None:
    """Ask many what-ifs over any keys of a scenario, or about many scenarios, and write a table or page of the answers.

    SCENARIO is a path or ready name, or several of them, or a folder of scenario files; of several, those that are at
    fault get a row that says why, and the status is then 2. Interrupted, a sweep keeps what is finished, in TABLE.part;
    the same command goes on from there. Examples:

        latebreak sweep two-grips --grid pitch.curve_spike.speed_mph=76:82:7 -o speeds.csv

        latebreak sweep staff/ --page staff.html
    """
    from latebreak.service.sweep.address import Certificates  # noqa: PLC0415 - not for the help
    from latebreak.service.sweep.plan import Options, plan_from_files  # noqa: PLC0415
    from latebreak.service.sweep.running import sweep_to_table  # noqa: PLC0415
    from latebreak.service.sweep.table import check_place  # noqa: PLC0415

    certificates = Certificates(tls_ca, tls_cert, tls_key)
    if scheduler is None and certificates != Certificates():
        raise click.UsageError("--tls-ca, --tls-cert and --tls-key belong to --scheduler tls://HOST:PORT.")
    if scheduler is not None and workers is not None:
        raise click.UsageError("--workers is for this machine; with --scheduler the cluster has its own workers.")
    if table is None and page is None:
        raise click.UsageError("Give -o TABLE, or --page STAFF.html, or both.")
    if table is not None and page is not None and table.resolve() == page.resolve():
        raise click.UsageError("-o and --page name the same file.")
    if page is not None and (grids or listing is not None or measures is not None or question != "compare"):
        raise click.UsageError("A page shows the pitchers as they are: drop --grid, --list, --measures or --question.")
    if table is not None:
        check_place(table)
    pages = None if page is None else _checked_page(page)
    options = Options(question, pitches, intervals, seed, throws, measures)
    plan = plan_from_files(scenarios, grids, listing, options, roads=page is not None)
    also = None if page is None else pages.page_of(page, plan, units)  # type: ignore[union-attr]
    executing = _executor(workers, scheduler, certificates, plan.ask.software)
    with executing as (executor, window), progress("sweeping") as done:
        swept = sweep_to_table(
            plan.ask,
            plan.what_ifs,
            executor,
            table,
            page=also,
            window=window,
            progress=done,
            notice=partial(click.echo, err=True),
        )
    _tell(plan.answer(swept), as_json)


def _checked_page(page: Path) -> Any:
    """Make sure, before hours of work, that a page can be made and may stand there; return the module that makes it."""
    from latebreak.service.report.saving import check_place  # noqa: PLC0415 - not for the help

    pages = pages_module("staff")
    check_place(page)
    return pages


@contextmanager
def _executor(
    workers: int | None, scheduler: str | None, certificates: Certificates, needs: Software
) -> Iterator[tuple[Executor, int]]:
    if scheduler is not None:
        from latebreak.service.sweep.cluster import cluster  # noqa: PLC0415 - not for the help

        with cluster(scheduler, certificates, needs=needs) as (executor, window):
            yield executor, window
    else:
        from latebreak.service.sweep.pool import process_pool  # noqa: PLC0415
        from latebreak.service.sweep.running import WINDOW  # noqa: PLC0415

        with process_pool(workers) as executor:
            yield executor, WINDOW


def _tell(answer: Answer[Swept], as_json: bool) -> None:
    """Say what was written.

    Raises
    ------
    InputError
        There is not a single answer, or, of several scenarios, to one of them.
    RuntimeError
        Some what-ifs met a fault of latebreak itself, whose answers are then missing.
    """
    swept = answer.result
    places = [clean(path) for path in (swept.table, swept.page) if path is not None]
    if not swept.answered and not swept.our_faults:
        message = f"no answer to {_count(swept.what_ifs, 'what-if')}; {places[0]} says why; the first: "
        raise InputError([Fault("", message + str(swept.first_message))])
    if as_json:
        print_json(answer.to_dict())
    else:
        resumed = f" ({swept.resumed:,} of them from an earlier run)" if swept.resumed else ""
        rows = f", {_count(swept.rows, 'row')}" if swept.table is not None else ""
        click.echo(f"wrote {' and '.join(places)}: {_count(swept.what_ifs, 'what-if')}{resumed}{rows}")
        if swept.at_fault and not swept.without_answer:
            click.echo(
                f"{_count(swept.at_fault, 'what-if')} at fault, the column status says why; the first: "
                f"{swept.first_message}"
            )
        for kind, sentences in (("Warning", answer.warnings), ("Caution", answer.cautions)):
            for sentence in sentences:
                click.echo(f"{kind}: {clean(sentence)}")
    if swept.our_faults:
        raise RuntimeError(f"{_count(swept.our_faults, 'what-if')} met it; {places[0]} has the messages")
    if swept.without_answer:
        raise InputError([Fault("", f"no answer for {name}: {why}") for name, why in swept.without_answer.items()])


def _count(number: int, thing: str) -> str:
    return f"{number:,} {thing}{'s' * (number != 1)}"
