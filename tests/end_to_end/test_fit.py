"""`latebreak fit`: from a CSV to a scenario file to the verdict, and what stands in the way."""

import json
import re
from pathlib import Path

import numpy as np
import pytest
from commands import Run, assert_clean
from simulated_bullpen import as_csv, measured

from latebreak.service.scenario import load

EXAMPLE = ("fit", "new-grip", "--base", "before-the-bullpen", "--columns", "new-grip")


@pytest.fixture
def bullpen(tmp_path: Path) -> str:
    """A bullpen of two-grips, with the keys as header."""
    rng = np.random.default_rng(1)
    scenario = load("two-grips").scenario
    path = tmp_path / "bullpen.csv"
    path.write_bytes(as_csv({name: measured(scenario, name, 8, rng) for name in scenario.pitch}))
    return str(path)


def test_from_the_csv_to_the_verdict(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The walk of the README."""
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*EXAMPLE, "-o", "my.toml")
    assert (code, err) == (0, "")
    assert "now ask: latebreak compare my.toml" in out
    assert "\x1b" not in out
    code, out, err = run("compare", "my.toml", "--throws", "1000")
    assert (code, err) == (0, "")
    # a dozen throws of each: a lead, or too little to name one
    assert re.search(r"curve_ridge is ahead|No difference (beyond chance|that matters)", out)


def test_the_table(run: Run) -> None:
    code, out, err = run(*EXAMPLE)
    assert (code, err) == (0, "")
    assert_clean(out)
    for words in ("36 rows read, 34 used, 2 left out", "line 18", "spin efficiency", "Not told:", "-o FILE.toml"):
        assert words in out
    assert "nan" not in out


def test_json_is_all_there_is_on_stdout(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    code, out, err = run(*EXAMPLE, "--json", "--seed", "5", "--throws", "900", "-o", str(path))
    assert (code, err) == (0, "")
    answer = json.loads(out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert (answer["command"], answer["seed"], answer["throws"]) == ("fit", 5, 900)
    assert answer["result"]["scenario"] == path.read_text(encoding="utf-8")
    assert load(path).scenario.throws == 900
    assert out.isascii()


def test_a_file_is_not_overwritten(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("mine", encoding="utf-8")
    code, out, err = run(*EXAMPLE, "-o", str(path))
    assert (code, out) == (3, "")
    assert "exists already and is not overwritten; choose another name" in err
    assert path.read_text(encoding="utf-8") == "mine"


def test_two_files(run: Run, bullpen: str) -> None:
    code, out, err = run("fit", bullpen, bullpen, "--base", "two-grips", "--throws", "300")
    assert (code, err) == (0, "")
    assert "curve_spike, from earlier to later:" in out
    assert "No change beyond chance" in out
    assert "Faster" not in out
    assert "Slower" not in out


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("{bullpen}",), 2, "--base"),
        (("{bullpen}", "--base", "nowhere"), 3, "nowhere"),
        (("nowhere.csv", "--base", "two-grips"), 3, "nowhere.csv"),
        (("{bullpen}", "--base", "two-grips", "--columns", "nowhere"), 3, "nowhere"),
        (("{bullpen}", "--base", "two-grips", "--fastball", "heat"), 2, "no throw is of a pitch 'heat'"),
        (("{bullpen}", "--base", "two-grips", "--throws", "0"), 2, "0 is out of range"),
        (("{bullpen}", "--base", "two-grips", "-o", "{folder}/no/such/folder.toml"), 3, "can't be written"),
        (("{bullpen}", "--base", "{bullpen}"), 2, "TOML"),
    ],
)
def test_trouble(run: Run, bullpen: str, tmp_path: Path, words: tuple[str, ...], status: int, said: str) -> None:
    filled = (word.format(bullpen=bullpen, folder=tmp_path) for word in words)
    code, out, err = run("fit", *filled)
    assert (code, out) == (status, "")
    assert said in err
    assert_clean(err)


def test_names_that_steer_a_terminal_are_escaped(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_bytes(b'pitch,speed_mph\n"\x1b[2Jcurve",77\nx,\x1b[31m80\n')
    code, out, err = run("fit", str(path), "--base", "two-grips")
    assert code == 2
    assert_clean(out + err)
