"""Faulty files of measured throws: one clear message or a flag for each, counts that add up, no other exception."""

# ruff: noqa: E501 - the cases read as a table, one a line

import codecs
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from latebreak.engine.errors import InputError, LatebreakError
from latebreak.service.scenario.section import Hand
from latebreak.service.throws import Throws, ThrowsFileError, flag_outliers, parse_throws, read_throws
from latebreak.service.throws import reading as throws_reading
from latebreak.service.throws import rows as throws_rows

HEADER = "pitch,speed_mph,spin_rpm,break_clock\n"
ROW = "curve,78.1,2510,7:05\n"
GOOD = HEADER + ROW + "curve,77.4,2480,7:10\n"
MAP = {"columns": {"Type": "pitch", "Velo": {"key": "speed_mph", "unit": "km/h"}}}


def fault_of(content: str | bytes, column_map: object = None) -> str:
    with pytest.raises(InputError) as caught:
        parse(content, column_map)
    assert all(line.isprintable() for line in str(caught.value).split("\n"))
    return str(caught.value)


def parse(content: str | bytes, column_map: Any = None, hand: Hand | None = None) -> Throws:
    return parse_throws(content if isinstance(content, bytes) else content.encode(), column_map, "pen.csv", hand)


# The whole input is refused: content, then what the message must name.
REFUSED: dict[str, Any] = {
    "empty": ("", ["the file is empty", "header row"]),
    "blank lines only": ("\n \r\n\n", ["the file is empty"]),
    "byte-order mark only": (codecs.BOM_UTF8, ["the file is empty"]),
    "header only": (HEADER, ["no row below the header", "add the throws"]),
    "header and blank rows": (HEADER + ",,,\n\n", ["no row below the header"]),
    "UTF-16": (GOOD.encode("utf-16"), ["UTF-16", "save the file as CSV in UTF-8"]),
    "UTF-16 without mark": (GOOD.encode("utf-16-le"), ["line 1", "zero byte", "UTF-8"]),
    "Latin-1": ((GOOD + "cambió,78,2500,7:05\n").encode("latin-1"), ["line 4", "0xf3", "UTF-8"]),
    "spreadsheet workbook": (b"PK\x03\x04\x14\x00\x06\x00", ["workbook", "CSV"]),
    "compressed": (b"\x1f\x8b\x08\x00", ["compressed"]),
    "binary": (bytes(range(256)), ["zero byte", "binary"]),
    "zero byte in a cell": (HEADER + ROW + "curve,78\0.1,2500,7:05\n", ["line 3", "zero byte"]),
    "no pitch": ("speed_mph,spin_rpm\n78,2500\n", ["column 'pitch'", "missing", "add a column pitch", "[columns]"]),
    "pitch misspelt": ("Pitches,speed_mph\ncurve,78\n", ["column 'pitch'", "[columns] 'Pitches' = 'pitch'"]),
    "nothing measured": ("pitch,velo\ncurve,78\n", ["no column holds a measured quantity", "speed_mph", "--columns"]),
    "header of no names": (",,,\ncurve,78,2500,7:05\n", ["the header row is empty"]),
    "no header": (ROW, ["column 'pitch'", "no column holds"]),
    "duplicate header": ("pitch,speed_mph,speed_mph\ncurve,78,78\n", ["column 'speed_mph'", "stands 2 times (columns 2, 3)", "rename"]),
    "both units": ("pitch,speed_mph,speed_kmh\ncurve,78,125\n", ["'speed_mph' and 'speed_kmh' hold speed_mph both", "remove one"]),
    "clock and degrees": ("pitch,break_clock,break_clock_deg\ncurve,7:05,212\n", ["hold break_clock_deg both"]),
    "other delimiter than the map's": (GOOD, ["is the delimiter right?"], {"delimiter": ";"}),
    "all text in a number": ("pitch,speed_mph\ncurve,fast\ncurve,slow\n", ["column 'speed_mph'", "none of its cells", "'fast' is not a number", "right column"]),
    "clocks in degrees": ("pitch,break_clock_deg\ncurve,7:05\n", ["'7:05' is a clock time", "name it break_clock"]),
    "degrees in clocks": ("pitch,break_clock\ncurve,212\n", ["'212' is not a clock time"]),
    "nothing but gaps": ("pitch,speed_mph\ncurve,\ncurve,NA\n", ["nothing is measured in any row"]),
    "unterminated quote": (HEADER + ROW + 'curve,"78.1,2500,7:05\n' + ROW, ["line 3", "never closed"]),
    "text after a quote": (HEADER + 'curve,"78"1,2500,7:05\n', ["line 2", "closing quote"]),
    "quote in the header": ('"pitch,speed_mph\ncurve,78\n', ["line 1", "never closed"]),
    "huge cell": (HEADER + "curve," + "7" * 200_000 + ",2500,7:05\n", ["line 2", "too long", "131,072"]),
    "every row ragged": (HEADER + "curve,78,1,2510,7:05\n", ["none of its rows is a throw", "has 5 cells where the header has 4", "comma in a number"]),
    "no row names its pitch": (HEADER + ",78,2500,7:05\n", ["none of its rows is a throw", "does not say which pitch"]),
    "a pitch a row": ("pitch,speed_mph\n" + "".join(f"{i},78\n" for i in range(1001)), ["column 'pitch'", "1,001 different names", "at most 1,000"]),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_a_faulty_file_is_refused_with_what_where_and_remedy(case: str) -> None:
    content, words, *column_map = REFUSED[case]
    message = fault_of(content, *column_map)
    assert all(line.startswith("pen.csv: ") for line in message.split("\n"))
    for word in words:
        assert word in message


# The run goes on: rows below HEADER, rows in the file, rows used; line, key and words of one flag.
FLAGGED = {
    "text in a number": ("curve,fast,2500,7:05\n", 2, 2, 3, "speed_mph", "'fast' is not a number"),
    "unit in a cell": ("curve,78 mph,2500,7:05\n", 2, 2, 3, "speed_mph", "'78 mph' is not a number"),
    "infinite": ("curve,inf,2500,7:05\n", 2, 2, 3, "speed_mph", "'inf' is not a finite number"),
    "beyond floating point": ("curve,1e999,2500,7:05\n", 2, 2, 3, "speed_mph", "'1e999' is not a finite number"),
    "Python's own number": ("curve,7_8,2500,7:05\n", 2, 2, 3, "speed_mph", "'7_8' is not a number"),
    "formula": ("curve,=B2*1.6,2500,7:05\n", 2, 2, 3, "speed_mph", "'=B2*1.6' is a formula"),
    "formula for a name": ("=A2,78,2500,7:05\n", 2, 1, 3, "", "'=A2' is a formula"),
    "control character": ("curve,\x1b[31m,2500,7:05\n", 2, 2, 3, "speed_mph", "x1b[31m' is not a number"),
    "name with a control character": ("cur\x07ve,78,2500,7:05\n", 2, 1, 3, "", "is no name: 1 to 40 printable characters"),
    "name too long": ("c" * 41 + ",78,2500,7:05\n", 2, 1, 3, "", "is no name"),
    "clock time in a number": ("curve,7:05,2500,7:05\n", 2, 2, 3, "speed_mph", "a clock time in a column of numbers"),
    "thirteen o'clock": ("curve,78,2500,13:05\n", 2, 2, 3, "break_clock_deg", "'13:05' is not a clock time such as 7:05"),
    "sixty minutes": ("curve,78,2500,7:60\n", 2, 2, 3, "break_clock_deg", "'7:60' is not a clock time"),
    "degrees among clocks": ("curve,78,2500,212\n", 2, 2, 3, "break_clock_deg", "'212' is not a clock time"),
    "too few cells": ("curve,78\n", 2, 1, 3, "", "has 2 cells where the header has 4"),
    "too many cells": ("curve,78,2500,7:05,9\n", 2, 1, 3, "", "has 5 cells where the header has 4"),
    "no pitch": (",78,2500,7:05\n", 2, 1, 3, "", "does not say which pitch"),
    "nothing measured": ("curve,,NA,-\n", 2, 1, 3, "", "nothing is measured"),
    "nothing readable": ("curve,x,y,z\n", 2, 1, 3, "", "nothing is measured"),
    "repeated header": (HEADER, 2, 1, 3, "", "repeats the header"),
    "quote over two lines": ('curve,78,"2500\n7:05"\n', 2, 1, 3, "", "a quoted cell runs on to line 4"),
    "line number after a long cell": ('"curve",78,2500,"7:05\n"\ncurve,x,2500,7:05\n', 3, 3, 5, "speed_mph", "'x' is not a number"),
}  # fmt: skip


@pytest.mark.parametrize("case", FLAGGED)
def test_a_faulty_row_or_cell_is_flagged_and_counts_add_up(case: str) -> None:
    rows, in_file, used, line, key, words = FLAGGED[case]
    throws = parse(HEADER + ROW + rows)
    assert len(throws) == used
    assert throws.rows == in_file
    flag = next(flag for flag in throws.flags if (flag.line, flag.key) == (line, key))
    assert words in flag.reason
    assert flag.reason.isprintable()
    assert flag.left_out == (key == "")
    assert "not used" in flag.reason
    if not flag.left_out:
        assert flag.pitch == "curve"
        assert math.isnan(throws.values[key][throws.line == line].item())


# Read without a flag, for all its looks.
SANE: dict[str, str | bytes] = {
    "as it should be": GOOD,
    "byte-order mark": codecs.BOM_UTF8 + GOOD.encode(),
    "Windows lines": GOOD.replace("\n", "\r\n"),
    "old Macintosh lines": GOOD.replace("\n", "\r"),
    "no last line end": GOOD.rstrip("\n"),
    "blank lines": "\n\n" + GOOD.replace("\n", "\n\n") + "\n , , ,\n",
    "trailing commas": GOOD.replace("\n", ",,,\n"),
    "trailing commas below the header": HEADER + ROW.replace("\n", ",,\n") + "curve,77.4,2480,7:10,\n",
    "quoted cells": GOOD.replace("78.1", '"78.1"').replace("curve", '"curve"'),
    "spaces": GOOD.replace(",", " , "),
    "capitals in the header": GOOD.replace(HEADER, HEADER.upper()),
    "tabs": GOOD.replace(",", "\t"),
    "semicolons": GOOD.replace(",", ";"),
    "bars": GOOD.replace(",", "|"),
    "semicolons and decimal commas": GOOD.replace(",", ";").replace(".", ","),
    "told delimiter": "sep=;\n" + GOOD.replace(",", ";"),
    "clocks as a spreadsheet writes them": GOOD.replace("7:05", "07:05:00").replace("7:10", "7:10 AM"),
    "thousands": GOOD.replace("2510", '"2,510"'),
    "plus and exponent": GOOD.replace("78.1", "+7.81e1"),
}


@pytest.mark.parametrize("case", SANE)
def test_what_only_looks_odd_is_read(case: str) -> None:
    throws = parse(SANE[case])
    assert throws.flags == ()
    assert throws.pitch == ("curve", "curve")
    np.testing.assert_allclose(throws.values["speed_mph"], [78.1, 77.4], rtol=1e-15)
    np.testing.assert_allclose(throws.values["spin_rpm"], [2510.0, 2480.0], rtol=0.0)
    np.testing.assert_allclose(throws.values["break_clock_deg"], [212.5, 215.0], rtol=0.0)


def test_one_throw_is_a_table() -> None:
    throws = parse(HEADER + ROW)
    assert (len(throws), throws.rows, throws.count("curve")) == (1, 1, 1)
    assert flag_outliers(throws).flags == ()


def test_semicolons_and_decimal_commas_are_said() -> None:
    throws = parse(SANE["semicolons and decimal commas"])
    assert any("semicolons" in warning and "decimal commas" in warning for warning in throws.warnings)


def test_a_number_with_two_readings_among_decimal_commas_is_not_guessed() -> None:
    throws = parse("pitch;speed_mph;spin_rpm\ncurve;78,1;2,510\ncurve;77,4;2480\ncurve;77,4;2.470\n")
    assert [(flag.line, flag.key) for flag in throws.flags] == [(2, "spin_rpm"), (4, "spin_rpm")]
    assert "'2,510' can be 2.51 or 2510 rpm" in throws.flags[0].reason
    np.testing.assert_array_equal(throws.values["spin_rpm"], [np.nan, 2480.0, np.nan])


def test_where_only_one_reading_is_possible_it_is_taken() -> None:
    throws = parse("pitch;speed_mph;release_height_ft\ncurve;78,1;5,912\ncurve;77,4;5,931\n")
    assert throws.flags == ()
    np.testing.assert_array_equal(throws.values["release_height_ft"], [5.912, 5.931])


def test_the_map_settles_decimal_commas() -> None:
    content = "pitch;speed_mph;spin_rpm\ncurve;78,1;2.510\ncurve;77;2480\n"
    throws = parse(content, {"decimal_comma": True})
    np.testing.assert_array_equal(throws.values["spin_rpm"], [2510.0, 2480.0])
    throws = parse(content, {"decimal_comma": False})
    assert "'78,1' is not a number" in throws.flags[0].reason


def test_unknown_columns_are_named_and_not_used() -> None:
    throws = parse("pitch,speed_mph,spin_rate_rpm,notes\ncurve,78,2500,good\n")
    assert list(throws.values) == ["speed_mph"]
    (warning,) = throws.warnings
    assert "'spin_rate_rpm' (did you mean spin_rpm?), 'notes'" in warning


def test_thousands_of_columns_are_ignored_in_one_warning() -> None:
    names = ",".join(f"extra {i}" for i in range(5000))
    throws = parse(f"pitch,speed_mph,{names}\ncurve,78,{',' * 4999}\n")
    assert len(throws) == 1
    assert "'extra 9' and 4990 more" in throws.warnings[0]


def test_words_for_missing_are_counted() -> None:
    throws = parse(HEADER + ROW + "curve,NA,NaN,\ncurve,78,null,-\n")
    assert throws.flags[0].reason.startswith("nothing is measured")
    assert "these count as not measured: NA (1), NaN (1), null (1), - (1)" in throws.warnings


def test_names_that_differ_in_capitals_only_are_warned_about() -> None:
    throws = parse(HEADER + ROW + ROW.replace("curve", "Curve"))
    assert throws.pitches == ("curve", "Curve")
    assert "'curve' and 'Curve' count as different pitches" in throws.warnings[0]


def test_sessions_and_deliveries() -> None:
    rows = "curve,78,May 4,Wind up\ncurve,77,,stretch\ncurve,79,April 2,slide\ncurve,79,May 4,\n"
    throws = parse("pitch,speed_mph,session,delivery\n" + rows)
    assert throws.session == ("May 4", None, "April 2", "May 4")
    assert throws.sessions == ("May 4", "April 2")
    assert throws.delivery == ("wind_up", "stretch", None, None)
    (flag,) = throws.flags
    assert (flag.line, flag.key, flag.left_out) == (4, "delivery", False)
    assert "'slide' is no delivery (wind_up or stretch)" in flag.reason


# Column maps: the map, then what the message must name.
FAULTY_MAPS = {
    "no table": ([1], ["not a table of keys"]),
    "unknown table": ({"column": {}}, ["column", "unknown key", "did you mean columns?"]),
    "unknown key": ({"columns": {"Velo": "sped_mph"}}, ["columns.Velo.key", "'sped_mph' is no key", "did you mean speed_mph"]),
    "key missing": ({"columns": {"Velo": {"unit": "mph"}}}, ["columns.Velo.key", "missing"]),
    "unknown word in an entry": ({"columns": {"Velo": {"key": "speed_mph", "units": "mph"}}}, ["columns.Velo.units", "did you mean unit?"]),
    "unknown unit": ({"columns": {"Velo": {"key": "speed_mph", "unit": "knots"}}}, ["columns.Velo.unit", "'knots' is no unit of speed_mph", "mph, km/h, m/s, ft/s"]),
    "unit of another quantity": ({"columns": {"Velo": {"key": "speed_mph", "unit": "rpm"}}}, ["'rpm' is no unit of speed_mph"]),
    "unit of a word": ({"columns": {"Type": {"key": "pitch", "unit": "mph"}}}, ["'mph' is no unit of pitch", "leave unit out"]),
    "unknown view": ({"columns": {"Side": {"key": "release_side_ft", "view": "batter"}}}, ["columns.Side.view", "'batter'", "catcher", "arm_side"]),
    "view of a height": ({"columns": {"Up": {"key": "release_height_ft", "view": "pitcher"}}}, ["columns.Up.view", "release_height_ft has no view"]),
    "arm side of a clock": ({"columns": {"Axis": {"key": "break_clock", "view": "arm_side"}}}, ["columns.Axis.view", "pitcher, catcher"]),
    "arm side without a hand": ({"columns": {"Side": {"key": "release_side_ft", "view": "arm_side"}}}, ["columns.Side.view", "needs the pitcher's hand"]),
    "number for a key": ({"columns": {"Velo": 3}}, ["columns.Velo", "3 is not a table"]),
    "delimiter": ({"delimiter": ":"}, ["delimiter", "':'", '"tab"']),
    "decimal comma": ({"decimal_comma": "yes"}, ["decimal_comma", "neither true nor false"]),
    "name of a pitch": ({"pitches": {"CU": "c" * 41}}, ["pitches.CU", "1 to 40 printable characters"]),
}  # fmt: skip


@pytest.mark.parametrize("case", FAULTY_MAPS)
def test_a_faulty_column_map_is_refused(case: str) -> None:
    column_map, words = FAULTY_MAPS[case]
    message = fault_of(GOOD, column_map)
    for word in words:
        assert word in message


def test_all_faults_of_a_map_come_at_once() -> None:
    columns = {"A": "nonsense", "B": {"key": "speed_mph", "unit": "kg"}, "C": {"key": "spin_rpm", "view": "pitcher"}}
    assert len(fault_of(GOOD, {"columns": columns}).split("\n")) == 3


def test_a_column_of_the_map_that_the_file_lacks_is_a_warning() -> None:
    throws = parse(
        "Type,Velo,Height of hand\ncurve,125,5.9\n", {"columns": {**MAP["columns"], "Height hand": "speed_kmh"}}
    )
    expected = "the column map names 'Height hand', which the file does not have; did you mean Height of hand?"
    assert expected in throws.warnings


def test_a_map_to_what_a_column_already_holds_is_a_fault() -> None:
    message = fault_of("Type,Velo,speed_mph\ncurve,125,78\n", MAP)
    assert "'Velo' and 'speed_mph' hold speed_mph both" in message


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"[columns\n", "not TOML"),
        (b"", "empty"),
        (b"\xff\xfe[\x00", "UTF-16"),
        (b'[columns]\n"V\xe9lo" = "speed_mph"\n', "line 2: byte 0xe9 is not UTF-8"),
        (b"a = " + b"[" * 5000, "nested too deep"),
        (b"# " + b"x" * 100_001, "larger than 0.1 MB"),
    ],
)
def test_a_file_of_a_map_that_is_no_map(tmp_path: Path, text: bytes, words: str) -> None:
    (tmp_path / "pen.csv").write_text(GOOD)
    (tmp_path / "map.toml").write_bytes(text)
    with pytest.raises(InputError, match=words):
        read_throws(tmp_path / "pen.csv", tmp_path / "map.toml")


