"""The question `fit`: fastballs and roles, what changed between sessions, and what is wrong with throws."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from fitted_throws import PITCHES, TRUTH, bullpen, fitted
from simulated_bullpen import as_csv, measured

from latebreak.engine.errors import InputError
from latebreak.service.questions import compare, fit
from latebreak.service.scenario import ScenarioFileError, parse
from latebreak.service.throws import ThrowsFileError, parse_throws


# --- fastball and roles ---------------------------------------------------------------------------------------------
def test_an_unknown_fastball_is_a_fault() -> None:
    with pytest.raises(InputError, match="fastball: no throw is of a pitch 'heat'"):
        fitted(bullpen(3), fastball="heat")


def test_the_base_lends_its_fastball() -> None:
    answer = fitted(bullpen(8, pitches=("curve_spike",)))
    assert any("the base's 'fastball' is taken over" in warning for warning in answer.warnings)
    assert any("'curve_standard'" in warning and "left out" in warning for warning in answer.warnings)
    found = parse(answer.result.scenario).scenario
    assert found.pitch["fastball"].speed_mph == TRUTH.pitch["fastball"].speed_mph
    assert list(found.pitch) == ["fastball", "curve_spike"]
    assert found.hitter.expects == {"fastball": 0.6, "curve_spike": 0.4}
    assert any("hitter.expects names other pitches" in warning for warning in answer.warnings)
    assert compare(parse(answer.result.scenario), throws=200).result.better.pitch == "curve_spike"


def test_another_fastball_on_request() -> None:
    throws = {"heat": bullpen()["fastball"], "bender": bullpen()["curve_spike"]}
    found = parse(fitted(throws, fastball="heat").result.scenario).scenario
    assert {name: entry.role for name, entry in found.pitch.items()} == {"heat": "fastball", "bender": "breaking"}


def test_two_fastballs_have_one_reference() -> None:
    throws = {
        "fastball": bullpen()["fastball"],
        "sinker": bullpen(seed=2)["fastball"],
        "curve": bullpen()["curve_spike"],
    }
    found = parse(fitted(throws, base="staff", fastball="sinker").result.scenario).scenario
    assert [name for name, entry in found.pitch.items() if entry.reference] == ["sinker"]


# --- sessions and two files -----------------------------------------------------------------------------------------
def two_sessions(shift: float, count: int = 15, pitches: tuple[str, ...] = PITCHES) -> bytes:
    """May and June; in June the spiked curve comes `shift` mph harder."""
    labels = {f"{name}:{month}": month for month in ("may", "june") for name in pitches}
    rng = np.random.default_rng(6)
    spike = TRUTH.pitch["curve_spike"]
    harder = spike.model_copy(update={"speed_mph": spike.speed_mph + shift})
    later = TRUTH.model_copy(update={"pitch": {**TRUTH.pitch, "curve_spike": harder}})
    throws = {
        label: measured(later if month == "june" else TRUTH, label.split(":", maxsplit=1)[0], count, rng)
        for label, month in labels.items()
    }
    return as_csv(throws, labels)


def test_what_changed_between_sessions() -> None:
    answer = fit(parse_throws(two_sessions(2.5), source="spring.csv"), base="two-grips", throws_per_pitch=600)
    result = answer.result
    assert set(result.changes) == set(PITCHES)
    speed = result.changes["curve_spike"]["speed_mph"]
    assert speed.estimate.low < 2.5 < speed.estimate.high  # type: ignore[operator]
    assert speed.chance_percent > 99.0
    assert result.moved["curve_spike"][0].startswith("Faster by ")
    for key in ("late_break_in", "tunnel_exit_ft", "miss_chance_percent"):
        change = result.changes["curve_spike"][key]
        assert change.estimate.low <= change.estimate.value <= change.estimate.high  # type: ignore[operator]
        assert 0.0 < change.chance_percent < 100.0
        assert key not in result.changes["fastball"]  # it is not judged against itself
    # harder at equal spin: held longer, less time to break (common practice, no source)
    assert result.changes["curve_spike"]["tunnel_exit_ft"].estimate.value < 0.0
    pitch = result.pitches["curve_spike"]
    assert pitch.sessions == {"may": 15, "june": 15}
    assert (pitch.count, pitch.used) == (30, 15)
    assert parse(result.scenario).scenario.pitch["curve_spike"].speed_mph == pytest.approx(
        pitch.values["speed_mph"].value, abs=0.006
    )
    change = json.loads(json.dumps(answer.to_dict(), allow_nan=False))["result"]["changes"]["curve_spike"]["speed_mph"]
    assert set(change) == {"value", "low", "high", "sampling_error", "chance_percent"}


def test_two_files_are_compared_like_two_sessions() -> None:
    content = two_sessions(2.5).decode().splitlines()
    files = [
        parse_throws(
            "\n".join([content[0], *(line for line in content if f",{month}," in line)]).encode(), source=f"{month}.csv"
        )
        for month in ("may", "june")
    ]
    both = fit(files[0], later=files[1], base="two-grips", throws_per_pitch=600).result
    one = fit(parse_throws(two_sessions(2.5), source="spring.csv"), base="two-grips", throws_per_pitch=600).result
    for name in PITCHES:
        assert both.changes[name].keys() == one.changes[name].keys()
        for key, change in both.changes[name].items():
            assert change.estimate.value == pytest.approx(one.changes[name][key].estimate.value, rel=1e-9), key
    assert both.pitches["fastball"].sessions == {"may": 15, "june": 15}


def test_nothing_moved() -> None:
    """Two bullpens of the same pitches: of some twenty quantities a pitch, chance lets a tenth pass 95 %."""
    result = fit(parse_throws(two_sessions(0.0), source="spring.csv"), base="two-grips", throws_per_pitch=400).result
    chances = [change.chance_percent for changes in result.changes.values() for change in changes.values()]
    assert np.mean(np.array(chances) > 95.0) < 0.2
    assert all(moved[-1].startswith("No change beyond chance") for moved in result.moved.values())


def test_a_pitch_of_one_session_alone_has_no_change() -> None:
    lines = two_sessions(0.0).decode().splitlines()
    kept = [line for line in lines if not line.startswith("curve_standard,june")]
    answer = fit(parse_throws("\n".join(kept).encode(), source="spring.csv"), base="two-grips", throws_per_pitch=300)
    assert set(answer.result.changes) == {"fastball", "curve_spike"}
    assert any("'curve_standard': not thrown in 'june'" in warning for warning in answer.warnings)
    assert "curve_standard" in parse(answer.result.scenario).scenario.pitch


# --- faulty throws --------------------------------------------------------------------------------------------------
def test_rows_add_up() -> None:
    """A slip, an impossible value and a row without a pitch."""
    throws = bullpen()
    throws["fastball"]["speed_mph"][2] = 900.0
    throws["curve_spike"]["speed_mph"][5] -= 20.0
    throws["curve_spike"]["induced_vertical_break_in"][5] += 15.0
    lines = as_csv(throws).decode().splitlines()
    lines[20] = lines[20].replace("curve_spike", "", 1)
    result = fit(parse_throws("\n".join(lines).encode(), source="b.csv"), base="two-grips").result
    assert result.rows["read"] == 36 == result.rows["used"] + result.rows["left_out"]
    assert sum(pitch.count for pitch in result.pitches.values()) + len(result.unreadable) == 36
    assert [one.flag.line for one in result.unreadable] == [21]
    for pitch in result.pitches.values():
        assert pitch.count == pitch.used + sum(one.flag.left_out for one in pitch.flagged)
    cell = result.pitches["fastball"].flagged[0]
    assert (cell.flag.key, cell.flag.left_out, cell.flag.line) == ("speed_mph", False, 4)


def test_no_usable_throw_is_a_fault() -> None:
    with pytest.raises(InputError, match="none of its rows is a throw"):
        fit(parse_throws(b"pitch,speed_mph\n,90\n", source="empty.csv"), base="two-grips")


@pytest.mark.parametrize(
    ("ask", "error", "said"),
    [
        (lambda path: fit(path, base="no-such-base"), ScenarioFileError, "no-such-base"),
        (lambda path: fit("no-such-file", base="two-grips"), ThrowsFileError, "no-such-file"),
        (lambda path: fit(path, base="two-grips", columns="no-map"), ThrowsFileError, "no-map"),
        (lambda path: fit(path, base="two-grips", later="nowhere.csv"), ThrowsFileError, "nowhere"),
        (lambda path: fit(path, base="two-grips", seed=-1), InputError, "seed: -1 is out of range"),
        (lambda path: fit(path, base="two-grips", throws_per_pitch=0), InputError, "throws: 0 is out of range"),
    ],
)  # fmt: skip
def test_trouble_is_named(ask: Callable[[Path], object], error: type[Exception], said: str, tmp_path: Path) -> None:
    path = tmp_path / "bullpen.csv"
    path.write_bytes(as_csv(bullpen(3)))
    with pytest.raises(error, match=said):
        ask(path)


def test_the_air_of_the_base_counts() -> None:
    """The same throws in thinner air, 0.83 times as dense: 1 / 0.83 times the lift is needed for the same movement."""
    thin = TRUTH.model_copy(update={"air": TRUTH.air.model_copy(update={"altitude_m": 1700.0})})
    here, there = (
        fitted(bullpen(30), base=base).result.pitches["fastball"].values["lift_scale"].value for base in (TRUTH, thin)
    )
    assert there / here == pytest.approx(1.0 / 0.83, rel=0.03)


def test_young_arms_are_cautioned() -> None:
    answer = fitted(bullpen(4), base="youth-46ft")
    assert any("breaking balls under 14" in caution for caution in answer.cautions)
    assert replace(answer, cautions=()).cautions == ()
