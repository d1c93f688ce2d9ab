"""``python -m latebreak.perception.calibration [--write]``: fit the hitter, and show him beside all that is known.

Prints how far each kind of evidence pulls, the parameters with their 90 % intervals, how well days are predicted that
were not fitted, and the table of checks. With ``--write`` the fit goes into parameters.toml, the model's answers into
checks.csv, and all tables into perception/README.md. Takes about half a minute, and the extra `test` for the record.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import tomlkit

from latebreak.perception.calibration import comparison
from latebreak.perception.calibration.fit import RECORD_SAME_SIDE, Evidence, coordinates, evidence, fit
from latebreak.perception.calibration.scores import PREDICTIONS
from latebreak.perception.parameters import PARAMETER_FILE, parameter_table
from latebreak.perception.swings.newton import Fit
from latebreak.perception.swings.scores import scored

GUIDE = Path(__file__).parents[3] / "README.md"
_NORMAL_90 = 1.6448536269514722  # 95 % point of the standard normal distribution


def main(arguments: Sequence[str] | None = None) -> None:
    """Fit the hitter and show him beside all that is known."""
    parser = argparse.ArgumentParser(prog="python -m latebreak.perception.calibration", description=main.__doc__)
    parser.add_argument("--write", action="store_true", help="write the fit into the parameter file")
    write = parser.parse_args(arguments).write
    try:
        known = evidence()
    except ModuleNotFoundError as missing:
        parser.error(f"{missing.name} is not installed; install latebreak with its extra 'test'")
    found = fit(known, told=print)
    print(f"\nHow far each pulls:\n{pull_table(known, found)}")
    print(f"\nParameters, 90 % intervals by bootstrap over days, rows and priors:\n{fitted_table(found)}")
    print(f"\nLog loss and area under the curve, days that were not fitted:\n{score_table(known, found)}")
    if write:
        write_fit(found)
    checks = comparison.checks()
    print(f"\nChecks:\n{comparison.table(checks)}")
    if write:
        comparison.record(checks)
        tables = {"fit": f"{pull_table(known, found)}\n\n{fitted_table(found)}", "scores": score_table(known, found)}
        write_tables(tables | {"checks": comparison.table(checks)})
        print(f"\nWritten to {PARAMETER_FILE.name}, {comparison.CHECKS_FILE.name} and {GUIDE.name}.")


def pull_table(known: Evidence, found: Fit) -> str:
    """Table of what each kind of evidence adds to Q, in Markdown."""
    rows = (f"| {what} | {value:.1f} |" for what, value in known.pulls(found.u).items())
    return "\n".join(["| part of Q | at the fit |", "|---|---|", *rows])


def fitted_table(found: Fit) -> str:
    """Table of the fitted parameters in Markdown."""
    lines = ["| parameter | value | 90 % |", "|---|---|---|"]
    for one, u, sd in zip(coordinates(), found.u, found.sd, strict=True):
        low, value, high = (one.value(u + shift * sd) for shift in (-_NORMAL_90, 0.0, _NORMAL_90))
        lines.append(f"| {one.key} | {value:.3g} | {low:.3g} to {high:.3g} |")
    return "\n".join(lines)


def score_table(known: Evidence, found: Fit) -> str:
    """Table of held-out scores beside simple predictions, in Markdown."""
    held_out = ~known.record.fitted
    rows = {name: predict(known.record) for name, predict in PREDICTIONS.items()}
    rows["this hitter"] = known.chances(found.u)
    lines = ["| prediction | swing | miss |", "|---|---|---|"]
    for name, chances in rows.items():
        score = scored(known.record, chances, held_out)
        cells = " | ".join(f"{loss:.3f} / {area:.3f}" for loss, area in score.values())
        lines.append(f"| {name} | {cells} |")
    return "\n".join(lines)


def write_tables(tables: Mapping[str, str]) -> None:
    """Put tables into the guide of this folder, each between its marks; a wheel has no guide."""
    if not GUIDE.exists():
        return
    text = GUIDE.read_text(encoding="utf-8")
    for name, table in tables.items():
        start, end = f"<!-- {name} -->", f"<!-- end of {name} -->"
        before, _, rest = text.partition(start)
        text = f"{before}{start}\n{table}\n{end}{rest.partition(end)[2]}"
    GUIDE.write_text(text, encoding="utf-8")


def write_fit(found: Fit) -> None:
    """Write fitted values and their joint uncertainty into the parameter file; everything else stays."""
    document = tomlkit.parse(PARAMETER_FILE.read_text(encoding="utf-8"))
    every = coordinates()
    own = [one for one in every if one.key != RECORD_SAME_SIDE]
    for one, u in zip(every, found.u, strict=True):
        value = float(f"{one.value(u):.4g}")
        if one.key == RECORD_SAME_SIDE:
            document["joint"][RECORD_SAME_SIDE] = value
        else:
            document["parameter"][one.key]["value"] = value
    factor = np.array([one.sd for one in every])[:, None] * found.factor
    rows = tomlkit.array()
    for row in factor[: len(own)]:
        rows.add_line([float(f"{number:.4g}") for number in row])
    rows.add_line(indent="")
    document["joint"]["keys"] = [one.key for one in own]
    document["joint"]["factor"] = rows
    PARAMETER_FILE.write_text(tomlkit.dumps(document), encoding="utf-8")
    parameter_table.cache_clear()


if __name__ == "__main__":
    main()
