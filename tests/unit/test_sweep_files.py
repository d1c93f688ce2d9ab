"""Table and journal of a sweep on disk."""

import csv
import json
import os
import subprocess
import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest

from latebreak.service.sweep.asking import ANSWERED, Ask, Outcome
from latebreak.service.sweep.journal import JournalError, journal_beside
from latebreak.service.sweep.table import check_place, columns_of, new_table, rows_of
from latebreak.service.sweep.what_ifs import Axis, WhatIfs
from latebreak.service.tabular.writer import csv_cell
from latebreak.service.writing import OutputFileError

SOFTWARE = {"latebreak": "1.2.3", "numpy": "2.0", "force law odd_lift": "odd 1.0, values 3f2a"}
ASK = Ask({"title": "t", "pitch": {}}, ("miss_chance_percent",), software=SOFTWARE)
WHAT_IFS = WhatIfs((Axis(("pitch.curve.speed_mph",), ((70.5,), (71,), (-1.0,))), Axis(("pitcher.hand",), (("=1",),))))
NUMBERS = {
    "miss_chance_percent": -12.345678901234567,
    "miss_chance_percent_low": 0.1,
    "miss_chance_percent_high": None,
    "miss_chance_percent_sampling_error": 1e-300,
}
GOOD = Outcome(ANSWERED, {"curve": NUMBERS, "-slow": NUMBERS}, "curve", 87.5, ("unusual", "very"))
BAD = Outcome("pitch.curve.speed_mph: -1 mph is outside", {})
OUTCOMES = [GOOD, GOOD, BAD]


# --- the table ------------------------------------------------------------------------------------------------------
def write(path: Path, what_ifs: WhatIfs = WHAT_IFS, ask: Ask = ASK) -> None:
    with new_table(path, ask, what_ifs) as put:
        for number, outcome in enumerate(OUTCOMES):
            for row in rows_of(ask, what_ifs, number, outcome):
                put(row)


