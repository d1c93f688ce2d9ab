"""`latebreak report`: one file, its path as the answer, nothing overwritten that is not a page, errors as elsewhere."""

import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from commands import Run
from simulated_bullpen import as_csv, measured

from latebreak.service.report.saving import FIRST_LINE
from latebreak.service.scenario import load

QUICK = ("--throws", "200")


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in an empty folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Hide a package from imports, and forget what was imported with it."""

    def hide(package: str) -> None:
        for name in [name for name in sys.modules if name.startswith(("latebreak.service.report", package))]:
            monkeypatch.delitem(sys.modules, name)
        monkeypatch.setitem(sys.modules, package, None)

    return hide


def test_the_answer_is_the_path_of_the_page(run: Run, folder: Path) -> None:
    assert run("report", "two-grips", *QUICK) == (0, "two-grips.html\n", "")
    page = (folder / "two-grips.html").read_text(encoding="utf-8")
    assert page.startswith(FIRST_LINE)
    assert "Curve spike" in page
    assert [entry.name for entry in folder.iterdir()] == ["two-grips.html"]


def test_a_sheet_for_the_locker(run: Run, folder: Path) -> None:
    words = ("report", "two-grips", "-o", "page.html", "--card", "card.html", "--pitch", "curve_standard", *QUICK)
    assert run(*words) == (0, "page.html\ncard.html\n", "")
    for name, said in (
        ("page.html", "What to work on: <bdi>Curve standard"),
        ("card.html", "Work on: <bdi>Curve standard"),
    ):
        text = (folder / name).read_text(encoding="utf-8")
        assert text.startswith(FIRST_LINE)
        assert said in text
    code, out, err = run("report", "two-grips", "-o", "one.html", "--card", "./one.html", *QUICK)
    assert (code, out) == (2, "")
    assert "--card and -o name the same file" in err
    (folder / "mine.html").write_text("mine", encoding="utf-8")
    code, out, err = run("report", "two-grips", "-o", "two.html", "--card", "mine.html", *QUICK)
    assert (code, out) == (3, "")
    assert not (folder / "two.html").exists()  # neither or both


def test_a_page_is_made_anew_where_it_is_wanted(run: Run, folder: Path) -> None:
    (folder / "pages").mkdir()
    place = Path("pages") / "for Ansel.html"
    place.write_text(FIRST_LINE + "\nan old page", encoding="utf-8")
    assert run("report", "two-grips", "-o", str(place), "--units", "metric", *QUICK) == (0, f"{place}\n", "")
    page = place.read_text(encoding="utf-8")
    assert "km/h" in page
    assert "an old page" not in page
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(place.stat().st_mode) == 0o666 & ~mask  # as any other file that is written here
    assert [entry.name for entry in place.parent.iterdir()] == [place.name]


def test_what_is_no_page_is_not_overwritten(run: Run, folder: Path) -> None:
    place = folder / "mine.html"
    place.write_text("<!DOCTYPE html><p>mine", encoding="utf-8")
    code, out, err = run("report", "two-grips", "-o", str(place), *QUICK)
    assert (code, out) == (3, "")
    assert "exists already, is no page of latebreak report and is not overwritten; choose another name" in err
    assert place.read_text(encoding="utf-8") == "<!DOCTYPE html><p>mine"


def test_a_folder_that_is_not_there_is_said_at_once(run: Run) -> None:
    code, out, err = run("report", "two-grips", "-o", "nowhere/page.html", *QUICK)
    assert (code, out) == (3, "")
    assert "there is no folder nowhere" in err


@pytest.mark.parametrize("package", ["jinja2", "matplotlib"])
def test_without_the_extra_it_says_how_to_install_it(
    run: Run, folder: Path, without: Callable[[str], None], package: str
) -> None:
    without(package)
    code, out, err = run("report", "two-grips", *QUICK)
    assert (code, out) == (3, "")
    assert f"a page needs {package}" in err
    assert "pip install 'latebreak[report]'" in err
    assert "Traceback" not in err
    assert not list(folder.iterdir())


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("two-grips", "--pitches", "knuckle"), "knuckle"),
        (("two-grips", "--pitch", "fastball"), "'fastball' is none of the compared pitches"),
        (("two-grips", "--measure", "mis_chance_percent"), "did you mean miss_chance_percent"),
        (("two-grips", "--goal", "more"), "'more' is no goal"),
        (("two-grips", "--units", "imperial"), "'imperial'"),
        (("two-grips", "--throws", "0"), "throws"),
        (("two-grips", "--columns", "new-grip"), "belong to --measured"),
        ((), "Missing argument 'SCENARIO'"),
    ],
)
def test_input_at_fault(run: Run, folder: Path, words: tuple[str, ...], said: str) -> None:
    code, out, err = run("report", *words, *(() if "--throws" in words else QUICK))
    assert (code, out) == (2, "")
    assert said in err
    assert "Traceback" not in err
    assert not list(folder.iterdir())


def test_no_such_scenario(run: Run) -> None:
    code, out, err = run("report", "tow-grips")
    assert (code, out) == (3, "")
    assert "did you mean two-grips?" in err


def test_from_measured_throws_with_what_changed(run: Run, folder: Path) -> None:
    scenario = load("two-grips").scenario
    for seed, name in enumerate(("may.csv", "june.csv")):
        rng = np.random.default_rng(seed)
        throws = {name: measured(scenario, name, 6, rng) for name in ("fastball", "curve_spike")}
        (folder / name).write_bytes(as_csv(throws))
    words = ("report", "two-grips", "-o", "june.html", "--measured", "may.csv", "--measured", "june.csv", *QUICK)
    code, out, err = run(*words)
    assert (code, out) == (0, "june.html\n"), err
    page = (folder / "june.html").read_text(encoding="utf-8")
    for said in ("What changed between the sessions", "from <bdi>may</bdi> to <bdi>june</bdi>", "spin efficiency"):
        assert said in page
    assert page.index("than in may") < page.index("What the hitter sees")  # what changed comes first
    assert "Curve spike" in page
    assert "Curve standard" not in page  # it was not thrown
