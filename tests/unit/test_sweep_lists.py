"""What is swept, as written: grids, lists, and their product."""

import csv
import io
from itertools import pairwise, product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latebreak.engine.errors import InputError
from latebreak.service.sweep.grid import read_grid, read_value
from latebreak.service.sweep.listing import ListFileError, read_list
from latebreak.service.sweep.what_ifs import MOST, Axis, WhatIfs

SCENARIO: dict[str, Any] = {"pitch": {"curve": {}, "a=b": {}}}


def values(text: str) -> list[object]:
    return [row[0] for row in read_grid(text, SCENARIO).rows]


def test_equal_steps_with_both_ends() -> None:
    assert values("pitch.curve.speed_mph=70:80:5") == [70.0, 72.5, 75.0, 77.5, 80.0]
    assert values("pitch.curve.gyro_deg=20:-20:3") == [20.0, 0.0, -20.0]
    assert values(" hitter.familiarity = 0.1 : 0.5 : 5 ") == [0.1, 0.2, 0.3, 0.4, 0.5]  # as one would type them
    assert values("air.altitude_m=1600:1600:1") == [1600.0]


@given(st.floats(-1e6, 1e6, allow_subnormal=False), st.floats(-1e6, 1e6, allow_subnormal=False), st.integers(2, 200))
def test_steps_are_equal_whatever_the_ends(first: float, last: float, count: int) -> None:
    found = read_grid(f"air.altitude_m={first!r}:{last!r}:{count}", SCENARIO).rows
    numbers = [float(row[0]) for row in found if row[0] is not None]
    assert len(numbers) == count
    assert (numbers[0], numbers[-1]) == (first, last)
    step = (last - first) / (count - 1)
    # each value is rounded once, by half a unit in the last place of numbers up to 1e6 (computed: 2^-53 of 1e6 each)
    assert all(abs(b - a - step) <= 4 * 2**-53 * 1e6 for a, b in pairwise(numbers))


def test_lists_of_numbers_words_clocks_and_flags() -> None:
    assert values("pitch.curve.spin_rpm=2400, 2500,2600.5") == [2400, 2500, 2600.5]
    assert values("pitcher.hand=left,right") == ["left", "right"]
    assert values("pitch.curve.break_clock=6:30,7:00") == ["6:30", "7:00"]
    assert values("pitch.curve.break_clock=6:30") == ["6:30"]
    assert values("pitch.curve.reference=true,false") == [True, False]
    assert values('pitch."a=b".speed_mph=70,71') == [70, 71]
    assert values("title=12") == ["12"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("pitch.curve.speed_mph", ["KEY=A:B:N"]),
        ("pitch.curve.speed_mph=", ["lacks a value"]),
        ("pitch.curve.speed_mph=70,,80", ["lacks a value"]),
        ("pitch.curve.speed_mph=70:80:0", ["'70:80:0' is not a range"]),
        ("pitch.curve.speed_mph=70:80:-2", ["is not a range"]),
        ("pitch.curve.speed_mph=70:80:2.5", ["is not a range"]),
        ("pitch.curve.speed_mph=70:80:5:6", ["is not a range"]),
        ("pitch.curve.speed_mph=nan:80:5", ["is not a range"]),
        ("pitch.curve.speed_mph=1e999:80:5", ["is not a range"]),
        ("pitch.curve.speed_mph=70:80:1", ["both ends"]),
        ("pitch.curve.speed_mph=70:80:2000000", ["2,000,000 values", "1,000,000"]),
        ("pitch.curve.break_clock=6:00:8:00:5", ["pitch.curve.break_clock_deg=A:B:N"]),
        ("=3", ["KEY=A:B:N"]),
        ("pitch.my curve.speed_mph=3", ["KEY=A:B:N"]),
    ],
)
def test_grids_that_are_not_written_so(text: str, words: list[str]) -> None:
    with pytest.raises(InputError) as found:
        read_grid(text, SCENARIO)
    assert all(word in str(found.value) for word in words), str(found.value)