def test_a_csv_table(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    write(table, what_ifs=WhatIfs(WHAT_IFS.axes[:1]))
    write(table)  # over that of last week
    assert [path.name for path in tmp_path.iterdir()] == ["table.csv"]
    with table.open(newline="", encoding="utf-8") as file:
        head, *rows = csv.reader(file)
    assert head == [
        "pitch.curve.speed_mph", "pitcher.hand", "pitch", *NUMBERS, "better", "chance_percent", "status", "warnings",
    ]  # fmt: skip
    numbers = ["-12.345678901234567", "0.1", "", "1e-300"]
    assert rows == [
        ["70.5", "'=1", "curve", *numbers, "curve", "87.5", ANSWERED, "unusual | very"],
        ["70.5", "'=1", "'-slow", *numbers, "curve", "87.5", ANSWERED, "unusual | very"],
        ["71", "'=1", "curve", *numbers, "curve", "87.5", ANSWERED, "unusual | very"],
        ["71", "'=1", "'-slow", *numbers, "curve", "87.5", ANSWERED, "unusual | very"],
        ["-1.0", "'=1", "", "", "", "", "", "", "", BAD.status, ""],
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_text_that_a_spreadsheet_would_run(start: str) -> None:
    cell = csv_cell(f"{start}cmd|' /C calc'!A0")
    assert isinstance(cell, str)
    assert cell.startswith("'")
    assert cell.isprintable()


def test_numbers_stay_numbers() -> None:
    for number in (-1.5, -3, 0.0, 1e-300, 2**62):
        assert csv_cell(number) == number
    assert csv_cell(None) is None
    assert (csv_cell(True), csv_cell(False)) == ("true", "false")
    assert csv_cell("right") == "right"


@pytest.mark.slow
def test_a_parquet_table(tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    table = tmp_path / "table.parquet"
    hand = Axis(("pitcher.hand", "pitch.curve.reference", "seed", "throws"), (("=1", True, 2**62, "many\x1b"),))
    write(table, WhatIfs((WHAT_IFS.axes[0], hand)))
    read = parquet.read_table(table)
    types = {name: str(kind) for name, kind in zip(read.schema.names, read.schema.types, strict=True)}
    assert types == {
        "pitch.curve.speed_mph": "double",  # whole and broken numbers together
        "pitcher.hand": "string",
        "pitch.curve.reference": "bool",
        "seed": "int64",
        "throws": "string",
        "pitch": "string",
        **dict.fromkeys(NUMBERS, "double"),
        "better": "string",
        "chance_percent": "double",
        "status": "string",
        "warnings": "string",
    }
    rows = read.to_pylist()
    assert [row["pitch"] for row in rows] == ["curve", "-slow", "curve", "-slow", None]
    assert rows[0] == {
        "pitch.curve.speed_mph": 70.5, "pitcher.hand": "=1", "pitch.curve.reference": True, "seed": 2**62,
        "throws": "many\\x1b", "pitch": "curve", **NUMBERS, "better": "curve", "chance_percent": 87.5,
        "status": ANSWERED, "warnings": "unusual | very",
    }  # fmt: skip
    assert rows[-1]["miss_chance_percent"] is None
    assert rows[-1]["status"] == BAD.status


@pytest.mark.slow
def test_many_row_groups(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    monkeypatch.setattr("latebreak.service.tabular.parquet.ROW_GROUP", 2)
    table = tmp_path / "table.parquet"
    write(table)
    assert parquet.ParquetFile(table).num_row_groups == 3
    assert len(parquet.read_table(table)) == 5


def test_columns_follow_the_question() -> None:
    plain = Ask({}, ("miss_chance_percent",), intervals=False)
    assert columns_of(plain, WHAT_IFS)[2:] == [
        "pitch", "miss_chance_percent", "miss_chance_percent_sampling_error", "better", "status", "warnings",
    ]  # fmt: skip
    flown = Ask({}, ("flight_time_s",), question="fly")
    endings = ("", "_sd", "_low", "_high", "_sampling_error")
    assert columns_of(flown, WHAT_IFS)[2:] == [
        "pitch", *(f"flight_time_s{ending}" for ending in endings), "status", "warnings",
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["table.csv", "table.parquet"])
def test_a_table_that_is_not_completed_leaves_the_old_one(tmp_path: Path, name: str) -> None:
    if name.endswith(".parquet"):
        pytest.importorskip("pyarrow.parquet")
    table = tmp_path / name
    write(table)
    before = table.read_bytes()
    with suppress(KeyboardInterrupt), new_table(table, ASK, WHAT_IFS) as put:
        put(next(rows_of(ASK, WHAT_IFS, 0, GOOD)))
        raise KeyboardInterrupt
    assert table.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [name]


COLUMNS = ",".join(columns_of(ASK, WHAT_IFS))


@pytest.mark.parametrize(
    "content",
    ["", "the table of last week", "pitch", "status,warnings", "pitch,status,warnings", COLUMNS + ",notes",
     COLUMNS.replace("pitch,miss", "pitcher,miss"), "a,pitch,speed,status,warnings", "\x00", "\xff\xfe"],
)  # fmt: skip
def test_what_is_no_table_of_ours_is_left_alone(tmp_path: Path, content: str) -> None:
    for name in ("season.csv", "season.tsv"):
        table = tmp_path / name
        table.write_text(content, encoding="latin-1")
        before = table.read_bytes()
        with pytest.raises(OutputFileError, match="no table of latebreak sweep and is not overwritten"):
            check_place(table)
        with pytest.raises(OutputFileError), new_table(table, ASK, WHAT_IFS):
            pass
        assert table.read_bytes() == before
    table.write_text(COLUMNS + "\n")
    check_place(table)


def test_a_parquet_table_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    arrow = pytest.importorskip("pyarrow")
    parquet = pytest.importorskip("pyarrow.parquet")
    (tmp_path / "a.parquet").write_text(COLUMNS)
    parquet.write_table(arrow.table({"pitch": [1], "status": [2]}), tmp_path / "b.parquet")
    for name in ("a.parquet", "b.parquet"):
        with pytest.raises(OutputFileError, match="no table of latebreak sweep"):
            check_place(tmp_path / name)


# --- the journal ----------------------------------------------------------------------------------------------------
def kept(table: Path, *numbers: int, ask: Ask = ASK, what_ifs: WhatIfs = WHAT_IFS) -> list[int]:
    """Add outcomes, leave as an interrupt does, and return what was there before."""
    with suppress(KeyboardInterrupt), journal_beside(table, ask, what_ifs) as journal:
        before = [number for number in range(len(what_ifs)) if number in journal]
        for number in before:
            assert journal.outcome(number) == OUTCOMES[number]
        for number in numbers:
            journal.add(number, OUTCOMES[number])
            assert journal.outcome(number) == OUTCOMES[number]
        raise KeyboardInterrupt
    return before


def test_what_is_finished_is_kept_to_the_last_digit(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    assert kept(table, 2) == []
    assert kept(table) == [2]
    assert kept(table, 0) == [2]
    with journal_beside(table, ASK, WHAT_IFS) as journal:
        assert journal.finished == 2
        assert journal.outcome(0) == GOOD  # repr of a float reads back as the same float
        journal.add(1, GOOD)
    assert list(tmp_path.iterdir()) == []  # it ended well, so the journal has gone


def test_nothing_finished_leaves_nothing(tmp_path: Path) -> None:
    kept(tmp_path / "table.csv")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("cut", [1, 2, 30, 100])
def test_a_last_line_that_is_cut_off_is_dropped(tmp_path: Path, cut: int) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 2, 0)
    part.write_bytes(part.read_bytes()[:-cut])
    assert kept(table, 1) == [2]
    assert kept(table, 0) == [1, 2]
    assert kept(table) == [0, 1, 2]


def test_a_damaged_line_is_asked_again(tmp_path: Path) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0, 1, 2)
    lines = part.read_bytes().split(b"\n")
    for damage in (b"\x00" * 40, b"{}", b'[0,"answered",{"curve":[1]},null,null,[]]', b"[99]", lines[1][:-1] + b",1]"):
        part.write_bytes(b"\n".join([lines[0], damage, *lines[2:]]))
        assert kept(table) == [1, 2]


def test_a_first_line_that_is_cut_off_is_no_journal_yet(tmp_path: Path) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0)
    part.write_bytes(part.read_bytes()[:50])
    assert kept(table, 1) == []
    assert kept(table) == [1]


@pytest.mark.parametrize(
    ("ask", "what_ifs", "words"),
    [
        (Ask({"title": "u"}, ASK.measures, software=SOFTWARE), WHAT_IFS, ["scenario"]),
        (Ask(ASK.scenario, ASK.measures, seed=3, software=SOFTWARE), WHAT_IFS, ["options"]),
        (Ask(ASK.scenario, ("late_break_in",), software=SOFTWARE), WHAT_IFS, ["options"]),
        (ASK, WhatIfs(WHAT_IFS.axes[::-1]), ["what-ifs"]),
        (ASK, WhatIfs(WHAT_IFS.axes[:1]), ["what-ifs"]),
    ],
)
def test_a_journal_of_another_sweep_is_refused(tmp_path: Path, ask: Ask, what_ifs: WhatIfs, words: list[str]) -> None:
    table, part = tmp_path / "table.csv", tmp_path / "table.csv.part"
    kept(table, 0)
    before = part.read_bytes()
    with pytest.raises(JournalError) as found, journal_beside(table, ask, what_ifs):
        pass
    assert all(word in str(found.value) for word in ["table.csv.part", "another sweep", *words])
    assert part.read_bytes() == before


@pytest.mark.parametrize(
    ("here", "words"),
    [
        ({"latebreak": "1.2.4"}, "latebreak 1.2.4 instead of 1.2.3"),
        ({"numpy": "2.1"}, "numpy 2.1 instead of 2.0"),
        ({"force law odd_lift": "odd 1.0, values 77b0"}, "values 77b0 instead of odd 1.0, values 3f2a"),
        ({"hitter model odd": "odd 1.0"}, "is more"),
    ],
)
def test_what_other_software_has_computed_is_said_and_asked_again(
    tmp_path: Path, here: dict[str, str], words: str
) -> None:
    table, said = tmp_path / "table.csv", list[str]()
    kept(table, 0, 1)
    other = replace(ASK, software={**SOFTWARE, **here})
    with suppress(KeyboardInterrupt), journal_beside(table, other, WHAT_IFS, said.append) as journal:
        assert journal.finished == 0
        journal.add(2, BAD)
        raise KeyboardInterrupt
    (sentence,) = said
    assert "table.csv.part was computed by other software" in sentence
    assert words in sentence
    assert "the sweep starts again" in sentence
    assert kept(table, ask=other) == [2]


@pytest.mark.parametrize("content", [b"my notes\n", b"\x00" * 100, b"[]\n", b"{}\n", b'{"journal of": 1}'])
def test_a_file_that_is_no_journal_is_left_alone(tmp_path: Path, content: bytes) -> None:
    part = tmp_path / "table.csv.part"
    part.write_bytes(content)
    with pytest.raises(JournalError, match="move it away"), journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS):
        pass
    assert part.read_bytes() == content


def test_a_journal_is_written_through_no_link(tmp_path: Path) -> None:
    victim = tmp_path / "season.csv"
    victim.write_text("")  # an empty file could pass for a new journal
    (tmp_path / "table.csv.part").symlink_to(victim)
    with pytest.raises(JournalError, match="is a link"), journal_beside(tmp_path / "table.csv", ASK, WHAT_IFS):
        pass
    assert victim.read_text() == ""


@pytest.mark.skipif(sys.platform == "win32", reason="no such limits there")
def test_a_full_disk_keeps_what_is_finished(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    assert kept(table, 0) == []
    size = (tmp_path / "table.csv.part").stat().st_size
    add = (
        "import resource, sys; from pathlib import Path; from test_sweep_files import kept; "
        "resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]),) * 2); kept(Path(sys.argv[1]), 1)"
    )
    paths = os.pathsep.join([str(Path(__file__).parent), *filter(None, sys.path)])
    done = subprocess.run(
        [sys.executable, "-c", add, str(table), str(size + 50)],
        capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": paths},
    )  # fmt: skip
    last = done.stderr.splitlines()[-1]
    assert "JournalError" in last
    assert "table.csv.part can't be written: File too large; what is finished is kept" in last
    assert kept(table) == [0]


def test_one_sweep_at_a_time_writes_a_table(tmp_path: Path) -> None:
    """The lock goes with the process, however it ends; here it is held by another one, then that is killed."""
    table = tmp_path / "table.csv"
    hold = (
        "import sys; from latebreak.service.sweep.lock import lock; file = open(sys.argv[1], 'a+b'); "
        "assert lock(file, sys.argv[1]); print('held', flush=True); sys.stdin.read()"
    )
    path = json.dumps(sys.path)
    with subprocess.Popen(
        [sys.executable, "-c", f"import sys; sys.path = {path}; {hold}", str(table) + ".part"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "held\n"
        with pytest.raises(JournalError, match="just now"), journal_beside(table, ASK, WHAT_IFS):
            pass
        holder.kill()
    assert kept(table, 0) == []
