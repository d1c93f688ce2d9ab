"""Measure: ``python -m benchmarks`` in the folder above; README.md says what."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from time import perf_counter

import click

from benchmarks import asking, facing, flights
from benchmarks.measuring import Effort, Row, one_core
from benchmarks.table import markdown, record

HERE = Path(__file__).parent
GUIDE = HERE / "README.md"
START, END = "<!-- table -->", "<!-- end of table -->"

EFFORTS = {
    "quick": Effort(seconds=0.3, rounds=1, most_throws=100_000, cold=False),
    "usual": Effort(seconds=6.0, rounds=5, most_throws=10_000_000, cold=True),
    "long": Effort(seconds=12.0, rounds=9, most_throws=100_000_000, cold=True),
}
PARTS: dict[str, Callable[[Effort], Iterator[Row]]] = {
    "flights": flights.measure,
    "hitter": facing.measure,
    "questions": asking.measure_questions,
    "service": asking.measure_service,
    "starts": asking.measure_starts,
    "growth": asking.measure_growth,
}


@click.command()
@click.option("--quick", "mode", flag_value="quick", help="Less than a minute: does it run, is it accurate?")
@click.option("--long", "mode", flag_value="long", help="Twice as long, and up to 100,000,000 throws.")
@click.option("--only", "parts", multiple=True, type=click.Choice(list(PARTS)), help="Of all parts; may be repeated.")
@click.option(
    "-o", "folder", default=".benchmarks", show_default=True, type=click.Path(file_okay=False, path_type=Path),
    help="Folder for table.md and table.json.",
)  # fmt: skip
@click.option("--write", is_flag=True, help="Put the table into README.md of the benchmarks too.")
def main(mode: str | None, parts: Sequence[str], folder: Path, write: bool) -> None:
    """Measure how fast latebreak is, beside general-purpose libraries in the same run.

    Exit status 1 if a result is less accurate than promised; never because of time.
    """
    start, rows, bounds, mode = perf_counter(), [], [], mode or "usual"
    for name in parts or PARTS:
        for row in PARTS[name](EFFORTS[mode]):
            rows.append(row)
            click.echo(f"{perf_counter() - start:5.0f} s  {row.group}: {row.name}", err=True)
    if "flights" in (parts or PARTS) and find_spec("benchmarks.hardware_bound"):
        with one_core():
            bounds = import_module("benchmarks.hardware_bound").rows()
    found = record(rows, bounds, mode, perf_counter() - start)
    table = markdown(found)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "table.json").write_text(json.dumps(found, indent=1, allow_nan=False) + "\n", encoding="utf-8")
    (folder / "table.md").write_text(table, encoding="utf-8")
    if write:
        before, _, rest = GUIDE.read_text(encoding="utf-8").partition(START)
        GUIDE.write_text(f"{before}{START}\n{table}{END}{rest.partition(END)[2]}", encoding="utf-8")
    click.echo(table)
    lost = [f"{row.group}: {row.name}: {row.error:g} {row.error_unit}" for row in rows if not row.accurate]
    if lost:
        sys.exit("less accurate than promised:\n" + "\n".join(lost))


if __name__ == "__main__":
    main()
