"""The command line: answers on stdout, trouble on stderr, and the exit status that belongs to each.

A few cases run the installed command, the others the same function in this process.
"""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from commands import COMMAND, Run, assert_clean

from latebreak.service.scenario import ready_names
from latebreak.service.scenario.starter import starter_text

#: A run of some hundred throws takes a second, most of it the start; this is for a machine that is busy.
PATIENCE = 60


def installed(*words: str) -> tuple[int, str, str]:
    """Run the installed command: exit status, stdout, stderr."""
    done = subprocess.run(
        [COMMAND, *words], capture_output=True, text=True, timeout=PATIENCE, check=False, encoding="utf-8"
    )
    return done.returncode, done.stdout, done.stderr


# --- the installed command ------------------------------------------------------------------------------------------
def test_help() -> None:
    code, out, err = installed("--help")
    assert (code, err) == (0, "")
    for word in ("fly", "compare", "new", "SCENARIO", "latebreak compare two-grips"):
        assert word in out


def test_fly_by_a_ready_name(run: Run) -> None:
    code, out, err = run("fly", "two-grips", "--throws", "300")
    assert (code, err) == (0, "")
    assert "flight time" in out
    assert " mph" in out
    assert "\x1b" not in out  # no colours where nobody looks


def test_compare_by_a_path_as_json(file: Callable[[str], str]) -> None:
    code, out, err = installed("compare", file(starter_text("base")), "--json", "--seed", "11", "--throws", "160")
    assert (code, err) == (0, "")
    answer = json.loads(out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))
    assert (answer["command"], answer["seed"], answer["throws"]) == ("compare", 11, 160)
    assert set(answer["result"]["pitches"]) == {"curve"}
    assert out.isascii()  # for every terminal and pipe


def test_bad_input_of_the_installed_command(file: Callable[[str], str]) -> None:
    code, out, err = installed("fly", file(starter_text("base").replace("74.0", "900")))
    assert (code, out) == (2, "")
    assert "pitch.curve.speed_mph: 900 mph" in err
    assert_clean(err)


def test_no_such_file(run: Run) -> None:
    code, out, err = run("compare", "no-such-scenario")
    assert (code, out) == (3, "")
    assert "no-such-scenario" in err
    assert "two-grips" in err
    assert_clean(err)


