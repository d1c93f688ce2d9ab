"""The table of checks: what was published, what the model says, whether that is inside, and whether it was fitted.

The model's answers stand in checks.csv beside this file, for the parameters that the package carries; tests hold them
against the model, so that no row changes sides unseen. ``python -m latebreak.perception.calibration.comparison``
prints the table, and with ``--write`` writes that file anew.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite, isnan
from pathlib import Path

from latebreak.perception.calibration import experiments, league
from latebreak.perception.calibration.published import PUBLISHED, Published
from latebreak.perception.model import HitterModel, one_glance
from latebreak.perception.parameters import Parameters, preset

CHECKS_FILE = Path(__file__).with_name("checks.csv")


@dataclass(frozen=True)
class Check:
    """A row of the table: what was published under a name, and the model's figure."""

    name: str
    published: Published
    model: float

    @property
    def inside(self) -> bool:
        """Whether the model is inside what was published."""
        return self.published.holds(self.model)


def checks(parameters: Parameters | None = None, model: HitterModel = one_glance) -> list[Check]:
    """Ask the model for every published number.

    Parameters
    ----------
    parameters : Parameters, optional
        One column; default: a professional's, familiarity 0.5.
    model : HitterModel
        Who is asked.
    """
    hitter = preset("professional") if parameters is None else parameters
    found = league.figures(hitter, model) | experiments.figures(hitter, model)
    return [Check(name, row, found[name]) for name, row in PUBLISHED.items()]


def table(rows: Iterable[Check]) -> str:
    """Write rows as a table in Markdown."""
    lines = ["| check | published | model | inside? | used | source |", "|---|---|---|---|---|---|"]
    for row in rows:
        known = row.published
        bounds = f"{known.low:.4g} to {known.high:.4g}" if isfinite(known.high) else f"above {known.low:.4g}"
        span = f"{bounds} {known.unit}" if isnan(known.value) else f"{known.value:.4g} ({bounds}) {known.unit}"
        inside = "yes" if row.inside else "NO"
        source = f"{known.source} ({known.status})"
        lines.append(f"| {known.what} | {span} | {row.model:.3g} | {inside} | {known.use} | {source} |")
    return "\n".join(lines)


def recorded() -> dict[str, float]:
    """Read the model's answers as they were written last, by name."""
    with CHECKS_FILE.open(encoding="utf-8", newline="") as file:
        return {row["name"]: float(row["model"]) for row in csv.DictReader(file)}


def record(rows: Iterable[Check]) -> None:
    """Write the model's answers."""
    with CHECKS_FILE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["name", "model", "inside"])
        writer.writerows([row.name, f"{row.model:.6g}", "yes" if row.inside else "no"] for row in rows)


if __name__ == "__main__":
    ROWS = checks()
    if "--write" in sys.argv[1:]:
        record(ROWS)
    sys.stdout.write(table(ROWS) + "\n")
