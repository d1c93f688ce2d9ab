"""`latebreak columns`: a map for a foreign file, which `fit` then takes."""

import tomllib
from pathlib import Path

import pytest
from commands import Run

#: A device of nobody: words, metric, semicolons, decimal commas.
HEADER = (
    "Date;No.;Pitch type;Velocity;Spin rate;Spin clock;Eff;Release height;Release side;Extension;"
    "Break vertical;Break horizontal;Remark"
)


@pytest.fixture
def device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    lines = [HEADER]
    for n in range(12):
        fast = f"14{n % 4},2;22{10 + n};12:5{n % 6};0,9{n % 7};1,8{n % 5};-0,5{n % 6};1,8{n % 8};4{n % 3},1;-2{n % 4},2"
        slow = f"12{n % 3},4;24{10 + n};7:0{n % 8};0,7{n % 6};1,8{n % 4};-0,5{n % 5};1,7{n % 6};-3{n % 4},0;1{n % 5},9"
        lines += [f"2026-05-01;{2 * n};Heater;{fast};", f"2026-05-01;{2 * n + 1};Bender;{slow};slipped"]
    path = tmp_path / "device.csv"
    path.write_text("\n".join(lines), encoding="utf-8-sig")
    return path


def test_from_a_foreign_file_to_a_fit(run: Run, device: Path) -> None:
    code, shown, err = run("columns", "device.csv")
    assert (code, err) == (0, "")
    assert set(tomllib.loads(shown)["columns"]) == set(HEADER.split(";")) - {"No.", "Remark"}
    code, out, err = run("columns", "device.csv", "-o", "MAP.toml")
    assert (code, err) == (0, "")
    assert "latebreak fit device.csv --base SCENARIO --columns MAP.toml" in out
    assert Path("MAP.toml").read_text() == shown
    code, out, err = run("fit", "device.csv", "--base", "two-grips", "--columns", "MAP.toml", "-o", "my.toml")
    assert (code, err) == (0, "")
    assert "24 rows read, 24 used, 0 left out" in out
    heater = tomllib.loads(Path("my.toml").read_text())["pitch"]["Heater"]
    assert heater["speed_mph"] == pytest.approx(141.7 / 1.609344, abs=0.1)  # km/h
    assert heater["release_height_ft"] == pytest.approx(1.82 / 0.3048, abs=0.05)  # m


def test_a_map_is_not_written_over_what_is_there(run: Run, device: Path) -> None:
    Path("MAP.toml").write_text("mended by hand")
    code, out, err = run("columns", "device.csv", "-o", "MAP.toml")
    assert (code, out) == (3, "")
    assert "MAP.toml exists already and is not overwritten" in err
    assert Path("MAP.toml").read_text() == "mended by hand"


@pytest.mark.parametrize(
    ("content", "status", "said"),
    [
        (b"", 2, "the file is empty"),
        (b'a,b\n"x', 2, "never closed"),
        (b"\xff\xfea\x00", 2, "UTF-16"),
        (None, 3, "is neither a file nor a ready bullpen"),
    ],
)
def test_files_that_can_t_be_read(run: Run, device: Path, content: bytes | None, status: int, said: str) -> None:
    if content is not None:
        Path("odd.csv").write_bytes(content)
    code, out, err = run("columns", "odd.csv")
    assert (code, out) == (status, "")
    assert said in err
