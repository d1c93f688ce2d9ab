"""The table of a sweep on disk."""

import csv
from contextlib import suppress
from pathlib import Path

import pytest

from latebreak.service.sweep.asking import ANSWERED, Ask, Outcome
from latebreak.service.sweep.table import check_place, columns_of, new_table, rows_of
from latebreak.service.sweep.what_ifs import Axis, WhatIfs
from latebreak.service.tabular.writer import csv_cell
from latebreak.service.writing import OutputFileError

SOFTWARE = {"latebreak": "1.2.3", "numpy": "2.0", "force law odd_lift": "odd 1.0, values 3f2a"}
ASK = Ask({"": {"title": "t", "pitch": {}}}, ("miss_chance_percent",), software=SOFTWARE)
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
