"""Answers and throws as tables: every number is there once, text is safe, and nothing else is written over."""

import csv
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import latebreak.service.questions as ask
from latebreak.service.questions import Answer
from latebreak.service.tabular.answers import COLUMNS, KIND, rows_of, write_answer
from latebreak.service.tabular.parquet import ParquetError
from latebreak.service.tabular.throws import write_throws
from latebreak.service.tabular.writer import check_place
from latebreak.service.throws import Throws, flag_outliers, read_throws
from latebreak.service.writing import OutputFileError

FEW: dict[str, Any] = {"throws": 64, "intervals": False}
QUESTIONS: dict[str, Callable[[], Answer[Any]]] = {
    "fly": lambda: ask.fly("two-grips", throws=64),
    "compare": lambda: ask.compare("two-grips", counts=True, hitters=True, **FEW),
    "aim": lambda: ask.aim("two-grips", pitch="curve_spike", **FEW),
    "mix": lambda: ask.mix("two-grips", **FEW),
    "levers": lambda: ask.levers("two-grips", pitch="curve_spike", **FEW),
    "reach": lambda: ask.reach("two-grips", pitch="curve_spike", measure="late_break_in", goal="+0.2", **FEW),
    "fit": lambda: ask.fit("april", later="june", base="left-eleven-to-five", throws_per_pitch=64),
}


def numbers(found: Any) -> Iterator[float]:
    """Every number of a JSON object, but for the lines of flags."""
    if isinstance(found, dict):
        for key, one in found.items():
            yield from () if key in ("flagged", "unreadable") else numbers(one)
    elif isinstance(found, list):
        for one in found:
            yield from numbers(one)
    elif isinstance(found, (int, float)) and not isinstance(found, bool):
        yield float(found)


def rows(table: Path) -> list[dict[str, str]]:
    with table.open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_number_of_an_answer_is_in_its_table_once(question: str) -> None:
    result = QUESTIONS[question]().to_dict()["result"]
    told = list(rows_of(result))
    assert all(len(row) == len(COLUMNS) for row in told)
    cells = [cell for row in told for cell in row[3:7] if cell is not None]
    assert sorted(cells) == sorted(numbers(result))
    places = [tuple(row[:3]) for row in told]
    assert len(set(places)) == len(places)
    assert all(row[2] for row in told)


def test_a_long_table_of_a_comparison(tmp_path: Path) -> None:
    answer = ask.compare("two-grips", throws=64)
    write_answer(tmp_path / "table.csv", answer)
    told = {(row["part"], row["pitch"], row["measure"]): row for row in rows(tmp_path / "table.csv")}
    estimate = answer.result.pitches["curve_spike"]["late_break_in"]
    row = told["pitches", "curve_spike", "late_break_in"]
    assert [float(row[key]) for key in ("value", "low", "high")] == [estimate.value, estimate.low, estimate.high]
    assert row["unit"] == "in"
    assert told["mixes.curve_spike", "fastball", "swing_percent"]["unit"] == "%"
    assert told["better.difference", answer.result.better.pitch or "", answer.result.better.measure]["unit"] == "%"


def test_units_are_those_of_the_number() -> None:
    told = {tuple(row[:3]): row for row in rows_of(QUESTIONS["reach"]().to_dict()["result"])}
    assert told["levers.change", "curve_spike", "speed_mph"][7] == "mph"
    assert told["levers.speed_mph.measure_there", "curve_spike", "late_break_in"][7] == "in"
    told = {tuple(row[:3]): row for row in rows_of(QUESTIONS["mix"]().to_dict()["result"])}
    assert told["curves.1", "fastball", "share_percent"][3] == 5.0
    assert told["today", "fastball", "shares_percent"][7] == "%"


def test_an_answer_is_written_over_and_nothing_else_is(tmp_path: Path) -> None:
    answer: Answer[Any] = QUESTIONS["fly"]()
    table, mine = tmp_path / "table.csv", tmp_path / "mine.csv"
    write_answer(table, answer)
    write_answer(table, answer)
    mine.write_text("pitch,measure,value\ncurve,speed,80\n")
    with pytest.raises(OutputFileError, match="no table of a latebreak answer"):
        write_answer(mine, answer)
    assert mine.read_text().startswith("pitch,measure,value\n")


def thrown(name: str = "curve") -> Throws:
    return Throws(
        "a.csv",
        np.array([2, 3]),
        (name, "fastball"),
        ("April", None),
        (None, "stretch"),
        {"speed_mph": np.array([78.1, np.nan]), "spin_rpm": np.array([2500.0, 2300.0])},
    )


def test_throws_are_read_again_as_they_were(tmp_path: Path) -> None:
    files = [flag_outliers(read_throws(name, hand="left"), level="professional") for name in ("april", "june")]
    write_throws(tmp_path / "all.csv", files, ["april", "june"])
    again = read_throws(tmp_path / "all.csv", hand="left")
    assert again.pitch == files[0].pitch + files[1].pitch
    assert again.sessions == ("april", "june")
    for key, column in again.values.items():
        np.testing.assert_array_equal(column, np.concatenate([one.values[key] for one in files]))


def test_cells_that_are_not_used_are_empty_and_text_is_no_formula(tmp_path: Path) -> None:
    write_throws(tmp_path / "t.csv", [thrown("=2+3")], ["a"])
    first, second = rows(tmp_path / "t.csv")
    assert (first["pitch"], first["session"], first["speed_mph"]) == ("'=2+3", "April", "78.1")
    assert (second["session"], second["delivery"], second["speed_mph"]) == ("", "stretch", "")
    assert (second["file"], second["line"]) == ("a.csv", "3")


def test_throws_of_ones_own_are_not_written_over(tmp_path: Path) -> None:
    mine = tmp_path / "mine.csv"
    mine.write_text("pitch,session,delivery,speed_mph\ncurve,April,stretch,78.1\n")
    with pytest.raises(OutputFileError, match="no table of throws"):
        write_throws(mine, [thrown()], ["a"])


def test_parquet_without_its_library_is_said_before_the_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("pyarrow", "pyarrow.parquet"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(ParquetError, match=r"pip install 'latebreak\[parquet\]'"):
        check_place(tmp_path / "table.parquet", KIND)


@pytest.mark.slow
def test_parquet(tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    write_answer(tmp_path / "t.parquet", QUESTIONS["fly"]())
    write_answer(tmp_path / "t.parquet", QUESTIONS["fly"]())
    found = parquet.read_table(tmp_path / "t.parquet")
    assert found.column_names == list(COLUMNS)
    assert found.to_pylist()[0]["measure"] == "flight_time_s"
    write_throws(tmp_path / "throws.parquet", [thrown()], ["a"])
    assert parquet.read_table(tmp_path / "throws.parquet").to_pylist()[1] == {
        "pitch": "fastball", "session": None, "delivery": "stretch", "speed_mph": None, "spin_rpm": 2300.0,
        "file": "a.csv", "line": 3,
    }  # fmt: skip
    mine = tmp_path / "mine.parquet"
    mine.write_bytes(b"mine")
    with pytest.raises(OutputFileError):
        check_place(mine, KIND)
