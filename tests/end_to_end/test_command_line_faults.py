"""The command line and bad input: one clear message on stderr, and the exit status that belongs to it."""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from commands import Run, assert_clean, toml
from starters import starter

from latebreak.service.scenario.starter import starter_text

# --- bad scenario files ---------------------------------------------------------------------------------------------
CURVE = ("pitch", "curve")
#: Key path, value (None: taken away); then the words that the message must hold: the key, and the range.
BAD_KEYS: list[tuple[tuple[str, ...], Any, list[str]]] = [
    ((*CURVE, "speed_mph"), None, ["pitch.curve.speed_mph", "missing", "10 to 130 mph"]),
    ((*CURVE, "speed_mph"), -74.0, ["pitch.curve.speed_mph", "-74 mph", "10 to 130 mph"]),
    ((*CURVE, "speed_mph"), 740.0, ["pitch.curve.speed_mph", "740 mph", "10 to 130 mph"]),
    ((*CURVE, "speed_mph"), float("nan"), ["pitch.curve.speed_mph", "nan", "10 to 130 mph"]),
    ((*CURVE, "speed_mph"), float("inf"), ["pitch.curve.speed_mph", "inf", "10 to 130 mph"]),
    ((*CURVE, "speed_mph"), "74 mph", ["pitch.curve.speed_mph", "'74 mph'", "10 to 130 mph"]),
    ((*CURVE, "speed_kmh"), 119.0, ["pitch.curve.speed_kmh", "pitch.curve.speed_mph", "twice", "one of the two"]),
    ((*CURVE, "speed_mhp"), 74.0, ["pitch.curve.speed_mhp", "did you mean speed_mph"]),
    ((*CURVE, "vertical_brake"), 7, ["pitch.curve.vertical_brake"]),
    ((*CURVE, "spin_rpm"), 1e9, ["pitch.curve.spin_rpm", "0 to 6000 rpm"]),
    ((*CURVE, "break_clock"), "13:75", ["pitch.curve.break_clock", "'13:75'", '"1:00" to "12:59"']),
    ((*CURVE, "break_clock"), 7, ["pitch.curve.break_clock", '"1:00" to "12:59"']),
    ((*CURVE, "break_clock_deg"), 210.0, ["pitch.curve.break_clock", "twice", "one of the two"]),
    ((*CURVE, "efficiency_percent"), 140, ["pitch.curve.efficiency_percent", "140 %", "0 to 100 %"]),
    ((*CURVE, "gyro_deg"), 30.0, ["pitch.curve", "gyro_deg", "efficiency_percent", "one of the two"]),
    ((*CURVE, "extension_ft"), 60.0, ["pitch.curve.extension_ft", "behind the plate", "-1 to 12 ft"]),
    ((*CURVE, "target_side_ft"), 40.0, ["pitch.curve.target_side_ft", "40 ft", "-10 to 10 ft"]),
    ((*CURVE, "target_height_ft"), None, ["pitch.curve.target_height_ft", "missing"]),
    ((*CURVE, "launch_elevation_deg"), 1.0, ["pitch.curve", "launch_elevation_deg", "one pair"]),
    ((*CURVE, "role"), "fast ball", ["pitch.curve.role", "'fast ball'", "fastball"]),
    ((*CURVE, "spread"), {"spin_rpm": -1}, ["pitch.curve.spread.spin_rpm", "0 to 2000 rpm"]),
    ((*CURVE, "mean_error"), {"speed_mph": "x"}, ["pitch.curve.mean_error.speed_mph", "0 to 20 mph"]),
    (("throws",), 10**12, ["throws", "1 to 1"]),
    (("throws",), 0, ["throws", "1 to 1"]),
    (("throws",), 2.5, ["throws", "whole number"]),
    (("seed",), -1, ["seed", "0 to"]),
    (("pitcher", "hand"), "switch", ["pitcher.hand", "'switch'", "right", "left"]),
    (("pitcher", "level"), "majors", ["pitcher.level", "'majors'", "professional"]),
    (("pitcher",), None, ["pitcher", "missing"]),
    (("pitch",), None, ["pitch", "missing"]),
    (("air", "humidity_percent"), 900, ["air.humidity_percent", "900 %", "0 to 100 %"]),
    (("air", "density_kg_m3"), 1.2, ["air.density_kg_m3", "density alone"]),
    (("ball",), {"lift_law": "nolift"}, ["ball.lift_law", "'nolift'", "saturating_lift"]),
    (("hitter",), {"expects": {"slider": 1.0}}, ["hitter.expects.slider", "fastball", "curve"]),
    (("hitter",), {"expects": {"fastball": 0.9, "curve": 0.9}}, ["hitter.expects", "1.8", "a sum of 1"]),
    (("hitter",), {"speed_noise_percent": -5}, ["hitter.speed_noise_percent", "-5", " to 100 %"]),
    (("hitter",), {"balls": 3}, ["hitter.strikes", "balls = 3", "0 to 2"]),
    (("hitter",), {"familiarity": 50}, ["hitter.familiarity", "50", "0 to 1"]),
    (("title",), "\x1b[2Jgone", ["title", "printable"]),
]