def test_new_then_compare_then_refused(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The way of a new user, from an empty folder to the first answer."""
    monkeypatch.chdir(tmp_path)
    code, out, err = run("new", "my-curve")
    assert (code, err) == (0, "")
    assert "my-curve.toml" in out
    code, out, err = run("compare", "my-curve.toml", "--throws", "160")
    assert (code, err) == (0, "")
    assert "miss chance, per swing" in out
    assert "leaves the fastball's tunnel" in out
    before = (tmp_path / "my-curve.toml").read_bytes()
    code, out, err = run("new", "my-curve")
    assert (code, out) == (3, "")
    assert "my-curve.toml" in err
    assert_clean(err)
    assert (tmp_path / "my-curve.toml").read_bytes() == before


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes and signals there")
@pytest.mark.parametrize(
    "words", [["fly", "two-grips", "--throws", "300"], ["compare", "two-grips", "--json"], ["--help"]]
)
def test_a_reader_who_has_seen_enough(words: list[str]) -> None:
    """As in `latebreak fly two-grips | head -1`, with a reader who is gone before the first line."""
    with subprocess.Popen([COMMAND, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        err = process.stderr.read()
        assert process.wait(PATIENCE) == 0
    assert err == ""


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes and signals there")
@pytest.mark.usefixtures("interruptible")
@pytest.mark.parametrize("command", ["fly", "compare"])
def test_an_interrupt_ends_a_long_run(command: str) -> None:
    """A hundred million throws take minutes; Ctrl-C ends them within seconds, without a traceback."""
    words = [str(COMMAND), command, "two-grips", "--throws", "100000000"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        time.sleep(2.5)  # past the start; no later moment matters, for the run is nowhere near its end
        assert process.poll() is None
        process.send_signal(signal.SIGINT)
        sent = time.monotonic()
        out, err = process.communicate(timeout=PATIENCE)
        assert time.monotonic() - sent < 10.0
    assert (process.returncode, out) == (130, "")
    assert "interrupted" in err
    assert_clean(err)


# --- answers --------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", ready_names())
@pytest.mark.parametrize("command", ["fly", "compare"])
def test_every_ready_scenario_answers(run: Run, command: str, name: str) -> None:
    faster = ["--no-interval"] if command == "compare" else []
    code, out, err = run(command, name, "--throws", "160", *faster)
    assert (code, err) == (0, "")
    assert "seed" in out
    code, out, err = run(command, name, "--throws", "160", "--json", *faster)
    assert (code, err) == (0, "")
    assert json.loads(out)["throws"] == 160


def test_the_seed_decides(run: Run) -> None:
    one, again, other = (
        run("fly", "two-grips", "--json", "--throws", "160", "--seed", seed)[1] for seed in ("5", "5", "6")
    )
    assert one == again
    assert json.loads(one)["result"] != json.loads(other)["result"]


def test_the_options_of_compare(run: Run) -> None:
    code, out, _ = run("compare", "staff", "--throws", "160", "--pitches", " curve , sinker ", "--json")
    assert code == 0
    assert '"low"' in out
    assert json.loads(out)["result"]["better"]["measure"] == "mix_strike_without_contact_percent"
    assert set(json.loads(out)["result"]["pitches"]) == {"curve", "sinker"}
    code, out, _ = run("compare", "staff", "--throws", "160", "--no-interval", "--json")
    assert code == 0
    assert '"low"' not in out
    assert '"chance_percent"' not in out


@pytest.mark.parametrize("words", [["-h"], ["fly", "--help"], ["compare", "-h"], ["new", "--help"], ["--version"]])
def test_help_of_every_command(run: Run, words: list[str]) -> None:
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    assert "latebreak" in out


def test_a_warning_is_no_failure(run: Run, file: Callable[[str], str]) -> None:
    code, out, err = run("fly", file(starter_text("base").replace("2320", "4500")), "--throws", "160")
    assert (code, err) == (0, "")
    assert "Warning: pitch.curve.spin_rpm: 4500 rpm" in out


def test_the_young_are_cautioned(run: Run) -> None:
    for command in ("fly", "compare"):
        assert "advises against breaking balls" in " ".join(run(command, "youth-46ft", "--throws", "160")[1].split())


# --- any terminal ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_name_that_the_terminal_lacks_is_written_with_replacement(file: Callable[[str], str], encoding: str) -> None:
    scenario = file(starter_text("base").replace('title = "base"', 'title = "\u6295\u624b \u00d8degaard"'))
    done = subprocess.run(
        [COMMAND, "fly", scenario, "--throws", "16"], capture_output=True, timeout=PATIENCE, check=False,
        env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"")
    first = done.stdout.decode(encoding).splitlines()[0]
    assert first == ("?? ?degaard" if encoding == "ascii" else "?? \u00d8degaard")
    assert b"flight time" in done.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="no such shell there")
@pytest.mark.parametrize(
    ("words", "status"),
    [("fly two-grips --throws 16 >&-", 0), ("--help >&- 2>&-", 0), ("fly no-such-scenario 2>&-", 3)],
)
def test_streams_that_are_closed(words: str, status: int) -> None:
    done = subprocess.run(
        ["sh", "-c", f"exec '{COMMAND}' {words}"], capture_output=True, text=True, timeout=PATIENCE, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (status, "", "")


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes there")
def test_nobody_reads_the_message() -> None:
    with subprocess.Popen(
        [COMMAND, "fly", "no-such-scenario"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stderr is not None
        process.stderr.close()
        assert process.wait(PATIENCE) == 3