def test_values_that_are_no_numbers_stay_text_for_the_validation() -> None:
    for text in ("fast", "nan", "inf", "1e999", "0x10", "1_0", "9" * 5000, "70 mph"):
        assert read_value(text, "number") == text
    assert read_value("9" * 19, "number") == 1e19  # more than 64 bits hold


@given(st.lists(st.integers(1, 4), min_size=1, max_size=4))
def test_the_product_runs_over_the_last_axis_fastest(sizes: list[int]) -> None:
    keys = ["pitch.curve.speed_mph", "pitch.curve.spin_rpm", "air.altitude_m", "hitter.familiarity"][: len(sizes)]
    axes = tuple(Axis((key,), tuple((n,) for n in range(size))) for key, size in zip(keys, sizes, strict=True))
    what_ifs = WhatIfs(axes)
    assert what_ifs.faults() == []
    expected = [dict(zip(keys, point, strict=True)) for point in product(*map(range, sizes))]
    assert list(what_ifs) == expected == what_ifs[:]
    assert what_ifs[-1] == expected[-1]
    with pytest.raises(IndexError):
        what_ifs[len(expected)]


def test_too_many_what_ifs() -> None:
    thousand = tuple((n,) for n in range(1001))
    axes = (Axis(("air.altitude_m",), thousand), Axis(("hitter.familiarity",), thousand[:1000]))
    (fault,) = WhatIfs(axes).faults()
    assert "1,001,000 what-ifs" in fault.problem
    assert f"{MOST:,}" in fault.allowed
    exactly = (axes[1], Axis(("air.altitude_m",), thousand[:1000]))
    assert WhatIfs(exactly).faults() == []


def test_keys_of_two_axes_that_exclude_each_other() -> None:
    one = Axis(("air.altitude_m",), ((0,),))
    for key in ("air.altitude_m", "air.pressure_hpa", "air.altitude_ft"):
        assert len(WhatIfs((one, Axis((key,), ((1,),)))).faults()) == 1
    # in a list a row may fill either cell
    assert WhatIfs((Axis(("air.altitude_m", "air.pressure_hpa"), ((0, None), (None, 900))),)).faults() == []


# --- lists ----------------------------------------------------------------------------------------------------------
def write(path: Path, *rows: list[str]) -> Path:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    path.write_text(text.getvalue(), encoding="utf-8-sig", newline="")  # as a spreadsheet saves it
    return path


def test_a_list_with_empty_cells(tmp_path: Path) -> None:
    axis = read_list(
        write(
            tmp_path / "list.csv",
            ["pitch.curve.speed_mph", "pitch.curve.break_clock", 'pitch."a=b".spin_rpm'],
            ["71.5", "6:30", "2400"],
            [],
            ["", " 7:00 ", ""],
        ),
        SCENARIO,
    )
    assert axis.rows == ((71.5, "6:30", 2400), (None, "7:00", None))
    assert WhatIfs((axis,))[1] == {"pitch.curve.break_clock": "7:00"}


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([], ["empty"]),
        ([["pitch.curve.speed_mph"]], ["no row below"]),
        ([["pitch.curve.sped_mph", "pitch.crve.speed_mph"], ["1", "2"]], ["did you mean speed_mph", "'crve'"]),
        ([["air.altitude_m", "air.altitude_m"], ["1", "2"]], ["heads two columns"]),
        ([["air.altitude_m", ""], ["1", "2"]], ["is not a key path"]),
        ([["air.altitude_m"], ["1", "2"], ["1"], ["1", "2", "3"]], ["row 2", "row 4", "3 cells below 1"]),
    ],
)
def test_lists_at_fault(tmp_path: Path, rows: list[list[str]], words: list[str]) -> None:
    with pytest.raises(InputError) as found:
        read_list(write(tmp_path / "list.csv", *rows), SCENARIO)
    assert all(word in str(found.value) for word in words), str(found.value)
    assert "list.csv" in str(found.value)


@pytest.mark.parametrize("content", [b"\xff\xfe", b'"never closed', b"\x00\x01"])
def test_what_is_no_csv(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"list\.csv"):
        read_list(path, SCENARIO)


def test_a_list_that_is_not_there(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path, Path("\x00")):
        with pytest.raises(ListFileError, match="can't be read"):
            read_list(path, SCENARIO)
