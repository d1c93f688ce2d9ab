"""Ready scenarios and the starter: they load, without a warning, and say what their names promise."""

from pathlib import Path

import pytest

from latebreak.engine.errors import InputError
from latebreak.service.scenario import load, parse, ready_names, reference_fastball
from latebreak.service.scenario.cautions import cautions
from latebreak.service.scenario.starter import starter_text, write_starter
from latebreak.service.writing import OutputFileError


@pytest.mark.parametrize("name", ready_names())
def test_a_ready_scenario_loads_without_warning(name: str) -> None:
    loaded = load(name)
    assert loaded.warnings == ()
    assert loaded.source == name
    assert reference_fastball(loaded.scenario) is not None
    assert len(loaded.scenario.pitch) > 1


def test_the_ready_scenarios_are_there() -> None:
    expected = {
        "two-grips", "left-eleven-to-five", "youth-46ft", "thin-air", "topspin-twelve-to-six", "gyro-curve", "staff",
    }  # fmt: skip
    assert expected <= set(ready_names())


def test_names_keep_their_promise() -> None:
    curve = load("left-eleven-to-five").scenario.pitch["curve"]
    assert curve.break_clock_deg == 150.0  # 5:00
    youth = load("youth-46ft").scenario
    assert youth.field.rubber_to_plate_ft == 46.0
    assert all(entry.role != "breaking" for entry in youth.pitch.values())
    assert "advises against breaking balls" in " ".join(cautions(youth.pitcher, proposes_more=False))
    altitude = load("thin-air").scenario.air.altitude_m
    assert altitude is not None
    assert altitude > 1500.0


def test_right_handers_release_at_a_negative_side() -> None:
    for name in ready_names():
        scenario = load(name).scenario
        sign = -1.0 if scenario.pitcher.hand == "right" else 1.0
        assert all(entry.release_side_ft * sign > 0.0 for entry in scenario.pitch.values()), name


def test_a_file_comes_before_a_ready_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("staff").write_text(starter_text("mine"), encoding="utf-8")
    assert load("staff").scenario.title == "mine"


def test_the_starter_is_a_scenario_without_a_warning() -> None:
    loaded = parse(starter_text("my-curve"))
    assert loaded.warnings == ()
    assert loaded.scenario.title == "my-curve"
    assert reference_fastball(loaded.scenario) == "fastball"


def test_what_the_starter_leaves_as_a_comment_is_valid_too() -> None:
    lines = starter_text("all").splitlines()
    live = [
        line.removeprefix("# ") if line.startswith(("# [", "# ")) and ("=" in line or "# [" in line) else line
        for line in lines
    ]
    loaded = parse("\n".join(live))
    assert loaded.warnings == ()
    assert loaded.scenario.hitter.expects == {"fastball": 0.6, "curve": 0.4}
    assert loaded.scenario.pitch["curve"].spread.break_clock_deg == 6.0


def test_a_starter_is_written_once(tmp_path: Path) -> None:
    path = write_starter("my-curve", tmp_path)
    assert path == tmp_path / "my-curve.toml"
    assert load(path).scenario.title == "my-curve"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(OutputFileError, match="exists already"):
        write_starter("my-curve.toml", tmp_path)
    assert path.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    "name", ["", ".", "..", "a/b", "../up", "a\\b", "/etc/x", "a\nb", "\x1b[2J", "x" * 81, "-o", 'a"b', "a."]
)
def test_a_starter_needs_a_plain_name(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not a plain file name"):
        write_starter(name, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_starter_for_a_missing_folder_is_file_trouble(tmp_path: Path) -> None:
    with pytest.raises(OutputFileError, match=r"can't be written"):
        write_starter("mine", tmp_path / "nowhere")
