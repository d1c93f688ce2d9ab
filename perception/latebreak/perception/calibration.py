"""Calibration: F, tau0 and mot_z from published experiments, and the model against all of them.

    python -m latebreak.perception.calibration [--write]

Least squares on the logarithms of the three. A residual is (model - target) / SD, with a published interval taken as
95 %; the odds ratio counts by its logarithm. Everything else that a hitter is made of stays at its source or as chosen.
"""

from __future__ import annotations

import argparse
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, log, sqrt
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from latebreak.perception.experiments import FAMILIARITY, SEED
from latebreak.perception.eye import Eye
from latebreak.perception.hitter import LEVELS, PARAMETER_FILE, TRAITS, Traits, parameter_table, preset
from latebreak.perception.published import PUBLISHED, Published, figures, fitted_figures

Array = NDArray[np.float64]

FITTED_FIGURES = tuple(name for name, row in PUBLISHED.items() if row.use == "fitted")
#: The fitted parameters by their symbols. `direction_error` is one parameter with `movement_error`.
SYMBOLS = {"evidence_efficiency": "F", "movement_error": "tau0", "motor_height": "mot_z"}
#: What the data do not tell apart from them.
TRADED = ("lapse", "timing_window", "size_noise")
_START = (0.06, 0.53, 0.012)  # of a draft of the model; starts that were tried end within half a percent
# Step of the derivatives, on logarithms: wide, since a hitter who changes his mind makes a small jump.
_STEP = 0.1
_SD_OF_95 = 3.92  # widths of a normal 95 % interval
_NORMAL_90 = 1.645  # half width of a normal 90 % interval


def professional(**values: float) -> Traits:
    """Return one column of a professional's traits, some of them replaced (SI units)."""
    return preset("professional", Eye(), 0.150, FAMILIARITY, **values).traits


def with_fitted(base: Traits, values: Array) -> Traits:
    """Return one column of traits with m sets of (F, tau0, mot_z), shape (3, m) in SI units."""
    efficiency, error, height = values
    repeated = Traits(**{name: np.repeat(getattr(base, name), efficiency.size) for name in TRAITS})
    return replace(
        repeated, evidence_efficiency=efficiency, movement_error=error, direction_error=error, motor_height=height
    )


@dataclass(frozen=True, eq=False)
class Fit:
    """F, tau0 and mot_z (SI units), the covariance (3, 3) of their logarithms, and the sum of squared residuals."""

    values: Array
    covariance: Array
    misfit: float

    @property
    def sd(self) -> Array:
        """SDs of the logarithms."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def correlation(self) -> Array:
        """Of the logarithms."""
        correlation: Array = self.covariance / np.outer(self.sd, self.sd)
        return correlation


def fit(base: Traits, targets: Mapping[str, float] | None = None, seed: int = SEED) -> Fit:
    """Fit F, tau0 and mot_z.

    Parameters
    ----------
    base : Traits
        One column: everything else.
    targets : mapping of str to float, optional
        In place of the published values of the fitted figures.
    seed : int
        Of the throws and of the noise.
    """
    from scipy.optimize import least_squares  # noqa: PLC0415  (needed here alone, and slow to import)

    goals = {name: PUBLISHED[name].value for name in FITTED_FIGURES} | dict(targets or {})

    def misses(logs: Array) -> Array:
        found = fitted_figures(with_fitted(base, np.exp(logs)), seed)
        return np.stack([_residual(PUBLISHED[name], found[name], goals[name]) for name in FITTED_FIGURES])

    def residuals(logs: Array) -> Array:
        one: Array = misses(logs[:, None])[:, 0]
        return one

    def slopes(logs: Array) -> Array:
        steps = _STEP * np.eye(logs.size)
        found = misses(logs[:, None] + np.concatenate([steps, -steps], axis=1))
        slope: Array = (found[:, : logs.size] - found[:, logs.size :]) / (2.0 * _STEP)
        return slope

    found = least_squares(residuals, np.log(_START), jac=slopes)
    jacobian = np.asarray(found.jac)
    return Fit(np.exp(found.x), np.linalg.inv(jacobian.T @ jacobian), 2.0 * found.cost)


def _residual(row: Published, figure: Array, goal: float) -> Array:
    if not row.unit:  # a ratio
        return np.log(figure / goal) / (log(row.high / row.low) / _SD_OF_95)
    return (figure - goal) / ((row.high - row.low) / _SD_OF_95)


def rewritten(text: str, found: Fit) -> str:
    """Return a parameter file with fitted values: only values and ranges of the fitted parameters change.

    Levels keep their ratios. A range is, as a ratio, the wider of the fit's own 90 % interval and of what stands there,
    since the fit's own leaves out the error of the model; its middle (geometric) is the value, as in the draws.
    """
    table, own = tomllib.loads(text), professional()
    for number, name in enumerate(SYMBOLS):
        old = table[name]["professional"]
        low, high = table[name]["range"]
        unit = getattr(own, name)[0] / parameter_table()[name]["professional"]
        value = float(f"{found.values[number] / unit:.3g}")
        ratio = max(exp(2.0 * _NORMAL_90 * found.sd[number]), high / low)
        new: dict[str, str] = {}
        if value != old:  # else other levels and ends would creep by rounding
            new |= {level: _number(table[name][level] * value / old) for level in LEVELS}
        if value != old or ratio > 1.01 * high / low:  # three digits round by up to 1 %
            new["range"] = f"[{_number(value / sqrt(ratio))}, {_number(value * sqrt(ratio))}]"
        for section in (name, "direction_error") if name == "movement_error" else (name,):
            for key, written in new.items():
                line = rf"(?ms)(^\[{section}\]$(?:(?!^\[).)*?^{key} = )[^\n]*"
                text = re.sub(line, rf"\g<1>{written}", text, count=1)
    return text


def _number(value: float) -> str:
    """Three digits, and a TOML float."""
    written = f"{value:.3g}"
    return written if "." in written else f"{written}.0"


def comparison(traits: Traits) -> list[tuple[str, ...]]:
    """Table: every published number and the model's, for one column of traits; the first row is the head."""
    rows: list[tuple[str, ...]] = [("experiment", "published", "model", "inside?", "fitted or only compared", "source")]
    found = figures(traits)
    for name, row in PUBLISHED.items():
        figure = float(found[name][0])
        published = f"{row.value:.3g} ({row.low:.3g} to {row.high:.3g}) {row.unit}"
        inside = "inside" if row.holds(figure) else "OUTSIDE"
        rows.append((row.what, published, f"{figure:.3g} {row.unit}", inside, row.use, row.source))
    return rows


