"""Answers whoever asks: the envelope, the cautions, and the tables that people read."""

import json
import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from starters import starter

from latebreak.service.plain import plain
from latebreak.service.quantities import Reader
from latebreak.service.questions import Answer, Estimate, OverThrows, aim, compare, fly, levers, mix, reach
from latebreak.service.questions.answer import installed_version
from latebreak.service.scenario import Loaded, from_mapping, load, ready_names
from latebreak.service.scenario.cautions import cautions
from latebreak.service.tables import compare as compare_table
from latebreak.service.tables import fly as fly_table

ENVELOPE = ["command", "title", "seed", "throws", "version", "warnings", "cautions", "result"]
ASK: dict[str, Callable[..., Answer[Any]]] = {"fly": fly, "compare": compare}
SHOW: dict[str, Callable[..., None]] = {"fly": fly_table.show, "compare": compare_table.show}
BOTH = sorted(ASK)
#: For what is no matter of intervals: faster.
PLAIN: dict[str, dict[str, bool]] = {"fly": {}, "compare": {"intervals": False}}


def thrown_by(level: str = "college", age: float | None = None, **curve: Any) -> Loaded:
    mapping = starter()
    mapping["pitcher"]["level"] = level
    if age is not None:
        mapping["pitcher"]["age_years"] = age
    mapping["pitch"]["curve"] |= curve
    return from_mapping(mapping)


def printed(
    command: str, loaded: Loaded, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, **how: Any
) -> str:
    """The whole table of an answer, on a page wide enough that every cell stands in its row."""
    monkeypatch.setenv("COLUMNS", "250")
    SHOW[command](ASK[command](loaded, **how), loaded.scenario, Reader(hand=loaded.scenario.pitcher.hand), whole=True)
    return capsys.readouterr().out


def table_of(out: str) -> list[list[str]]:
    """Label and cells of the rows of the first table; the label keeps its indent."""
    table = re.split(r"^\u2500+\n", out, maxsplit=1, flags=re.MULTILINE)[1]
    lines = re.split(r"\n(?:\n|--all|Means|These)", table)[0].split("\n")
    rows = [[*re.findall(r"^(?:  )?", line), *re.split(r" {2,}", line.strip())] for line in lines]
    return [[indent + label, *cells] for indent, label, *cells in rows if cells]


# --- the envelope ---------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("command", BOTH)
@pytest.mark.parametrize("name", ready_names())
def test_the_envelope(command: str, name: str) -> None:
    answer = ASK[command](name, seed=3, throws=300, **PLAIN[command]).to_dict()
    assert list(answer) == ENVELOPE
    assert answer["command"] == command
    assert answer["title"] == load(name).scenario.title
    assert (answer["seed"], answer["throws"]) == (3, 300)
    assert answer["version"] == installed_version() != "0"
    assert all(isinstance(text, str) and text for key in ("warnings", "cautions") for text in answer[key])
    assert json.loads(json.dumps(answer, allow_nan=False)) == answer


@pytest.mark.parametrize("command", BOTH)
def test_the_scenarios_own_seed_and_throws_are_echoed(command: str) -> None:
    mapping = starter() | {"seed": 77, "throws": 123}
    answer = ASK[command](from_mapping(mapping), **PLAIN[command]).to_dict()
    assert (answer["seed"], answer["throws"]) == (77, 123)


def test_what_is_not_finite_is_null() -> None:
    nan, inf = float("nan"), float("inf")
    assert plain(OverThrows(1.0, nan, -inf, None, 2.0)) == {
        "mean": 1.0,
        "sd": None,
        "low": None,
        "high": None,
        "sampling_error": 2.0,
    }
    assert plain(Estimate(nan, inf, 1.0, inf)) == {"value": None, "low": 1.0, "high": None, "sampling_error": None}
    assert plain(Estimate(1.0, 0.5)) == {"value": 1.0, "sampling_error": 0.5}


@pytest.mark.parametrize("command", BOTH)
def test_a_scenario_a_path_and_a_name_are_one_question(command: str, tmp_path: Path) -> None:
    path = tmp_path / "copy.toml"
    loaded = load("left-eleven-to-five")
    path.write_text(path_text("left-eleven-to-five"), encoding="utf-8")
    sources = ("left-eleven-to-five", path, str(path), loaded, loaded.scenario)
    answers: list[Answer[Any]] = [ASK[command](source, throws=200, **PLAIN[command]) for source in sources]
    first = answers[0].to_dict()["result"]
    assert all(answer.to_dict()["result"] == first for answer in answers)