def changed(path: tuple[str, ...], value: Any) -> str:
    mapping = starter()
    *tables, key = path
    place = mapping
    for table in tables:
        place = place[table]
    place.pop(key, None)
    if value is not None:
        place[key] = value
    return toml(mapping)


def test_the_unchanged_scenario_is_good(run: Run, file: Callable[[str], str]) -> None:
    """So that each fault below is the one that was put in."""
    assert run("fly", file(changed(("seed",), 3)), "--throws", "16")[0] == 0


@pytest.mark.parametrize(("path", "value", "words"), BAD_KEYS, ids=[f"{'.'.join(p)}={v!r:.20}" for p, v, _ in BAD_KEYS])
def test_a_bad_key(run: Run, file: Callable[[str], str], path: tuple[str, ...], value: Any, words: list[str]) -> None:
    code, out, err = run("fly", file(changed(path, value)))
    assert (code, out) == (2, "")
    assert all(word in err for word in words), err
    assert "bullpen.toml" in err
    assert "allowed: " in err or "add a table" in err  # a table that is missing has no range
    assert_clean(err)


def test_an_unknown_hitter_model(run: Run, file: Callable[[str], str]) -> None:
    code, out, err = run("compare", file(changed(("hitter",), {"model": "one_glanec"})))
    assert (code, out) == (2, "")
    assert err.count("\n") == 1
    for word in ("bullpen.toml", "hitter.model", "'one_glanec'", "one_glance", "keen_eye", "speed_alone"):
        assert word in err
    assert_clean(err)


def test_two_reference_fastballs(run: Run, file: Callable[[str], str]) -> None:
    mapping = starter()
    mapping["pitch"]["fastball"]["reference"] = True
    mapping["pitch"]["sinker"] = mapping["pitch"]["fastball"]
    code, out, err = run("compare", file(toml(mapping)))
    assert (code, out) == (2, "")
    assert "reference" in err
    assert "'fastball', 'sinker'" in err
    assert_clean(err)


def test_no_fastball(run: Run, file: Callable[[str], str]) -> None:
    code, out, err = run("compare", file(changed(("pitch", "fastball", "role"), "offspeed")))
    assert (code, out) == (2, "")
    assert "role" in err
    assert 'role = "fastball"' in err
    assert_clean(err)


def test_all_faults_at_once(run: Run, file: Callable[[str], str]) -> None:
    mapping = tomllib.loads(changed((*CURVE, "speed_mph"), 900.0))
    mapping["pitcher"]["hand"] = "both"
    mapping["pitch"]["fastball"]["spn_rpm"] = 1
    code, _, err = run("compare", file(toml(mapping)))
    assert code == 2
    assert err.count("\n") == 3
    for key in ("pitch.curve.speed_mph", "pitcher.hand", "pitch.fastball.spn_rpm"):
        assert key in err


def test_an_unreachable_target(run: Run, file: Callable[[str], str]) -> None:
    """At 20 mph a ball flies 27 ft at most on the level (computed: v^2/g); the plate is 54 ft away."""
    for command in ("fly", "compare"):
        code, out, err = run(command, file(changed((*CURVE, "speed_mph"), 20.0)))
        assert (code, out) == (2, "")
        assert "pitch.curve.target_height_ft" in err
        assert "20 mph" in err
        assert_clean(err)


BAD_FILES: list[tuple[str, str | bytes, str]] = [
    ("empty", "", "empty"),
    ("blank", " \n\t\n", "empty"),
    ("not TOML", "speed = = 74", "not TOML"),
    ("clock without quotes", starter_text("x").replace('"7:00"', "7:00"), "need quotes"),
    ("a key twice", "seed = 1\nseed = 2\n", "not TOML"),
    ("10,000 brackets", "x = " + "[" * 10_000, "nested too deep"),
    ("10 MB of garbage", b"\xff\x00\x9b" * 3_400_000, "larger than 1 MB"),
    ("10 MB of letters", b"a" * 10_000_000, "larger than 1 MB"),
    ("not UTF-8", b'title = "caf\xe9"', "not UTF-8"),
    ("a picture", b"\x89PNG\r\n\x1a\n\x00\x00", "not UTF-8"),
    ("zeros", b"\x00" * 100, "not TOML"),
    ("escape codes in a table", b'[pitch."\x1b]0;gone\x07"]\nspeed_mph = 1\n', "not TOML"),
    ("escape codes in a name", '[pitch."\\u001b[2J"]\nspeed_mph = 1\n', "printable"),
    ("escape codes in a key", '"\\u001b[2J" = 1\n', "\\x1b"),
    ("direction marks", '[pitch."\\u202egnp"]\nspeed_mph = 1\n', "printable"),
    ("a number of 5,000 digits", "seed = " + "9" * 5000, "allowed"),
    ("5,000 unknown keys", "".join(f"unknown_{i} = 1\n" for i in range(5000)), "faults more"),
    ("a pitch that is a number", "pitch = 3\n", "pitch"),
]


