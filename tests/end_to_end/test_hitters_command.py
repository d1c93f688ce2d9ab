"""`latebreak hitters`: from a record of swings to taught hitters to the verdict."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from commands import Run
from simulated_swings import BASE, known_hitter, pitches, swung, write

from latebreak.service.scenario.ready import ready_path


@pytest.fixture
def swings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A record under headers of its own, in the folder where we are."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "200")  # so that no label of a table is broken
    rows = swung(pitches(450, 7, days=6), known_hitter().parameters, 8, tmp_path / "swings.csv")
    renamed = [{{"bats": "Stand", "miss": "Whiff"}.get(key, key): row[key] for key in row} for row in rows]
    (tmp_path / "map.toml").write_text('[columns]\n"Stand" = "bats"\n"Whiff" = "miss"\n')
    return write(tmp_path / "swings.csv", renamed)


def test_from_the_record_to_the_verdict(run: Run, swings: Path) -> None:
    code, out, err = run("hitters", swings.name, "--base", BASE, "--columns", "map.toml", "-o", "taught.toml")
    assert (code, err) == (0, "")
    for words in ("held out", "type x zone x side x strikes", "taught hitter", "moved by SDs", "Wrote taught.toml"):
        assert words in out
    ready = ready_path(BASE)
    assert ready is not None
    Path("mine.toml").write_text(ready.read_text().replace("[hitter]", '[hitter]\nfile = "taught.toml"', 1))
    code, out, err = run("compare", "mine.toml", "--throws", "500", "--json")
    assert (code, err) == (0, "")
    taught = json.loads(out)["result"]["better"]["difference"]
    code, out, err = run("compare", BASE, "--throws", "500", "--json")
    assert taught != json.loads(out)["result"]["better"]["difference"]

    code, out, err = run("hitters", swings.name, "--base", BASE, "--columns", "map.toml", "-o", "taught.toml")
    assert code == 3
    assert "exists already and is not overwritten" in err


def test_what_is_missing_is_said(run: Run, swings: Path) -> None:
    code, out, err = run("hitters", swings.name, "--base", BASE)
    assert (code, out) == (2, "")
    assert "column 'bats': missing: the side from which the hitter bats; allowed: right, left" in err
    assert "column 'miss': missing" in err
    assert "Traceback" not in err


def test_json_alone_on_stdout(run: Run, swings: Path) -> None:
    code, out, _ = run("hitters", swings.name, "--base", BASE, "--columns", "map.toml", "--hitter", "Abel", "--json")
    assert code == 0
    result = json.loads(out)["result"]
    assert result["hitter"] == "Abel"
    assert not result["learned"]  # some 75 swings