def path_text(name: str) -> str:
    from latebreak.service.scenario.ready import ready_path

    path = ready_path(name)
    assert path is not None
    return path.read_text(encoding="utf-8")


# --- warnings and cautions ------------------------------------------------------------------------------------------
LATER: dict[str, Any] = {"measure": "late_break_in", "goal": "+0.1", "by": ["spin_rpm"]}
#: Every question about one pitcher, as cheap as may be, and whether its answer proposes more than he does.
QUESTIONS: dict[str, tuple[Callable[..., Answer[Any]], bool]] = {
    "fly": (partial(fly, throws=8), False),
    "compare": (partial(compare, throws=8, intervals=False), False),
    "levers": (partial(levers, pitch="curve", throws=8, intervals=False), True),
    "reach": (
        partial(
            reach, measure="late_break_in", goal="+0.1", by=["spin_rpm"], pitch="curve", throws=80, intervals=False
        ),
        True,
    ),
    "aim": (partial(aim, pitch="curve", throws=8, intervals=False), False),
    "mix": (partial(mix, throws=8, intervals=False), False),
}


@pytest.mark.parametrize("question", QUESTIONS)
@pytest.mark.parametrize(("level", "age"), [("youth", None), ("youth", 11.0), ("high_school", 15.0), ("college", 20.0)])
def test_every_answer_carries_the_cautions_of_its_pitcher(question: str, level: str, age: float | None) -> None:
    """Which those are, by age and level: test_scenario_cautions.py."""
    ask, proposes_more = QUESTIONS[question]
    loaded = thrown_by(level, age)
    found = ask(loaded).cautions
    assert found == cautions(loaded.scenario.pitcher, proposes_more=proposes_more)
    assert bool(found) == (proposes_more or level != "college")


@pytest.mark.parametrize("command", BOTH)
def test_warnings_of_the_file_are_in_the_answer(command: str) -> None:
    warnings = ASK[command](thrown_by(spin_rpm=4500), throws=100, **PLAIN[command]).warnings
    assert any("pitch.curve.spin_rpm" in warning and "4500 rpm" in warning for warning in warnings)


