"""What people read: in their units everywhere, and with the names that they gave; --json and options keep keys."""

import json
import re
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from commands import Run
from starters import starter

from latebreak.service.quantities import Reader
from latebreak.service.questions import fit, levers
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.questions.levers_words import warnings_for
from latebreak.service.report.material import gather
from latebreak.service.report.page import render
from latebreak.service.scenario import from_mapping, load
from latebreak.service.scenario.starter import starter_text

US_UNIT = re.compile(r"\d (?:ft|mph)\b|\d\.\d+ in\b")
FEW = ("--throws", "64")
REACH = ("reach", "two-grips", "--pitch", "curve_standard", "--measure", "late_break_in", "--goal", "+30")
COMMANDS: dict[str, tuple[str, ...]] = {
    "fly": ("fly", "two-grips", *FEW),
    "compare": ("compare", "two-grips", "--no-interval", *FEW),
    "levers": ("levers", "two-grips", "--pitch", "curve_standard", "--no-interval", *FEW),
    "reach": (*REACH, "--no-interval", *FEW),
    "fit": ("fit", "april", "june", "--base", "left-eleven-to-five", *FEW),
}


@pytest.mark.parametrize("command", COMMANDS)
def test_a_metric_reader_meets_no_us_unit_and_json_stays(run: Run, command: str) -> None:
    code, metric, err = run(*COMMANDS[command], "--units", "metric")
    assert (code, err) == (0, "")
    assert not US_UNIT.search(metric), US_UNIT.search(metric)
    us = run(*COMMANDS[command])[1]
    assert US_UNIT.search(us)
    in_json = [run(*COMMANDS[command], "--json", "--units", units)[1] for units in ("us", "metric")]
    assert in_json[0] == in_json[1]


def named() -> dict[str, object]:
    """A scenario whose pitches have keys like sentences, and one a name of its own."""
    tables = starter()
    pitch = tables["pitch"]
    fastball, curve = pitch["fastball"], pitch["curve"]
    pitch = {"heater": fastball | {"name": "Four-seam"}, "curve 12 in front": curve, "now": curve | {"speed_mph": 77.0}}
    return tables | {"pitch": pitch}


def test_names_like_sentences_stay_names() -> None:
    """The metric page says "curve 12 in front", and sets off the pitch `now`, not the word."""
    material = gather(from_mapping(named()), pitch="now", throws=64)
    page = render(material, "metric")
    assert "curve 30 cm front" not in page.lower()
    assert "curve 12 in front" in page.lower()
    verdict = re.search(r'<p class="verdict">(.*?)</p>', page)
    assert verdict is not None
    assert '<bdi class="name">Now</bdi>' in verdict[1]
    assert not re.search(r"<bdi[^>]*>now</bdi>", page)  # the word, where it is no name, is set off nowhere
    assert "Four-seam" in page
    assert "heater" not in page


@pytest.mark.parametrize("command", ["fly", "compare", "levers", "reach"])
def test_people_read_names_and_tools_keys(run: Run, file: Callable[[str], str], command: str) -> None:
    text = starter_text("base").replace("[pitch.fastball]\n", '[pitch.fastball]\nname = "Four-seam"\n')
    path = file(text.replace("[pitch.curve]\n", '[pitch.curve]\nname = "Knuckle curve"\n'))
    more = {"levers": ("--pitch", "curve"), "reach": (*REACH[2:-1], "+1")}.get(command, ())
    words = (command, path, *(word.replace("curve_standard", "curve") for word in more), *FEW)
    words = words if command == "fly" else (*words, "--no-interval")
    code, out, err = run(*words)
    assert (code, err) == (0, "")
    assert "Knuckle curve" in " ".join(out.split())
    assert "Four-seam" in out
    assert not re.search(r"\b(?:fastball is fastball|│ +curve\b)", out)
    answer = json.loads(run(*words, "--json")[1])["result"]
    assert "curve" in answer["pitches"] if "pitches" in answer else answer["pitch"] == "curve"
    if command == "compare":
        assert "Knuckle curve" in answer["why"][0]


def test_two_pitches_of_one_name_are_refused(run: Run, file: Callable[[str], str]) -> None:
    for name in ("fastball", "Curve"):
        text = starter_text("base").replace("[pitch.curve]\n", f'[pitch.curve]\nname = "{name}"\n')
        text = text.replace("[pitch.fastball]\n", '[pitch.fastball]\nname = "Curve"\n') if name == "Curve" else text
        code, out, err = run("fly", file(text))
        assert (code, out) == (2, "")
        assert f"pitch.curve.name: '{name}' is what another pitch is called too" in err


