"""`latebreak sweep` over a folder: one table and one page, whatever is wrong with some of the files."""

import json
import sys
from pathlib import Path

import pytest
from commands import Run, rows

from latebreak.service.scenario.starter import starter_text

FLY = ("--question", "fly", "--throws", "16")


@pytest.fixture
def team(here: Path) -> Path:
    """A folder with two pitchers, three faulty files, and two that are no scenarios."""
    folder = here / "team"
    folder.mkdir()
    (folder / "ada.toml").write_text(starter_text("ada"))
    (folder / "bo.toml").write_text(starter_text("bo").replace("[pitch.curve", "[pitch.bender"))
    (folder / "fast.toml").write_text(starter_text("fast").replace("speed_mph = 7", "speed_mph = 97"))
    (folder / "half.toml").write_text('title = "half')
    (folder / "latin.toml").write_bytes(b'title = "\xff"')
    (folder / "device.columns.toml").write_text('[columns]\n"Type" = "pitch"\n')
    (folder / "hitters.toml").write_text('level = "college"\n[taught]\nlatency_ms = 104.2\n')
    (folder / "notes.txt").write_text("remember the screens")
    return folder


def test_a_folder_with_faulty_files(run: Run, team: Path, threads: list[int | None]) -> None:
    code, out, err = run("sweep", "team", *FLY, "-o", "table.csv")
    assert code == 2
    assert out.startswith("wrote table.csv: 5 what-ifs, 7 rows\n")
    assert [line.partition(": ")[0] for line in err.strip().splitlines()] == [
        "no answer for team/fast.toml", "no answer for team/half.toml", "no answer for team/latin.toml",
    ]  # fmt: skip
    found = rows(Path("table.csv"))
    assert [(row["scenario"], row["title"][:3], row["pitch"], row["status"][:8]) for row in found] == [
        ("team/ada.toml", "ada", "fastball", "answered"),
        ("team/ada.toml", "ada", "curve", "answered"),
        ("team/bo.toml", "bo", "fastball", "answered"),
        ("team/bo.toml", "bo", "bender", "answered"),
        ("team/fast.toml", "", "", "pitch.cu"),
        ("team/half.toml", "", "", "not TOML"),
        ("team/latin.toml", "", "", "byte 10 "),
    ]
    code, again, _ = run("sweep", "team", *FLY, "-o", "table.csv")  # over the table of last week
    assert (code, again) == (2, out)


def test_several_paths_as_json(run: Run, team: Path, threads: list[int | None]) -> None:
    code, out, err = run("sweep", "two-grips", "team/bo.toml", "team/bo.toml", *FLY, "-o", "table.csv", "--json")
    assert (code, err) == (0, "")
    answer = json.loads(out)
    assert (answer["title"], answer["result"]["what_ifs"], answer["result"]["without_answer"]) == ("2 scenarios", 2, {})
    assert {row["scenario"] for row in rows(Path("table.csv"))} == {"two-grips", "team/bo.toml"}


def test_what_is_swept_of_pitchers_who_do_not_all_have_it(run: Run, team: Path, threads: list[int | None]) -> None:
    for name in ("fast", "half", "latin"):
        (team / f"{name}.toml").unlink()
    grids = ["--grid", "pitch.bender.speed_mph=74,76", "--grid", "air.altitude_m=0,1600"]
    code, _, err = run("sweep", "team", *grids, *FLY, "-o", "table.csv")
    assert code == 2
    assert "no answer for team/ada.toml: pitch.bender.speed_mph: there is no pitch 'bender'" in err
    found = [row for row in rows(Path("table.csv")) if row["scenario"] == "team/bo.toml" and row["pitch"] == "bender"]
    assert [(row["pitch.bender.speed_mph"], row["air.altitude_m"]) for row in found] == [
        ("74", "0"), ("74", "1600"), ("76", "0"), ("76", "1600"),
    ]  # fmt: skip
    code, _, err = run("sweep", "team", "--grid", "pitch.knuckle.speed_mph=74,76", *FLY, "-o", "other.csv")
    assert (code, Path("other.csv").exists()) == (2, False)
    assert "there is no pitch 'knuckle'" in err


def test_a_page_beside_the_table(run: Run, team: Path, threads: list[int | None]) -> None:
    (team / "bo.toml").unlink()
    words = ["sweep", "team", "--throws", "32", "--page", "staff.html"]
    code, out, err = run(*words, "-o", "table.csv")
    assert (code, err.count("no answer for")) == (2, 3)
    assert out.startswith("wrote table.csv and staff.html: 4 what-ifs, 4 rows\n")
    assert "Caution: Build up gradually" in out  # a road asks for more
    page = Path("staff.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>")
    (found,) = (row for row in rows(Path("table.csv")) if row["pitch"] == "curve")
    assert f"{float(found['mix_strike_without_contact_percent']):.1f} %" in page
    assert found["road_lever"] == "" or float(found["road_new_value"])
    for words_of_it in ("No answer for 3 of 4", "not TOML", "the only one compared", "Arms come first"):
        assert words_of_it in page
    assert sorted(path.name for path in Path().iterdir()) == ["base.toml", "staff.html", "table.csv", "team"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["sweep", "team"], "Give -o TABLE, or --page"),
        (["sweep"], "Missing argument"),
        (["sweep", "team", "--page", "p.html", "-o", "team/../p.html"], "name the same file"),
        (["sweep", "team", "--page", "p.html", "--grid", "seed=1,2"], "drop --grid"),
        (["sweep", "team", "--page", "p.html", "--question", "fly"], "--question"),
        (["sweep", "team", "-o", "t.csv", "--throws", "0"], "throws: 0 is out of range"),
        (["sweep", "team", "-o", "t.csv", "--measures", "late_brake_in"], "did you mean late_break_in"),
        (["sweep", "team/half.toml", "team/latin.toml", "-o", "t.csv"], "team/latin.toml: byte 10"),
        (["sweep", "base.toml", "none.toml", "team/half.toml", "-o", "t.csv", "--grid", "seed=1:2"], "is not a range"),
    ],
)
def test_faults_before_anything_is_asked(
    run: Run, team: Path, threads: list[int | None], words: list[str], said: str
) -> None:
    code, out, err = run(*words)
    assert (code, out, threads) == (2, "", [])
    assert said in err
    assert sorted(path.name for path in Path().iterdir()) == ["base.toml", "team"]


def test_places_and_packages(run: Run, team: Path, threads: list[int | None], monkeypatch: pytest.MonkeyPatch) -> None:
    Path("mine.html").write_text("<p>my notes</p>")
    Path("empty").mkdir()
    for words, said in (
        (["team", "--page", "mine.html"], "mine.html exists already"),
        (["team", "--page", "mine.html", "-o", "t.csv"], "mine.html exists already"),
        (["empty", "-o", "t.csv"], "the folder empty has no scenario"),
    ):
        code, out, err = run("sweep", *words)
        assert (code, out, threads) == (3, "", [])
        assert said in err
    monkeypatch.setitem(sys.modules, "jinja2", None)
    for module in ("filling", "staff"):
        monkeypatch.delitem(sys.modules, f"latebreak.service.report.{module}", raising=False)
    code, _, err = run("sweep", "team", "--page", "p.html")
    assert code == 3
    assert "pip install 'latebreak[report]'" in err
    assert Path("mine.html").read_text() == "<p>my notes</p>"
    assert not Path("p.html").exists()
