"""`latebreak goal`, `fit --goal`, `report --goal-file`, `--table` and `--throws-out`: a pitch followed by a coach."""

import csv
import json
from pathlib import Path

import pytest
from commands import Run

from latebreak.service.questions.following.kept_goal import load_goal

BASE = "left-eleven-to-five"
WANTED = ("--pitch", "curve", "--measure", "miss_chance_percent", "--goal", "+3", "--throws", "400")


@pytest.fixture
def here(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the scenario of April and a goal for its curve."""
    monkeypatch.chdir(tmp_path)
    assert run("fit", "april", "--base", BASE, "-o", "april.toml")[0] == 0
    code, out, err = run("goal", "april.toml", *WANTED, "-o", "goal.toml")
    assert (code, err) == (0, "")
    assert "Kept in goal.toml" in out
    assert "latebreak fit THROWS.csv --base april.toml --goal goal.toml" in out
    return tmp_path


def test_goal_says_what_reach_says(run: Run, here: Path) -> None:
    _, told, _ = run("reach", "april.toml", *WANTED)
    _, kept, _ = run("goal", "april.toml", *WANTED, "-o", "goal.toml")  # over its own
    assert kept.startswith(told)
    _, out, _ = run("goal", "april.toml", *WANTED, "-o", "goal.toml", "--json")
    answer = json.loads(out)
    _, out, _ = run("reach", "april.toml", *WANTED, "--json")
    assert answer == {**json.loads(out), "command": "goal"}
    goal = load_goal(here / "goal.toml")
    assert goal.goal.value == pytest.approx(answer["result"]["goal"]["value"], rel=1e-5)


def test_only_a_goal_is_written_over(run: Run, here: Path) -> None:
    before = (here / "april.toml").read_bytes()
    code, out, err = run("goal", "april.toml", *WANTED, "-o", "april.toml")
    assert (code, out) == (3, "")
    assert "april.toml exists already, is no goal of latebreak goal" in err
    assert (here / "april.toml").read_bytes() == before


@pytest.mark.parametrize(
    ("units", "words"), [("us", ("mph wanted", "ft wanted")), ("metric", ("km/h wanted", " m wanted"))]
)
def test_how_far_it_is(run: Run, here: Path, units: str, words: tuple[str, ...]) -> None:
    code, out, err = run(
        "fit", "april", "june", "--base", "april.toml", "--goal", "goal.toml", "--throws", "400", "--units", units
    )
    assert (code, err) == (0, "")
    told = " ".join(out.split())
    for word in ("The goal of ", "of the way", "chance that it is there", *words):
        assert word in told
    drawing = [line for line in out.splitlines() if line.startswith(("april, 20 throws", "june, 20 throws"))]
    assert all("o" in line[18:60] and "|" in line for line in drawing)
    assert len(drawing) == 2
    assert "rest rules" in told  # who is told to add more is told to mind the arm


def test_the_goal_as_json_and_as_a_table(run: Run, here: Path) -> None:
    words = ("fit", "april", "june", "--base", "april.toml", "--goal", "goal.toml", "--throws", "400")
    code, out, err = run(*words, "--json", "--table", "table.csv", "--throws-out", "throws.csv")
    assert (code, err) == (0, "")
    goal = json.loads(out)["result"]["goal"]
    assert goal["beside"] == "goal"
    assert [one["session"] for one in goal["sessions"]] == ["april", "june"]
    with (here / "table.csv").open(newline="") as file:
        told = {(row["part"], row["measure"]): row for row in csv.DictReader(file)}
    june = goal["sessions"][1]
    row = told["goal.sessions.june.measure", "share_percent"]
    assert (float(row["value"]), row["unit"]) == (june["measure"]["share_percent"]["value"], "%")
    # the cleaned throws are the same sessions again
    code, out, err = run("fit", "throws.csv", *words[3:], "--json")
    assert (code, err) == (0, "")
    again = json.loads(out)["result"]["goal"]
    assert [one["used"] for one in again["sessions"]] == [one["used"] for one in goal["sessions"]]
    assert again["sessions"][1]["levers"] == june["levers"]
    assert run(*words, "--table", "throws.csv")[0] == 3  # a table of another kind


def test_a_goal_at_fault(run: Run, here: Path) -> None:
    text = (here / "goal.toml").read_text()
    (here / "wrong.toml").write_text(text.replace('"curve"', "7").replace("date = ", "day = "))
    code, out, err = run("fit", "june", "--base", "april.toml", "--goal", "wrong.toml")
    assert (code, out) == (2, "")
    assert "wrong.toml" in err
    assert "pitch" in err
    assert "date: missing" in err
    code, out, err = run("fit", "june", "--base", "april.toml", "--goal", "none.toml")
    assert (code, out) == (3, "")
    assert "'none.toml' can't be read" in err


@pytest.mark.parametrize("question", ["fly", "compare", "mix"])
def test_answers_as_tables(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, question: str) -> None:
    monkeypatch.chdir(tmp_path)
    for _ in range(2):  # over its own
        code, _, err = run(question, "two-grips", "--throws", "64", "--table", "table.csv")
        assert (code, err) == (0, "")
    with (tmp_path / "table.csv").open(newline="") as file:
        assert len(list(csv.DictReader(file))) > 10
    (tmp_path / "mine.csv").write_text("mine\n")
    code, out, err = run(question, "two-grips", "--throws", "64", "--table", "mine.csv")
    assert (code, out) == (3, "")
    assert "no table of a latebreak answer" in err
    assert (tmp_path / "mine.csv").read_text() == "mine\n"


def test_hitters_have_a_table_too(run: Run) -> None:
    code, out, _ = run("hitters", "--help")
    assert code == 0
    assert "--table" in out


def test_the_page_shows_how_far_the_goal_is(run: Run, here: Path) -> None:
    sessions = ("--measured", "april", "--measured", "june", "--measured", "april")
    code, out, err = run(
        "report", "april.toml", *sessions, "--goal-file", "goal.toml", "--throws", "200", "-o", "p.html"
    )
    assert (code, out, err) == (0, "p.html\n", "")
    page = (here / "p.html").read_text()
    for words in ("How far the goal is", "How far the goal of ", "of the way", 'id="goal-'):
        assert words in page
    code, _, err = run("report", "april.toml", "--goal-file", "goal.toml")
    assert code == 2
    assert "belong to --measured" in err
