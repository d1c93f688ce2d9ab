"""The benchmarks run, say what they could not measure, and fail on lost accuracy alone."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

CHECKOUT = Path(__file__).parents[2]
#: Runs the command after some Python of the test's own.
PROGRAM = "import sys\n{}\nfrom benchmarks.__main__ import main\nmain()"
#: An import of these is refused, as if they were not there.
NOT_INSTALLED = "sys.modules |= dict.fromkeys(('diffrax', 'heyoka', 'jax'))"


def measured(folder: Path, *options: str, before: str = "") -> "subprocess.CompletedProcess[str]":
    program = [sys.executable, "-c", PROGRAM.format(before), "--quick", "-o", str(folder), *options]
    return subprocess.run(program, cwd=CHECKOUT, capture_output=True, text=True, check=False)


def tables(folder: Path) -> tuple[dict[str, Any], str]:
    """What was written: the JSON, strictly read, and the Markdown."""

    def refuse(constant: str) -> None:
        raise ValueError(constant)

    found = json.loads((folder / "table.json").read_text(encoding="utf-8"), parse_constant=refuse)
    return found, (folder / "table.md").read_text(encoding="utf-8")


def check_markdown(text: str, found: dict[str, Any]) -> None:
    """Every row and goal stands in a table whose lines have as many cells as its head."""
    for block in text.split("\n\n")[1:]:
        assert len({line.count("|") for line in block.splitlines()}) == 1
    assert all(row["name"] in text for row in found["rows"])
    assert all(goal["words"] in text for goal in found["goals"])


def test_flights_and_hitter_without_the_libraries(tmp_path: Path) -> None:
    done = measured(tmp_path, "--only", "flights", "--only", "hitter", before=NOT_INSTALLED)
    assert done.returncode == 0, done.stderr
    found, text = tables(tmp_path)
    check_markdown(text, found)
    rows = {row["key"]: row for row in found["rows"]}
    for key, library in (("heyoka", "heyoka"), ("jax", "jax"), ("diffrax", "jax")):
        assert rows[f"flights.{key}"]["value"] is None
        assert rows[f"flights.{key}"]["note"] == f"{library} is not installed"
    for key in ("full", "bare", "numpy", "rk45", "dop853"):
        row = rows[f"flights.{key}"]
        assert row["value"] > 0.0
        assert 0.0 < row["error"] <= row["bound"] == 0.005
    assert 0.0 < rows["hitter.glance.ours"]["error"] <= 1e-6
    met = {goal["key"]: goal["met"] for goal in found["goals"]}
    assert met["flights.heyoka"] is None
    assert met["flights.numpy"] is (rows["flights.numpy"]["times"] >= 15.0)
    assert found["machine"]["cores"] >= 1
    assert found["versions"]["numba"]


def test_lost_accuracy_fails(tmp_path: Path) -> None:
    spoiled = "import benchmarks.facing\nbenchmarks.facing.CHANCE = 1e-12"
    done = measured(tmp_path, "--only", "hitter", before=spoiled)
    assert done.returncode == 1
    assert "less accurate than promised" in done.stderr
    found, _ = tables(tmp_path)
    assert [row["key"] for row in found["rows"] if not row["accurate"]] == ["hitter.glance.ours"]


@pytest.mark.slow
def test_everything_quickly(tmp_path: Path) -> None:
    done = measured(tmp_path)
    assert done.returncode == 0, done.stderr
    found, text = tables(tmp_path)
    check_markdown(text, found)
    parts = {row["key"].partition(".")[0] for row in found["rows"]}
    assert parts == {"flights", "bundle", "threads", "hitter", "question", "service", "start", "growth"}
    assert all(row["value"] is None or row["value"] > 0.0 for row in found["rows"])
    unmeasured = {row["note"] for row in found["rows"] if row["value"] is None}
    assert unmeasured <= {f"{name} is not installed" for name in ("heyoka", "jax", "diffrax")}
