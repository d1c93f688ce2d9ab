"""`latebreak sweep`: a table of what-ifs, whatever comes between."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from commands import COMMAND, Run, assert_clean, rows

#: s: the first answer takes some seconds, for the workers start and import; this is for a machine that is busy.
PATIENCE = 120

SPEED = "pitch.curve.speed_mph"
FEW = ("--question", "fly", "--throws", "16")


def files(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


# --- the table ------------------------------------------------------------------------------------------------------
def test_a_grid_with_the_installed_command(here: Path) -> None:
    words = ["sweep", "base.toml", "--grid", f"{SPEED}=72:76:2", "--grid", "pitcher.hand=right,both", *FEW]
    done = subprocess.run(
        [COMMAND, *words, "-o", "table.csv", "--workers", "1"],
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("wrote table.csv: 4 what-ifs, 6 rows\n2 what-ifs at fault")
    assert "Caution: Build up gradually" in done.stdout  # the sweep asks what more speed would do
    found = rows(here / "table.csv")
    assert [(row[SPEED], row["pitch"]) for row in found] == [
        ("72.0", "fastball"), ("72.0", "curve"), ("72.0", ""), ("76.0", "fastball"), ("76.0", "curve"), ("76.0", ""),
    ]  # fmt: skip
    assert float(found[1]["flight_time_s"]) > float(found[4]["flight_time_s"]) > float(found[0]["flight_time_s"])
    assert float(found[1]["induced_vertical_break_in"]) < 0.0  # written as a number, not as text
    assert "'both' is not one of the choices" in found[2]["status"]
    assert files(here) == {"base.toml", "table.csv"}


def test_a_comparison_as_json(run: Run, here: Path, threads: list[int | None]) -> None:
    listing = here / "list.csv"
    listing.write_text(f"{SPEED},hitter.expects.fastball\n78,\n,0.75\n,1.5\n")
    words = ["--list", "list.csv", "--measures", "late_break_in, miss_chance_percent", "--throws", "16", "--seed", "3"]
    code, out, err = run("sweep", "base.toml", *words, "-o", "table.csv", "--workers", "1", "--json")
    assert (code, err) == (0, "")
    answer = json.loads(out)
    assert (answer["command"], answer["seed"], answer["throws"]) == ("sweep", 3, 16)
    assert answer["result"]["table"] == "table.csv"
    assert [answer["result"][key] for key in ("what_ifs", "rows", "answered", "at_fault", "resumed")] == [3, 3, 2, 1, 0]
    assert "hitter.expects" in answer["result"]["first_message"]
    assert threads == [1]
    found = rows(here / "table.csv")
    assert list(found[0]) == [
        SPEED, "hitter.expects.fastball", "pitch",
        "late_break_in", "late_break_in_low", "late_break_in_high", "late_break_in_sampling_error",
        "miss_chance_percent", "miss_chance_percent_low", "miss_chance_percent_high",
        "miss_chance_percent_sampling_error",
        "better", "chance_percent", "status", "warnings",
    ]  # fmt: skip
    assert [row["status"] for row in found[:2]] == ["answered", "answered"]
    assert (found[0][SPEED], found[1][SPEED], found[0]["better"]) == ("78", "", "curve")
    assert float(found[0]["late_break_in_low"]) < float(found[0]["late_break_in_high"])


@pytest.mark.slow
def test_without_intervals_in_parquet(run: Run, here: Path, threads: list[int | None]) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    words = ["--grid", "air.altitude_m=0,1600", "--no-interval", "--pitches", "curve", "--throws", "16"]
    code, _, err = run("sweep", "base.toml", *words, "-o", "table.parquet")
    assert (code, err) == (0, "")
    table = parquet.read_table(here / "table.parquet")
    assert not [name for name in table.column_names if name.endswith(("_low", "_high")) or name == "chance_percent"]
    sea, mile = table.to_pylist()
    assert (sea["air.altitude_m"], mile["air.altitude_m"]) == (0, 1600)
    assert sea["late_break_in"] > mile["late_break_in"] > 0.0  # thin air bends a pitch less


def test_parquet_without_its_library(
    run: Run, here: Path, threads: list[int | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("pyarrow", "pyarrow.parquet"):
        monkeypatch.setitem(sys.modules, name, None)
    code, out, err = run("sweep", "base.toml", "--grid", "seed=1,2", *FEW, "-o", "table.parquet")
    assert (code, out) == (3, "")
    assert "pip install 'latebreak[parquet]'" in err
    assert files(here) == {"base.toml"}


def test_a_scheduler_without_its_library(run: Run, here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    words = ["--scheduler", "tcp://127.0.0.1:8786"]
    code, out, err = run("sweep", "base.toml", "--grid", "seed=1,2", *FEW, "-o", "table.csv", *words)
    assert (code, out) == (3, "")
    assert "pip install 'latebreak[cluster]'" in err
    assert files(here) == {"base.toml"}


# --- faults ---------------------------------------------------------------------------------------------------------
GRID = ["--grid", f"{SPEED}=72:76:2"]
TABLE = ["-o", "table.csv"]
BAD_WORDS: list[tuple[list[str], list[str]]] = [
    ([*TABLE], ["nothing is swept", "--grid KEY=A:B:N"]),
    ([*GRID], ["-o"]),
    (["--grid", "pitch.curve.sped_mph=1,2", "--grid", "air.altitud_m=1:2:2", *TABLE], ["speed_mph", "altitude_m"]),
    (["--grid", "pitch.crve.speed_mph=1,2", *TABLE], ["'crve'", "did you mean curve"]),
    (["--grid", f"{SPEED}=70:80", *TABLE], ["'70:80' is not a range", "70:80:5"]),
    (["--grid", f"{SPEED}=70:80:2000", "--grid", "seed=0:999:1000", *TABLE], ["2,000,000 what-ifs", "1,000,000"]),
    ([*GRID, "--grid", "pitch.curve.speed_kmh=110,120", *TABLE], ["exclude each other", "one of the two"]),
    ([*GRID, *GRID, *TABLE], ["swept twice"]),
    (["--grid", "seed=1,2", "--seed", "3", *TABLE], ["seed", "swept, and given"]),
    ([*GRID, "--measures", "late_brake_in", *TABLE], ["'late_brake_in'", "did you mean late_break_in"]),
    ([*GRID, "--pitches", "slider", *TABLE], ["'slider'", "'curve'"]),
    ([*GRID, "--question", "fly", "--no-interval", *TABLE], ["belong to compare"]),
    ([*GRID, "--question", "levers", *TABLE], ["'levers'", "compare"]),
    ([*GRID, "--throws", "0", *TABLE], ["throws: 0 is out of range"]),
    ([*GRID, "--workers", "0", *TABLE], ["--workers"]),
    ([*GRID, "--scheduler", "tcp://192.0.2.7:8786", *TABLE], ["a cluster executes code", "tls://HOST:PORT"]),
    ([*GRID, "--scheduler", "here", *TABLE], ["'here' is not the address"]),
    ([*GRID, "--scheduler", "tls://192.0.2.7:8786", *TABLE], ["needs the certificate", "--tls-ca"]),
    ([*GRID, "--scheduler", "tcp://127.0.0.1:1", "--workers", "2", *TABLE], ["--workers is for this machine"]),
    ([*GRID, "--tls-ca", "ca.pem", *TABLE], ["belong to --scheduler"]),
    (["--grid", "pitch.\x1b[2J=1", *TABLE], ["\\x1b"]),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), BAD_WORDS, ids=[f"{number}" for number in range(len(BAD_WORDS))])
def test_bad_words(run: Run, here: Path, threads: list[int | None], words: list[str], said: list[str]) -> None:
    if "tls://192.0.2.7:8786" in words:
        pytest.importorskip("distributed", reason="dask.distributed is not installed (extra cluster)")
    before = (here / "base.toml").read_bytes()
    code, out, err = run("sweep", "base.toml", *words)
    assert (code, out) == (2, ""), err
    assert all(word in err for word in said), err
    assert_clean(err)
    assert threads == []  # nothing was asked
    assert files(here) == {"base.toml"}
    assert (here / "base.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("place", "said"),
    [
        (".", "is a folder"),
        ("none/table.csv", "there is no folder none"),
        ("base.toml", "exists already, is no table of latebreak sweep and is not overwritten"),
    ],
)
def test_places_where_no_table_can_stand(
    run: Run, here: Path, threads: list[int | None], place: str, said: str
) -> None:
    before = (here / "base.toml").read_bytes()
    code, out, err = run("sweep", "base.toml", *GRID, "-o", place)
    assert (code, out) == (3, ""), err
    assert said in err
    assert_clean(err)
    assert threads == []  # nothing was asked
    assert files(here) == {"base.toml"}
    assert (here / "base.toml").read_bytes() == before


def test_a_list_that_is_not_there(run: Run, here: Path) -> None:
    code, out, err = run("sweep", "base.toml", "--list", "none.csv", *TABLE)
    assert (code, out) == (3, "")
    assert "none.csv can't be read" in err


def test_a_sweep_without_a_single_answer(run: Run, here: Path, threads: list[int | None]) -> None:
    code, out, err = run("sweep", "base.toml", "--grid", f"{SPEED}=900,901", *FEW, *TABLE)
    assert (code, out) == (2, "")
    assert "no answer to 2 what-ifs; table.csv says why; the first: pitch.curve.speed_mph: 900 mph" in err
    assert [row["status"][:21] for row in rows(here / "table.csv")] == [SPEED, SPEED]


def test_a_bug_in_one_what_if_ends_in_status_1(
    run: Run, here: Path, threads: list[int | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*words: object, **named: object) -> None:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr("latebreak.service.sweep.asking.fly", broken)
    code, _, err = run("sweep", "base.toml", *GRID, *FEW, *TABLE)
    assert code == 1
    assert "please report it" in err
    assert "2 what-ifs met it; table.csv has the messages" in err
    assert "ZeroDivisionError" in rows(here / "table.csv")[0]["status"]


def test_a_journal_of_another_sweep(run: Run, here: Path, threads: list[int | None]) -> None:
    (here / "table.csv.part").write_text("my notes\n")
    code, out, err = run("sweep", "base.toml", *GRID, *FEW, *TABLE)
    assert (code, out) == (3, "")
    assert "table.csv.part" in err
    assert (here / "table.csv.part").read_text() == "my notes\n"


# --- interrupted ----------------------------------------------------------------------------------------------------
def children(process: int) -> list[int]:
    """Processes that a process has started."""
    listed = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    return [int(child) for child in listed]


def runs(process: int) -> bool:
    """Whether a process is still there, and not only its exit status."""
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def wait_for(happened: Callable[[], bool]) -> None:
    end = time.monotonic() + PATIENCE
    while not happened():
        assert time.monotonic() < end, "it takes too long"
        time.sleep(0.05)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc")
@pytest.mark.usefixtures("interruptible")
def test_interrupted_twice_and_taken_up_again(run: Run, here: Path, threads: list[int | None]) -> None:
    """Ctrl-C as a terminal sends it, to the workers too; then an end that nothing can catch; then in peace."""
    words = ["sweep", "base.toml", "--grid", f"{SPEED}=70:80:60", "--question", "fly", "--throws", "10000"]
    part, log = here / "table.csv.part", here / "table.csv.part-wal"
    finished = 0
    for number in (signal.SIGINT, signal.SIGKILL):
        with subprocess.Popen(
            [COMMAND, *words, *TABLE, "--workers", "1"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        ) as process:
            wait_for(lambda: log.exists() and log.stat().st_size > 10 * 4096)  # grows with what is added
            workers = children(process.pid)
            assert workers
            if number == signal.SIGINT:
                os.killpg(process.pid, number)
                out, err = process.communicate(timeout=PATIENCE)
                assert (process.returncode, out, err.strip()) == (130, "", "interrupted")
            else:
                process.kill()
            wait_for(lambda: not any(map(runs, workers)))  # noqa: B023 - called at once
        assert not (here / "table.csv").exists()
        with closing(sqlite3.connect(part)) as journal:
            (found,) = journal.execute("SELECT count(*) FROM outcome").fetchone()
        assert finished < found < 60
        finished = found
    code, out, err = run(*words, *TABLE, "--json")
    assert (code, err) == (0, "")
    result = json.loads(out)["result"]
    assert (result["what_ifs"], result["answered"], result["rows"]) == (60, 60, 120)
    assert result["resumed"] == finished
    assert files(here) == {"base.toml", "table.csv"}