# --- tables ---------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("command", BOTH)
@pytest.mark.parametrize("name", ready_names())
def test_no_table_has_a_bare_minus_or_a_bare_number(
    command: str, name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between the lines of the table every first line of a cell ends in its unit, and a direction stands for a sign."""
    out = printed(command, load(name), capsys, monkeypatch, throws=400)
    rows = table_of(out)
    assert len(rows) >= 9
    assert not [row for row in rows if any(f"{s}{digit}" in " ".join(row) for s in "-−" for digit in "0123456789.")]
    units = (" s", " mph", " ft", " in", " deg", " ms", " %", " arcmin")
    for label, *cells in rows:
        if not label.startswith("throws that"):
            assert all(cell in {"", "never"} or any(unit in cell for unit in units) for cell in cells), (label, cells)
    assert "nan" not in out.split()
    assert load(name).scenario.title in out


@pytest.mark.parametrize("command", BOTH)
def test_cautions_and_warnings_are_printed(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = " ".join(
        printed(
            command, thrown_by("youth", 12.0, spin_rpm=4500), capsys, monkeypatch, throws=100, **PLAIN[command]
        ).split()
    )
    assert "Caution: Published medical guidance advises against breaking balls under 14" in out
    assert "Warning: pitch.curve.spin_rpm: 4500 rpm" in out


@pytest.mark.parametrize("command", BOTH)
def test_names_and_titles_are_shown_as_they_are(
    command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """What looks like markup of the table's library is a name like any other, and styles nothing."""
    mapping = starter() | {"title": "[bold]May[/bold] [/] :smile: {x}"}
    for name in ("[red]x[/red]", "[/]", "[link=http://a]b"):
        mapping["pitch"][name] = mapping["pitch"]["curve"]
    out = printed(command, from_mapping(mapping), capsys, monkeypatch, throws=100, **PLAIN[command])
    for text in ("[bold]May[/bold] [/] :smile: {x}", "[red]x[/red]", "[/]", "[link=http://a]b"):
        assert text in out
    assert "\x1b" not in out


def test_one_throw_shows_no_nan(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """What one throw can't tell, its sampling error and so the interval, is left out of the table."""
    for how in ({}, {"intervals": False}):
        assert "nan" not in printed("compare", thrown_by(), capsys, monkeypatch, throws=1, **how)
    assert "nan" not in printed("fly", thrown_by(), capsys, monkeypatch, throws=1)


def test_no_throw_that_arrives_is_said_in_words(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    low = thrown_by(target_height_ft=0.3, spread={"launch_elevation_deg": 20.0})  # with seed 5 the one throw sails away
    out = printed("fly", low, capsys, monkeypatch, throws=1, seed=5)
    assert "none arrived" in out
    assert ["throws that flew off", "0", "1"] in table_of(out) or ["throws that flew off", "1", "1"] in table_of(out)
    assert "nan" not in out
    out = printed("compare", low, capsys, monkeypatch, throws=1, seed=5)
    assert "nan" not in out


def rows_of(out: str) -> dict[str, str]:
    """The cell of the one pitch of a table, by label; indented labels with the one they belong to."""
    found, owner = {}, ""
    for label, cell in table_of(out):
        owner = owner if label.startswith(" ") else label.removesuffix(", from the plate")
        found[f"{owner}, {label.strip()}" if label.startswith(" ") else owner] = cell
    return found


def test_a_pitch_that_never_leaves_the_tunnel_is_said_in_words(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The fastball under another name is never told from itself, and never known for sure; what never happens is said
    in words, place and time. Its bend can be seen all the same.
    """
    mapping = starter()
    del mapping["pitch"]["curve"]
    mapping["pitch"]["twin"] = mapping["pitch"]["fastball"] | {"role": "offspeed"}
    rows = rows_of(printed("compare", from_mapping(mapping), capsys, monkeypatch, throws=100))
    assert rows["leaves the fastball's tunnel"] == "all the way to the plate"
    assert rows["leaves the fastball's tunnel, before arrival"] == "no time is left"
    assert rows["recognised"] == rows["recognised, before arrival"] == "never"
    assert re.match(r"\d+ ms", rows["break can be seen, before arrival"])


def test_an_event_that_the_median_throw_reaches_is_said(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = rows_of(printed("compare", thrown_by(), capsys, monkeypatch, throws=400, intervals=False))
    for label in ("leaves the fastball's tunnel", "recognised", "break can be seen"):
        assert re.match(r"\d+\.\d ft", rows[label])
        assert re.match(r"\d+ ms", rows[f"{label}, before arrival"])


def test_a_forecast_is_missed_late_or_early_and_up_or_down(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The words go with the signs of the answer: a curve where only the fastball is expected comes late and low, on the
    glove side; a fastball where only the curve is expected early and high, on the arm side.
    """
    mapping = starter()
    mapping["pitch"]["hard"] = mapping["pitch"]["fastball"] | {"role": "offspeed"}
    directions = {"curve": ("down", "glove side", "late"), "hard": ("up", "arm side", "early")}
    for thrown, words in directions.items():
        for expected in ("fastball", "curve"):
            if (thrown, expected) in {("curve", "fastball"), ("hard", "curve")}:
                mapping["hitter"] = {"expects": {"fastball": 0.0, "curve": 0.0, "hard": 0.0} | {expected: 1.0}}
        how = {"throws": 100, "intervals": False, "pitches": [thrown]}
        rows = rows_of(printed("compare", from_mapping(mapping), capsys, monkeypatch, **how))
        for label, word in zip(
            (
                "arrives off the forecast, up or down",
                "arrives off the forecast, up or down, and to the side",
                "arrives off the forecast in time",
            ),
            words,
            strict=True,
        ):
            assert f" {word}" in rows[label], (thrown, label, rows[label])


def test_every_estimate_has_its_row(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """All but the times after release, which follow from those before arrival, and the shares reached."""
    found = compare(thrown_by(), throws=64, intervals=False).result.pitches["curve"]
    left_out = {key for key in found if key.endswith(("_after_release_ms", "_reached_percent"))}
    shown = compare_table.rows({"curve": found})
    assert {measure.key for measure in shown} == set(found) - left_out
    assert len(rows_of(printed("compare", thrown_by(), capsys, monkeypatch, throws=64, intervals=False))) == len(shown)


def test_a_left_handers_sides_are_his_own(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """His fastball runs to the arm side, his curve sweeps to the glove side, like a right-hander's."""
    for name in ("left-eleven-to-five", "two-grips"):
        out = printed("fly", load(name), capsys, monkeypatch, throws=100)
        _, fastball, *curves = next(row for row in table_of(out) if row[0] == "induced side break")
        assert "arm side" in fastball
        assert all("glove side" in curve for curve in curves)


def test_the_table_says_whose_eye_it_is(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    out = printed("compare", load("staff"), capsys, monkeypatch, throws=100, intervals=False)
    assert (
        "professional hitter, bats left, familiarity 0.7; commit point 150 ms before arrival; the fastball is four_seam"
        in out
    )
    assert "model's estimates" in out