def test_a_fitted_pitch_keeps_its_name() -> None:
    base = load("left-eleven-to-five")
    tables = json.loads(json.dumps(base.scenario.model_dump(exclude_none=True)))
    tables["pitch"]["curve"]["name"] = "Eleven to five"
    result = fit("april", base=from_mapping(tables)).result
    assert tomllib.loads(result.scenario)["pitch"]["curve"]["name"] == "Eleven to five"
    assert "curve" in result.pitches


def test_changes_are_told_in_the_readers_units() -> None:
    result = fit("april", base="left-eleven-to-five", later="june", throws_per_pitch=64).result
    told = {units: moved(result.changes["curve"], result.pitches["curve"].values, Reader(units, "left"))
            for units in ("us", "metric")}  # fmt: skip
    assert told["us"] == result.moved["curve"]
    assert any(" mph " in sentence for sentence in told["us"])
    assert not any(US_UNIT.search(sentence) for sentence in told["metric"])
    assert len(told["us"]) == len(told["metric"])


def test_a_cut_step_is_told_in_the_readers_units() -> None:
    tables = starter()
    tables["pitch"]["curve"] |= {"release_height_ft": 9.9}
    loaded = from_mapping(tables)
    answer = levers(loaded, pitch="curve", measure="late_break_in", throws=64, intervals=False)
    note = answer.result.levers["release_height_ft"].note
    assert note == "the step of 0.25 ft from 9.9 ft is cut to 0.1 ft at the limit of 10 ft"
    told = warnings_for(loaded.scenario, "curve", answer.result.levers, answer.warnings, Reader("metric"))
    # 0.3048 m a foot
    assert "release height: the step of 0.0762 m from 3.018 m is cut to 0.03048 m at the limit of 3.048 m" in told


@pytest.mark.parametrize(
    ("command", "first"),
    [("fly", 6), ("compare", 5), ("levers", 5), ("fit", 6)],  # fit: throws, and five more
)
def test_what_matters_first_comes_first_and_the_rest_with_all(
    run: Run, monkeypatch: pytest.MonkeyPatch, command: str, first: int
) -> None:
    monkeypatch.setenv("COLUMNS", "250")
    short, whole = (run(*COMMANDS[command], *more)[1] for more in ((), ("--all",)))

    def rows(out: str) -> list[str]:
        """Rows of the first table, blanks made one; a heading between them has no number."""
        table = re.split(r"\n(?:--all|\n|Means|These)", re.split(r"\n\u2500+\n", out, maxsplit=1)[1])[0]
        return [" ".join(line.split()) for line in table.splitlines() if re.search(r"\d", line)]

    others = re.search(r"^--all for the other (\d+) ", short, re.MULTILINE)
    assert others is not None
    assert "--all" not in whole
    assert len(rows(short)) == first
    assert len(rows(whole)) == first + int(others[1])
    assert all(any(full.startswith(row) for full in rows(whole)) for row in rows(short))
    assert max(out.count("in brackets") for out in (short, whole)) <= 1


def test_the_measure_that_decides_comes_first(run: Run) -> None:
    out = run(*COMMANDS["compare"], "--by", "belief_at_commit_percent")[1]
    after = re.split(r"\n\u2500+\n", out)[1].splitlines()
    assert after[0].startswith("belief in it at the decision")
    assert after[1].startswith("strikes without contact, whole mix")


def test_the_verdict_before_each_hitter_has_its_difference(run: Run) -> None:
    out = run("compare", "staff", "--hitters", *FEW)[1]
    each = re.findall(r"(?:right|left)-handed, .*?: \d+\.\d points \(90 %: -?\d.*?; chance", " ".join(out.split()))
    assert len(each) == 6


def test_paths_with_blanks_can_be_copied(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "my bullpen"
    folder.mkdir()
    written = folder / "out 1.toml"
    out = run("fit", "april", "--base", "left-eleven-to-five", "-o", str(written), *FEW)[1]
    assert f"latebreak compare '{written}'" in " ".join(out.split())
    err = run("fit", "april", "--base", "left-eleven-to-five", "-o", str(written), *FEW)[2]
    assert err.startswith(f"'{written}' exists already")
    written.write_text("seed = -1\n")
    assert run("fly", str(written))[2].startswith(f"'{written}': ")