def trade_off(found: Fit) -> list[tuple[str, ...]]:
    """Table: the fit with each of `TRADED` held at the ends of its range; the first row is the head."""
    rows: list[tuple[str, ...]] = [
        ("held at", *SYMBOLS.values(), "sum of squared residuals"),
        _fit_row("as it is", found),
    ]
    own = professional()
    for name in TRADED:
        entry = parameter_table()[name]
        for end in entry["range"]:
            value = getattr(own, name)[0] * end / entry["professional"]
            held = fit(professional(**{name: value}))
            rows.append(_fit_row(f"{entry['symbol']} = {end:g} {entry['unit'].removeprefix('1')}", held))
    return rows


def _fit_row(label: str, found: Fit) -> tuple[str, ...]:
    return (
        label,
        *(f"{value:.3g}" for value in found.values[:2]),
        f"{1e3 * found.values[2]:.3g} mm",
        f"{found.misfit:.2f}",
    )


def ridge(found: Fit) -> list[tuple[str, ...]]:
    """Table: each fitted value, SD of its logarithm, correlations of the logarithms; the first row is the head."""
    rows: list[tuple[str, ...]] = [("", "value", "SD of ln", *(f"with {symbol}" for symbol in SYMBOLS.values()))]
    for symbol, value, sd, line in zip(SYMBOLS.values(), found.values, found.sd, found.correlation, strict=True):
        size = f"{1e3 * value:.3g} mm" if symbol == "mot_z" else f"{value:.3g}"
        rows.append((symbol, size, f"{sd:.2f}", *(f"{one:+.2f}" for one in line)))
    return rows


def aligned(rows: Sequence[Sequence[str]]) -> str:
    """Return a table as text, columns aligned."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join("  ".join(map(str.ljust, row, widths)).rstrip() for row in rows)


def main(arguments: Sequence[str] | None = None, file: Path = PARAMETER_FILE) -> None:
    """Fit F, tau0 and mot_z to published experiments and show the model beside all of them."""
    parser = argparse.ArgumentParser(prog="python -m latebreak.perception.calibration", description=main.__doc__)
    parser.add_argument("--write", action="store_true", help="write the fitted values into the parameter file")
    write = parser.parse_args(arguments).write
    try:
        found = fit(professional())
    except ModuleNotFoundError as missing:  # scipy serves tests and this command only
        parser.error(f"{missing.name} is not installed; install latebreak with its extra 'test'")
    print(aligned(comparison(with_fitted(professional(), found.values[:, None]))))
    print(
        f"\nFitted, professional ({len(FITTED_FIGURES)} figures, {len(SYMBOLS)} parameters):\n{aligned(ridge(found))}"
    )
    print(f"\nRefitted with one of the others at the ends of its range:\n{aligned(trade_off(found))}")
    if write:
        file.write_text(rewritten(file.read_text(encoding="utf-8"), found), encoding="utf-8")
        print(f"\nWritten to {file.name}.")


if __name__ == "__main__":
    main()
