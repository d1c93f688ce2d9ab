"""The question what a record of swings teaches, and the file of taught hitters in a scenario."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from simulated_swings import BASE, Cells, known_hitter, pitches, swung, write

import latebreak.service.questions as ask
from latebreak.engine.errors import InputError
from latebreak.perception.parameters import Joint
from latebreak.service.judging.hitter import hitter_of
from latebreak.service.questions import Answer, HittersResult
from latebreak.service.scenario import load, parse
from latebreak.service.scenario.hitters_file import HittersFileError
from latebreak.service.scenario.model import TAUGHT_KEYS
from latebreak.service.scenario.ready import ready_path
from latebreak.service.sweep.asking import ANSWERED
from latebreak.service.sweep.journal import identity
from latebreak.service.sweep.plan import Options, plan_from_files
from latebreak.service.wire.scenarios import message_of, scenario_of


@pytest.fixture(scope="module")
def rows(tmp_path_factory: pytest.TempPathFactory) -> list[Cells]:
    """600 pitches to hitters as the package has them, but keener to swing."""
    middle = known_hitter().parameters
    biases = ("bias_no_strikes", "bias_one_strike", "bias_two_strikes")
    keener = replace(middle, **{name: getattr(middle, name) + 0.4 for name in biases})
    return swung(pitches(600, 3), keener, 4, tmp_path_factory.mktemp("rows") / "swings.csv")


@pytest.fixture(scope="module")
def answer(rows: list[Cells], tmp_path_factory: pytest.TempPathFactory) -> Answer[HittersResult]:
    return ask.hitters(write(tmp_path_factory.mktemp("all") / "swings.csv", rows), base=BASE)


def scenario_with(folder: Path, hitters: str, **more: Any) -> Path:
    """A scenario of its own file that names taught hitters."""
    (folder / "taught.toml").write_text(hitters)
    lines = "".join(f"{key} = {value!r}\n" for key, value in more.items())
    path, ready = folder / "mine.toml", ready_path(BASE)
    assert ready is not None
    text = ready.read_text()
    assert "[hitter]" in text
    path.write_text(text.replace("[hitter]", f'[hitter]\nfile = "taught.toml"\n{lines}', 1))
    return path


# --- what is learnt ---------------------------------------------------------------------------------------------------
def test_what_the_record_holds_is_counted(answer: Answer[HittersResult], rows: list[Cells]) -> None:
    result = answer.result
    assert result.learned
    assert result.rows["read"] == len(rows)
    assert result.rows["used"] + result.rows["left_out"] == result.rows["read"]
    assert result.counts["pitches"] == result.rows["used"]
    assert result.counts["days"] == 20
    assert result.counts["hitters"] == 3
    assert result.counts["misses"] < result.counts["swings"] < result.counts["pitches"]


def test_held_out_days_are_told_beside_simple_predictions(answer: Answer[HittersResult]) -> None:
    held_out = answer.result.held_out
    assert held_out is not None
    assert held_out.days == 10
    scores = held_out.predictions
    assert list(scores) == [
        "constant", "by type", "type x zone x side x strikes", "hitter before", "taught hitter",
    ]  # fmt: skip
    # the swings were drawn from this model, so it knows more of them than a constant; 0.5 is no knowledge
    assert scores["taught hitter"].swing_log_loss < scores["constant"].swing_log_loss
    assert scores["constant"].swing_area == 0.5
    assert held_out.gain.low is not None
    assert held_out.gain.low < held_out.gain.value


def test_parameters_move_within_what_they_were_known_by(answer: Answer[HittersResult]) -> None:
    parameters = answer.result.parameters
    assert tuple(parameters) == TAUGHT_KEYS
    for one in parameters.values():
        assert abs(one.moved_sd) < 5.0
        assert 0.0 < one.sd_left_percent < 110.0
        assert one.now.low is not None
        assert one.now.high is not None
        assert one.now.low < one.now.value < one.now.high


def test_json_holds_no_hole(answer: Answer[HittersResult]) -> None:
    told = answer.to_dict()
    assert told["command"] == "hitters"
    assert set(told["result"]) == {
        "level", "learned", "rows", "counts", "parameters", "held_out", "why", "flagged", "hitters",
    }  # fmt: skip


def test_few_swings_change_nothing_and_it_is_said(rows: list[Cells], tmp_path: Path) -> None:
    result = ask.hitters(write(tmp_path / "few.csv", rows[:100]), base=BASE).result
    assert not result.learned
    assert result.held_out is None
    assert "Too few swings" in result.why[0]
    assert all(one.before == one.now and one.moved_sd == 0.0 for one in result.parameters.values())
    assert "Too few swings" in result.hitters


def test_one_hitter_is_shrunk_toward_the_others(tmp_path: Path) -> None:
    """A hitter who swings at everything: the fewer his pitches, the nearer he stays to the others."""
    middle = known_hitter().parameters
    all_rows = swung(pitches(900, 5, hitters=("Bo", "Cy")), middle, 6, tmp_path / "others.csv")
    for number, row in enumerate(all_rows):
        if number % 3 == 0:
            row["hitter"], row["swing"] = "Abel", "yes"
            row["miss"] = row["miss"] if row["miss"] == "yes" else "no"
    fewer = [row for number, row in enumerate(all_rows) if row["hitter"] != "Abel" or number % 9 == 0]
    keen = [
        ask.hitters(write(tmp_path / f"{len(some)}.csv", some), base=BASE, hitter="Abel").result
        for some in (fewer, all_rows)
    ]
    few, many = (one.parameters["bias_no_strikes"].moved_sd for one in keen)
    assert keen[0].hitter == "Abel"
    assert keen[1].counts["pitches"] > 2 * keen[0].counts["pitches"]
    assert 0.0 < few < many


# --- faults -----------------------------------------------------------------------------------------------------------
def test_every_missing_column_is_named(rows: list[Cells], tmp_path: Path) -> None:
    bare = [{key: row[key] for key in row if key not in ("bats", "day", "miss")} for row in rows[:50]]
    with pytest.raises(InputError) as refused:
        ask.hitters(write(tmp_path / "bare.csv", bare), base=BASE)
    assert [fault.where for fault in refused.value.faults] == ["column 'bats'", "column 'miss'", "column 'day'"]
    assert all(fault.allowed and fault.remedy for fault in refused.value.faults)


def test_bad_cells_are_told_with_line_value_and_what_is_allowed(rows: list[Cells], tmp_path: Path) -> None:
    bad = [dict(row) for row in rows[:60]]
    bad[0]["bats"] = "both"
    bad[1]["balls"] = "4"
    bad[2] |= {"swing": "no", "miss": "yes"}
    bad[3]["swing"] = ""
    result = ask.hitters(write(tmp_path / "bad.csv", bad), base=BASE).result
    told = {(one.flag.line, one.flag.left_out): one.flag.reason for one in result.flagged}
    assert "'both' is none of right, left" in told[2, False]
    assert "'4' is none of 0, 1, 2, 3" in told[3, False]
    assert "does not say bats" in told[2, True]
    assert "miss = yes, but swing = no" in told[4, True]
    assert "does not say swing" in told[5, True]
    assert result.rows["used"] == 56


def test_a_path_that_nothing_tells_is_refused(rows: list[Cells], tmp_path: Path) -> None:
    bare = [{key: value for key, value in row.items() if not key.startswith("arrival")} for row in rows[:50]]
    with pytest.raises(InputError, match="no row tells the path"):
        ask.hitters(write(tmp_path / "bare.csv", bare), base=BASE)


def test_an_unknown_hitter_is_refused(rows: list[Cells], tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"'Abbel'.*did you mean Abel"):
        ask.hitters(write(tmp_path / "some.csv", rows[:50]), base=BASE, hitter="Abbel")


def test_other_levels_do_not_count(rows: list[Cells], tmp_path: Path) -> None:
    levels = [{**row, "level": "youth" if number < 20 else "college"} for number, row in enumerate(rows[:60])]
    answer = ask.hitters(write(tmp_path / "levels.csv", levels), base=BASE)
    assert answer.result.rows["used"] == 40
    assert any("20 rows are of hitters of other levels than college" in warning for warning in answer.warnings)


# --- the file in a scenario -------------------------------------------------------------------------------------------
def test_a_scenario_uses_the_taught_hitters(answer: Answer[HittersResult], tmp_path: Path) -> None:
    hitter = hitter_of(load(scenario_with(tmp_path, answer.result.hitters)).scenario)
    taught = answer.result.parameters["latency_ms"]
    assert hitter.parameters.latency[0] == pytest.approx(0.001 * taught.now.value, rel=1e-5)
    assert isinstance(hitter.taught, Joint)
    # as sure as was told: 90 % of ln latency, against 4,096 draws; the error of an SD from n normals is SD/sqrt(2 n)
    drawn = np.log(hitter.members(4096, 1).latency[1:]).std()
    sd = np.log((taught.now.high or 0.0) / (taught.now.low or 1.0)) / (2.0 * 1.6448536)
    assert drawn == pytest.approx(sd, abs=4.0 * sd / np.sqrt(2.0 * 4096))


def test_parameters_are_drawn_together(answer: Answer[HittersResult], tmp_path: Path) -> None:
    """Correlations of the draws are those of the file; the error of a correlation is below 1/sqrt(n)."""
    text = answer.result.hitters
    hitter = hitter_of(load(scenario_with(tmp_path, text)).scenario)
    factor = np.zeros((len(TAUGHT_KEYS), len(TAUGHT_KEYS)))
    for number, row in enumerate(tomllib.loads(text)["taught_factor"]):
        factor[number, : number + 1] = row
    covariance = factor @ factor.T
    first, second = (TAUGHT_KEYS.index(key) for key in ("bias_one_strike", "bias_two_strikes"))
    expected = covariance[first, second] / np.sqrt(covariance[first, first] * covariance[second, second])
    drawn = hitter.members(4096, 1)
    found = np.corrcoef(drawn.bias_one_strike[1:], drawn.bias_two_strikes[1:])[0, 1]
    assert found == pytest.approx(expected, abs=4.0 / np.sqrt(4096))


def test_a_key_of_the_scenario_comes_first_and_is_known(answer: Answer[HittersResult], tmp_path: Path) -> None:
    hitter = hitter_of(load(scenario_with(tmp_path, answer.result.hitters, latency_ms=90.0)).scenario)
    assert set(hitter.members(8, 1).latency) == {0.09}


def test_the_parameters_travel(answer: Answer[HittersResult], tmp_path: Path) -> None:
    """Over the wire it is the same hitter, bit for bit."""
    here = load(scenario_with(tmp_path, answer.result.hitters))
    there = scenario_of(message_of(here)).scenario
    assert there == here.scenario
    assert there.hitter.file is None
    one, other = (hitter_of(scenario).members(16, 1) for scenario in (here.scenario, there))
    assert all(np.array_equal(a, b) for a, b in zip(vars(one).values(), vars(other).values(), strict=True))


def test_a_file_name_is_refused_over_the_wire(answer: Answer[HittersResult], tmp_path: Path) -> None:
    message = message_of(load(scenario_with(tmp_path, answer.result.hitters)))
    message.hitter.file = "taught.toml"
    with pytest.raises(InputError, match=r"hitter\.file: 'taught\.toml': a file name says nothing here"):
        scenario_of(message)
    text = scenario_with(tmp_path, answer.result.hitters).read_text()
    with pytest.raises(InputError, match=r"hitter\.file"):
        parse(text)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (
            ("latency_ms = ", "latency_ms = 9"),
            r"taught\.latency_ms: .* ms is outside the possible range; allowed: 0 to",
        ),
        (("latency_ms = ", "latncy_ms = "), r"taught\.latncy_ms: .* did you mean latency_ms"),
        (("level = ", "levl = "), r"levl: unknown key"),
        (("taught_factor = [", "taught_factor = [\n[1.0],"), r"taught_factor: rows of 1, 1, 2"),
        (('level = "college"', 'level = "youth"'), r"hitter\.level: 'college', but 'taught.toml' was taught by"),
        (("[taught]", "[taught"), r"not TOML"),
    ],
)
def test_a_file_at_fault_is_told(
    answer: Answer[HittersResult], tmp_path: Path, change: tuple[str, str], message: str
) -> None:
    text = answer.result.hitters
    assert change[0] in text
    more = {"level": "college"} if "youth" in change[1] else {}
    path = scenario_with(tmp_path, text.replace(*change, 1), **more)
    with pytest.raises(InputError, match=message):
        load(path)


def test_a_missing_file_is_told(answer: Answer[HittersResult], tmp_path: Path) -> None:
    path = scenario_with(tmp_path, answer.result.hitters)
    (tmp_path / "taught.toml").unlink()
    with pytest.raises(HittersFileError, match=r"hitter\.file: .*taught\.toml' can't be read"):
        load(path)


def test_a_sweep_takes_what_the_file_says_and_knows_it_again(answer: Answer[HittersResult], tmp_path: Path) -> None:
    """Workers see no file of this machine, and another content is another sweep."""
    path = scenario_with(tmp_path, answer.result.hitters)
    options = Options(throws=16, intervals=False)
    ready = plan_from_files([str(path)], ["seed=1,2"], None, options)
    assert ready.ask({"seed": 1}).status == ANSWERED
    (tmp_path / "taught.toml").write_text(answer.result.hitters.replace("latency_ms = 1", "latency_ms = 2", 1))
    other = plan_from_files([str(path)], ["seed=1,2"], None, options)
    assert identity(other.ask, other.what_ifs)["scenario"] != identity(ready.ask, ready.what_ifs)["scenario"]