@pytest.mark.parametrize(("content", "words"), [case[1:] for case in BAD_FILES], ids=[case[0] for case in BAD_FILES])
def test_a_bad_file(run: Run, file: Callable[[str | bytes], str], content: str | bytes, words: str) -> None:
    code, out, err = run("compare", file(content))
    assert (code, out) == (2, "")
    assert words in err
    assert "bullpen.toml" in err
    assert_clean(err)


# --- bad words on the command line ----------------------------------------------------------------------------------
BAD_WORDS = [
    (["fly", "two-grips", "--throws", "0"], ["throws", "0 is out of range", "1 to 100,000,000"]),
    (["fly", "two-grips", "--throws", "-5"], ["throws", "-5", "1 to 100,000,000"]),
    (["compare", "two-grips", "--throws", "1000000000000"], ["throws", "1000000000000", "1 to 100,000,000"]),
    (["fly", "two-grips", "--throws", "many"], ["--throws", "'many'"]),
    (["fly", "two-grips", "--throws", "1e3"], ["--throws", "'1e3'"]),
    (["fly", "two-grips", "--seed", "-1"], ["seed", "-1", "0 to 2^63 - 1"]),
    (["fly", "two-grips", "--seed", str(2**63)], ["seed", "0 to 2^63 - 1"]),
    (["compare", "two-grips", "--seed", "\x1b[2J"], ["--seed", "\\x1b"]),
    (["compare", "two-grips", "--pitches", "slider"], ["pitches", "'slider'", "curve_spike, curve_standard"]),
    (["compare", "two-grips", "--pitches", "fastball"], ["pitches", "'fastball'", "curve_spike, curve_standard"]),
    (["compare", "two-grips", "--pitches", ","], ["pitches", "no pitch is named", "curve_spike, curve_standard"]),
    (["compare", "two-grips", "--pitches", "\x1b]0;x\x07"], ["pitches", "\\x1b"]),
    (["compare", "two-grips", "--pitches"], ["--pitches"]),
    (["fly", "two-grips", "--no-interval"], ["--no-interval"]),
    ([], ["Usage: ", "Commands"]),
    (["fly"], ["SCENARIO"]),
    (["fly", "two-grips", "staff"], ["staff"]),
    (["fly", "two-grips", "bell\x07"], ["extra argument"]),
    (["flie", "two-grips"], ["'flie'"]),
    (["\x1b[2J"], ["\\x1b"]),
    (["fly", "two-grips", "--\x1b[2J"], ["\\x1b"]),
    (["new"], ["NAME"]),
    (["new", "a/b"], ["'a/b'", "plain file name"]),
    (["new", "../up"], ["plain file name"]),
    (["new", "x\x1b[2J"], ["plain file name", "\\x1b"]),
    (["new", ""], ["plain file name"]),
    (["new", "n" * 300], ["plain file name", "1 to 80"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "said"), BAD_WORDS, ids=[" ".join(words)[:40].encode("unicode_escape").decode() for words, _ in BAD_WORDS]
)
def test_bad_words(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, words: list[str], said: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert all(word in err for word in said), err
    assert_clean(err)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("name", ["no-such-file.toml", "two-grip", "", "\x00", "\x1b[2J", "n" * 5000, "/", "."])
@pytest.mark.parametrize("command", ["fly", "compare"])
def test_a_file_that_is_not_there_is_file_trouble(run: Run, command: str, name: str) -> None:
    code, out, err = run(command, name)
    assert (code, out) == (3, "")
    assert err.strip()
    assert_clean(err)


def test_new_in_a_folder_that_is_gone(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    here = tmp_path / "gone"
    here.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    code, out, err = run("new", "my-curve")
    assert (code, out) == (3, "")
    assert "my-curve.toml" in err
    assert_clean(err)


def test_a_fault_of_our_own_says_so(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """The one case that shows a traceback: status 1 asks for a report."""
    from latebreak.service import scenario

    def broken(source: str, **how: bool) -> None:
        raise ZeroDivisionError("a bug")

    monkeypatch.setattr(scenario, "load", broken)
    code, out, err = run("fly", "two-grips")
    assert (code, out) == (1, "")
    assert "please report it" in err
    assert "ZeroDivisionError: a bug" in err
