"""The table: everything that was measured, as JSON and as Markdown."""

from __future__ import annotations

import platform
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from itertools import groupby
from pathlib import Path
from typing import Any

import llvmlite.binding as llvm

from benchmarks.goals import GOALS
from benchmarks.measuring import Row
from latebreak.service.judging.setting import threads_for

PACKAGES = ("latebreak", "numpy", "numba", "llvmlite", "scipy", "jax", "diffrax", "heyoka")


def machine() -> dict[str, Any]:
    """Processor, doubles in one of its vectors, cores that may be used, system and Python; no names of hosts."""
    features = llvm.get_host_cpu_features()
    doubles = next((n for n, name in ((8, "avx512f"), (4, "avx2"), (2, "sse2"), (2, "neon")) if features.get(name)), 1)
    info = Path("/proc/cpuinfo")
    lines = info.read_text(encoding="utf-8").splitlines() if info.exists() else []
    model = next((line.partition(":")[2].strip() for line in lines if line.startswith("model name")), "")
    return {
        "processor": model or platform.processor() or platform.machine(),
        "architecture": llvm.get_host_cpu_name(),
        "doubles_in_a_vector": doubles,
        "cores": threads_for(10**9),
        "system": f"{platform.system()} {platform.machine()}",
        "python": platform.python_version(),
    }


def record(rows: Sequence[Row], bounds: Sequence[dict[str, Any]], mode: str, seconds: float) -> dict[str, Any]:
    """Everything as one JSON object; what could not be measured is null."""
    here, by_key = machine(), {row.key: row for row in rows}
    return {
        "date": datetime.now(UTC).date().isoformat(),
        "mode": mode,
        "seconds": round(seconds),
        "machine": here,
        "versions": {name: _version(name) for name in PACKAGES},
        "rows": [asdict(row) | {"accurate": row.accurate} for row in rows],
        "goals": [goal.judged(by_key, here["doubles_in_a_vector"]) for goal in GOALS],
        "hardware_bound": list(bounds),
    }


def markdown(found: dict[str, Any]) -> str:
    """The same for people."""
    here, versions = found["machine"], found["versions"]
    lines = [
        f"{found['date']}, {found['mode']} run of {found['seconds']} s. {here['processor']} ({here['architecture']}, "
        f"vectors of {here['doubles_in_a_vector']} doubles, {here['cores']} cores), {here['system']}, "
        f"Python {here['python']}; " + ", ".join(f"{name} {number}" for name, number in versions.items()) + ".",
        "",
    ]
    for group, rows in groupby(found["rows"], key=lambda row: row["group"]):
        lines += [*_group(group, list(rows)), ""]
    lines += [*_headed("goal", "wanted", "measured", "met"), *map(_goal_line, found["goals"]), ""]
    if found["hardware_bound"]:
        lines += _headed("hardware bound", "bound", "reached", "share")
        lines += [
            f"| {row['name']} | {_number(row['bound'])}/s | {_number(row['reached'])}/s | {100 * row['share']:.0f} % |"
            for row in found["hardware_bound"]
        ]
    return "\n".join(lines).rstrip() + "\n"


def _headed(*names: str) -> Iterator[str]:
    yield f"| {' | '.join(names)} |"
    yield "|---" + "|---:" * (len(names) - 1) + "|"


def _group(name: str, rows: Sequence[dict[str, Any]]) -> Iterator[str]:
    """Table of a group, with the columns that some row of it has."""
    cells = {heading: [cell(row) for row in rows] for heading, cell in _COLUMNS.items()}
    used = {heading: column for heading, column in cells.items() if any(column)}
    yield from _headed(name, *used)
    for number, row in enumerate(rows):
        what = row["name"] + (f" ({row['note']})" if row["note"] else "")
        yield f"| {' | '.join((what, *(column[number] for column in used.values())))} |"


#: Headings, and what stands below them for a row.
_COLUMNS: dict[str, Callable[[dict[str, Any]], str]] = {
    "median": lambda row: "" if row["value"] is None else f"{_number(row['value'])} {row['unit']}",
    "+-": lambda row: "" if row["scatter"] is None else f"{row['scatter']:.0f} %",
    "latebreak is, times as fast": lambda row: "" if row["times"] is None else _number(row["times"]),
    "error (bound)": lambda row: (
        "" if row["error"] is None else f"{row['error']:.1g} ({row['bound']:g}) {row['error_unit']}"
    ),
    "peak memory": lambda row: "" if row["memory"] is None else f"{row['memory']:.0f} MiB",
}


def _goal_line(goal: dict[str, Any]) -> str:
    measured = "not measured" if goal["measured"] is None else _number(goal["measured"])
    met = {None: "-", True: "yes", False: "**no**"}[goal["met"]]
    return f"| {goal['words']} | {goal['wanted']} {_number(goal['bound'])} {goal['unit']} | {measured} | {met} |"


def _number(value: float) -> str:
    """Three digits, in millions where there are some."""
    if value >= 1e6:
        return f"{value / 1e6:.3g} million"
    return f"{value:,.0f}" if value >= 100.0 else f"{value:.3g}"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed"