def test_files_that_are_not_there(tmp_path: Path) -> None:
    (tmp_path / "pen.csv").write_text(GOOD)
    with pytest.raises(ThrowsFileError, match=r"neither a file nor a ready bullpen.*did you mean pen\.csv\?"):
        read_throws(str(tmp_path / "pen"))
    with pytest.raises(ThrowsFileError, match="neither a file nor a ready column map"):
        read_throws(tmp_path / "pen.csv", "no-such-map")
    with pytest.raises(ThrowsFileError, match="can't be read"):
        read_throws(tmp_path)
    with pytest.raises(ThrowsFileError, match="can't be read"):
        read_throws("a\0b")


def test_too_many_rows(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(throws_rows, "MAX_ROWS", 5)
    assert len(parse(HEADER + 5 * ROW)) == 5
    assert "more than 5 rows" in fault_of(HEADER + 6 * ROW)


def test_far_too_many_flags_are_one_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(throws_reading, "MAX_FLAGS", 5)
    message = fault_of(GOOD + 6 * "curve,x,2500,7:05\n")
    assert "more than 5 cells or rows can't be used, such as line 4" in message


@pytest.mark.parametrize("rows", [50_000, pytest.param(1_000_000, marks=pytest.mark.slow)])
def test_many_rows_are_read_in_blocks(rows: int) -> None:
    spoilt = GOOD + (rows // 2 - 1) * (ROW + "fastball,91.2,2250,12:45\n") + "fastball,,,\nfastball,91,=1,1:00\n"
    throws = parse(spoilt)
    assert throws.rows == rows + 2
    assert throws.count("curve") == rows // 2 + 1
    assert [(flag.line, flag.key) for flag in throws.flags] == [(rows + 2, ""), (rows + 3, "spin_rpm")]
    assert sum(column.nbytes for column in throws.values.values()) == 3 * 8 * len(throws)
    assert set(np.unique(throws.values["break_clock_deg"])) == {22.5, 212.5, 215.0, 30.0}


@given(st.binary(max_size=200))
@example(b"\xef\xbb\xbf\xef\xbb\xbf")
@example(b'pitch,speed_mph\n"')
@example(b"sep=;")
@example(b"sep=;\n\n")
def test_any_bytes_give_a_table_or_a_message(content: bytes) -> None:
    _table_or_message(content)


CELL = st.one_of(
    st.text(max_size=8), st.sampled_from(["curve", "78.1", "2,500", "7:05", "", "inf", "1e308", '"', "\n", "=", "-0"])
)


@given(st.lists(st.lists(CELL, min_size=3, max_size=5), max_size=12), st.sampled_from(",;\t|"))
def test_any_cells_give_a_table_or_a_message(rows: list[list[str]], delimiter: str) -> None:
    lines = ["pitch,speed_mph,spin_rpm,break_clock".replace(",", delimiter), *map(delimiter.join, rows)]
    _table_or_message("\n".join(lines).encode("utf-8", "replace"))


def _table_or_message(content: bytes) -> None:
    message, throws = "", None
    try:
        throws = parse_throws(content, None, "pen.csv")
    except LatebreakError as error:
        message = str(error)
    if throws is None:
        assert message
        assert all(line.isprintable() for line in message.split("\n"))
        return
    judged = flag_outliers(throws)
    assert judged.rows == throws.rows
    for table in (throws, judged):
        assert all(len(column) == len(table) for column in table.values.values())
        assert all(flag.reason.isprintable() and flag.pitch.isprintable() for flag in table.flags)
        assert not any(np.isinf(column).any() for column in table.values.values())
        left_out = [flag.line for flag in table.flags if flag.left_out]
        assert len(left_out) == len(set(left_out))
        assert not set(left_out) & set(table.line.tolist())
