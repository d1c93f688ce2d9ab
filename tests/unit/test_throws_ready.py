"""Ready throws and ready column maps, and reading them from files."""

from pathlib import Path

import numpy as np
import pytest

from latebreak.service.throws import flag_outliers, read_throws, ready_column_maps, ready_throws
from latebreak.service.throws import loading as throws_loading


def test_every_ready_bullpen_is_read() -> None:
    for name, path in ready_throws().items():
        assert path.name == f"{name}.csv"
        throws = read_throws(name, name if name in ready_column_maps() else None, hand="right")
        judged = flag_outliers(throws)
        assert len(judged) > 0
        assert judged.rows == throws.rows
        assert throws.source == name


def test_a_ready_name_is_found_and_a_file_of_that_name_comes_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ready, here = tmp_path / "ready", tmp_path / "here"
    ready.mkdir()
    here.mkdir()
    (ready / "pen.csv").write_text("Type,Velo\ncurve,125\n")
    (ready / "pen.columns.toml").write_text('[columns]\nType = "pitch"\nVelo = "speed_kmh"\n')
    monkeypatch.setattr(throws_loading, "ready_throws", lambda: {"pen": ready / "pen.csv"})
    monkeypatch.setattr(throws_loading, "ready_column_maps", lambda: {"device": ready / "pen.columns.toml"})
    monkeypatch.chdir(here)
    assert read_throws("pen", "device").values["speed_mph"][0] == pytest.approx(77.67, abs=0.01)  # 125 km/h
    (here / "pen").write_text("Type,Velo\ncurve,100\ncurve,100\n")
    assert len(read_throws("pen", "device")) == 2


def test_a_map_may_be_a_path_or_a_table(tmp_path: Path) -> None:
    (tmp_path / "pen.csv").write_text("Type,Velo\ncurve,125\n")
    (tmp_path / "map.toml").write_text('\ufeff[columns]\nType = "pitch"\nVelo = {key = "speed_mph", unit = "km/h"}\n')
    table = {"columns": {"Type": "pitch", "Velo": {"key": "speed_mph", "unit": "km/h"}}}
    by_path = read_throws(tmp_path / "pen.csv", tmp_path / "map.toml")
    by_table = read_throws(str(tmp_path / "pen.csv"), table)
    np.testing.assert_array_equal(by_path.values["speed_mph"], by_table.values["speed_mph"])
