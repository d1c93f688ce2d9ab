"""Bad scenarios: one clear message for each fault, all at once, and never a control character or another exception."""

# ruff: noqa: E501 - the cases read as a table, one a line

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from starters import starter

from latebreak.engine.errors import Fault, InputError, LatebreakError
from latebreak.service.scenario import ScenarioFileError, from_mapping, load, parse
from latebreak.service.scenario.loading import MAX_BYTES
from latebreak.service.scenario.model import Scenario
from latebreak.service.scenario.starter import starter_text

GONE = object()
CURVE = ("pitch", "curve")


def changed(*changes: tuple[tuple[str, ...], object]) -> dict:
    """Return the starter with values put at key paths, or taken away."""
    mapping = starter()
    for (*tables, key), value in changes:
        place = mapping
        for table in tables:
            place = place.setdefault(table, {})
        if value is GONE:
            del place[key]
        else:
            place[key] = value
    return mapping


def faults_of(mapping: dict) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as caught:
        from_mapping(mapping, "bullpen.toml")
    message = str(caught.value)
    assert all(line.startswith("bullpen.toml: ") for line in message.split("\n"))
    assert all(line.isprintable() for line in message.split("\n"))
    return caught.value.faults


# Change at a key path; then where, problem, allowed and remedy as the message must name them.
ONE_FAULT = [
    ((*CURVE, "speed_mph"), 900, "pitch.curve.speed_mph", "900 mph", "10 to 130 mph", "check the value"),
    ((*CURVE, "speed_mph"), -3.5, "pitch.curve.speed_mph", "-3.5 mph", "10 to 130 mph", "check the value"),
    ((*CURVE, "speed_mph"), float("nan"), "pitch.curve.speed_mph", "nan is not a finite", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), float("-inf"), "pitch.curve.speed_mph", "-inf is not", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), "74", "pitch.curve.speed_mph", "'74' is not a number", "10 to 130 mph", "without quotes"),
    ((*CURVE, "speed_mph"), True, "pitch.curve.speed_mph", "true is not a number", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), [74, 75], "pitch.curve.speed_mph", "a list is not", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), 10**400, "pitch.curve.speed_mph", "more than 40 digits", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), None, "pitch.curve.speed_mph", "None is not a number", "10 to 130 mph", "write a number"),
    ((*CURVE, "speed_mph"), GONE, "pitch.curve.speed_mph", "missing", "10 to 130 mph", "speed_kmh"),
    ((*CURVE, "spin_rpm"), 60000, "pitch.curve.spin_rpm", "60000 rpm", "0 to 6000 rpm", "check the value"),
    ((*CURVE, "spin_rpm"), GONE, "pitch.curve.spin_rpm", "missing", "0 to 6000 rpm", "add spin_rpm"),
    ((*CURVE, "break_clock"), "13:20", "pitch.curve.break_clock", "'13:20'", '"1:00" to "12:59"', '"12:45"'),
    ((*CURVE, "break_clock"), "7:60", "pitch.curve.break_clock", "'7:60'", '"1:00" to "12:59"', '"12:45"'),
    ((*CURVE, "break_clock"), 210, "pitch.curve.break_clock", "210", '"1:00" to "12:59"', '"12:45"'),
    ((*CURVE, "break_clock"), GONE, "pitch.curve.break_clock", "missing", '"1:00" to "12:59"', "break_clock_deg"),
    ((*CURVE, "efficiency_percent"), 140, "pitch.curve.efficiency_percent", "140 %", "0 to 100 %", "check the value"),
    ((*CURVE, "efficiency_percent"), GONE, "pitch.curve", "neither efficiency_percent nor gyro_deg", "gyro -90 to 90 deg", "add efficiency_percent"),
    ((*CURVE, "gyro_deg"), 30, "pitch.curve", "gyro_deg = 30", "one of the two", "remove one"),
    ((*CURVE, "gyro_sense"), "backward", "pitch.curve.gyro_sense", "'backward'", '"reverse"', "choose"),
    ((*CURVE, "release_height_ft"), 59, "pitch.curve.release_height_ft", "59 ft", "0.2 to 10 ft", "check the value"),
    ((*CURVE, "release_side_ft"), -17, "pitch.curve.release_side_ft", "-17 ft", "-10 to 10 ft", "check the value"),
    ((*CURVE, "extension_ft"), 60, "pitch.curve.extension_ft", "behind the plate, 60.5 ft", "-1 to 12 ft", "in front of the rubber"),
    ((*CURVE, "extension_ft"), 20, "pitch.curve.extension_ft", "20 ft", "-1 to 12 ft", "check the value"),
    ((*CURVE, "target_height_ft"), 30, "pitch.curve.target_height_ft", "30 ft", "-2 to 10 ft", "check the value"),
    ((*CURVE, "target_height_ft"), GONE, "pitch.curve.target_height_ft", "missing", "launch_elevation_deg", "add target_height_ft"),
    ((*CURVE, "launch_elevation_deg"), 2, "pitch.curve", "launch_elevation_deg = 2", "target_side_ft with", "remove one pair"),
    ((*CURVE, "role"), "curve", "pitch.curve.role", "'curve'", '"fastball" or "breaking" or "offspeed"', "choose"),
    ((*CURVE, "role"), "fastbal", "pitch.curve.role", "'fastbal'", '"fastball"', "did you mean fastball?"),
    ((*CURVE, "reference"), True, "pitch.curve.reference", "the role is 'breaking'", "one fastball", "role = "),
    ((*CURVE, "reference"), "yes", "pitch.curve.reference", "'yes'", "true or false", "without quotes"),
    ((*CURVE, "seam_force"), 0.1, "pitch.curve.seam_force_clock", "missing beside seam_force = 0.1", '"12:59"', "add seam_force_clock"),
    ((*CURVE, "seam_force_clock"), "3:00", "pitch.curve.seam_force", "missing beside its clock", "0 to 0.5", "add seam_force"),
    ((*CURVE, "spread"), {"spin_rpm": -1}, "pitch.curve.spread.spin_rpm", "-1 rpm", "0 to 2000 rpm", "check the value"),
    ((*CURVE, "spread"), {"speed": 1}, "pitch.curve.spread.speed", "value 1", "speed_mph or speed_kmh", "did you mean speed_mph?"),
    ((*CURVE, "spread"), 3, "pitch.curve.spread", "3 is not a table", "a table", "[pitch.curve.spread]"),
    ((*CURVE, "mean_error"), {"seam_force": 2}, "pitch.curve.mean_error.seam_force", "2", "0 to 0.5", "check the value"),
    ((*CURVE, "correlation"), {"speed_mph:spin": 0.4}, "pitch.curve.correlation.'speed_mph:spin'", "0.4", "spin_rpm", "did you mean spin_rpm?"),
    ((*CURVE, "correlation"), {"speed_kmh:spin_rpm": 0.4}, "pitch.curve.correlation.'speed_kmh:spin_rpm'", "0.4", "speed_mph", "take speed_mph"),
    ((*CURVE, "correlation"), {"gyro_deg:gyro_deg": 1}, "pitch.curve.correlation.'gyro_deg:gyro_deg'", "1", "two different keys", "write for example"),
    ((*CURVE, "correlation"), {"speed_mph:spin_rpm": 1.4}, "pitch.curve.correlation.'speed_mph:spin_rpm'", "1.4", "-1 to 1", "check the value"),
    ((*CURVE, "correlation"), {"speed_mph:spin_rpm": 0.4, "spin_rpm:speed_mph": 0.4}, "pitch.curve.correlation.'spin_rpm:speed_mph'", "second time", "each pair once", "remove"),
    ((*CURVE, "correlation"), {"speed_mph:spin_rpm": 0.9, "spin_rpm:gyro_deg": 0.9, "speed_mph:gyro_deg": -0.9}, "pitch.curve.correlation", "contradict", "positive semidefinite", "nearer to 0"),
    ((*CURVE, "spedd_mph"), 74, "pitch.curve.spedd_mph", "value 74", "speed_mph", "did you mean speed_mph"),
    ((*CURVE, "release_side_mm"), -500, "pitch.curve.release_side_mm", "value -500", "release_side_ft or release_side_m", "did you mean release_side_ft?"),
    ((*CURVE, "hand"), "left", "pitch.curve.hand", "'left'", "speed_mph", "hand belongs in [pitcher]"),
    (("pitch", "speed_mph"), 74, "pitch.speed_mph", "74 is not a table", "a table", "under a heading [pitch.NAME]"),
    (("pitch",), {}, "pitch", "no pitch", "at least one", "[pitch.NAME]"),
    (("pitch",), GONE, "pitch", "missing", "", "[pitch.NAME]"),
    (("pitch",), "curve", "pitch", "'curve' is not a table", "a table", "[pitch]"),
    (("pitcher",), GONE, "pitcher", "missing", "", "[pitcher]"),
    (("pitcher", "hand"), "rigth", "pitcher.hand", "'rigth'", '"right" or "left"', "did you mean right?"),
    (("pitcher", "hand"), GONE, "pitcher.hand", "missing", '"right", "left"', "add hand"),
    (("pitcher", "level"), "pro", "pitcher.level", "'pro'", '"professional"', ""),
    (("pitcher", "age_years"), 200, "pitcher.age_years", "200 years", "4 to 100 years", "check the value"),
    (("air", "humidity_percent"), 130, "air.humidity_percent", "130 %", "0 to 100 %", "check the value"),
    (("air", "density_kg_m3"), 1.1, "air.density_kg_m3", "1.1 is given together with air.temperature_c", "density alone", "remove"),
    (("air", "pressure_hpa"), 990, "air", "altitude_m and air.pressure_hpa", "one of altitude and station pressure", "keep one"),
    (("air", "altitude_ft"), 100, "air.altitude_ft", "air.altitude_m and air.altitude_ft", "one of the two", "remove"),
    (("air", "temperature_k"), 293, "air.temperature_k", "value 293", "temperature_c or temperature_f", "did you mean temperature_c?"),
    (("field", "rubber_to_plate_ft"), 6, "field.rubber_to_plate_ft", "6 ft", "30 to 70 ft", "check the value"),
    (("ball",), {"mass_oz": 6.5}, "ball.mass_oz", "softball is not covered", "baseball", "baseball only"),
    (("ball",), {"mass_g": 190}, "ball.mass_g", "190: softball", "baseball", "baseball only"),
    (("ball",), {"circumference_in": 12}, "ball.circumference_in", "12: softball", "baseball", "baseball only"),
    (("ball",), {"mass_oz": 50}, "ball.mass_oz", "50 oz", "3 to 5.75 oz", "check the value"),
    (("ball",), {"lift_law": "power"}, "ball.lift_law", "'power'", "saturating_lift", "did you mean power_lift?"),
    (("ball",), {"lift_law": "constant_drag"}, "ball.lift_law", "'constant_drag'", "saturating_lift", "choose"),
    (("ball",), {"spin_decay_s": 0}, "ball.spin_decay_s", "0 s", "2 to 1000 s", "check the value"),
    (("ball",), {"drag_coefficient": 34}, "ball.drag_coefficient", "34", "0.05 to 1", "check the value"),
    (("sport",), "softball", "sport", "softball is not covered: its ball", "baseball", "baseball only"),
    (("sport",), "cricket", "sport", "'cricket'", '"baseball"', "choose"),
    (("title",), "Softball, windmill", "title", "softball is not covered", "baseball", "baseball only"),
    (("title",), "a\x1b[2Jb", "title", "'a\\x1b[2Jb'", "1 to 200 printable", "plain letters"),
    (("title",), 5, "title", "5 is not a possible text", "1 to 200 printable", "plain letters"),
    (("throws",), 10**12, "throws", "1000000000000", "1 to 100000000", "check the value"),
    (("throws",), 1e12, "throws", "1e+12", "1 to 100000000", "check the value"),
    (("throws",), 0, "throws", "0", "1 to 100000000", "check the value"),
    (("throws",), 10.5, "throws", "10.5 is not a whole number", "1 to 100000000", "whole number"),
    (("seed",), -1, "seed", "-1", "0 to 9223372036854775807", "check the value"),
    (("seed",), 2**63, "seed", "9223372036854775808", "0 to 9223372036854775807", "check the value"),
    (("hitter",), {"familiarity": 2}, "hitter.familiarity", "2", "0 to 1", "check the value"),
    (("hitter",), {"commit_before_arrival_ms": 1.5}, "hitter.commit_before_arrival_ms", "1.5 ms", "50 to 350 ms", "check the value"),
    (("hitter",), {"bats": "switch"}, "hitter.bats", "'switch'", '"right" or "left"', "choose"),
    (("hitter",), {"expects": {"fastball": 0.6, "curve": 0.2}}, "hitter.expects", "sum to 0.8", "a sum of 1", "share out"),
    (("hitter",), {"expects": {"fastball": 0.6, "curv": 0.4}}, "hitter.expects.curv", "0.4", "'curve'", "did you mean curve?"),
    (("hitter",), {"expects": {"fastball": 1.6, "curve": -0.6}}, "hitter.expects.fastball", "1.6", "0 to 1", "check the value"),
    (("wind",), {"to_plate_mph": 5}, "wind", "a table", "title, sport, seed", "spelling"),
    (("temperature_c",), 5, "temperature_c", "value 5", "title, sport, seed", "belongs in [air]"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "value", "where", "problem", "allowed", "remedy"), ONE_FAULT)
def test_a_fault_says_where_what_is_allowed_and_how_to_mend_it(
    path: tuple[str, ...], value: object, where: str, problem: str, allowed: str, remedy: str
) -> None:
    fault = next(fault for fault in faults_of(changed((path, value))) if fault.where == where)
    assert problem in fault.problem
    assert allowed in fault.allowed
    assert remedy in fault.remedy
    assert fault.remedy


SINGLE = [case for case in ONE_FAULT if case[1] != {"expects": {"fastball": 1.6, "curve": -0.6}}]


@pytest.mark.parametrize(("path", "value"), [case[:2] for case in SINGLE])
def test_a_single_mistake_is_one_fault(path: tuple[str, ...], value: object) -> None:
    assert len(faults_of(changed((path, value)))) == 1


def test_a_range_is_worded_in_the_unit_of_the_file() -> None:
    (fault,) = faults_of(changed(((*CURVE, "speed_mph"), GONE), ((*CURVE, "speed_kmh"), 500)))
    assert str(fault).startswith(
        "pitch.curve.speed_kmh: 500 km/h is outside the possible range; allowed: 16.09 to 209.2 km/h"
    )


def test_a_temperature_range_is_shifted_too() -> None:
    """-40 deg C is -40 deg F, and 55 deg C is 131 deg F."""
    (fault,) = faults_of(changed((("air", "temperature_c"), GONE), (("air", "temperature_f"), 300)))
    assert fault.where == "air.temperature_f"
    assert fault.allowed == "-40 to 131 deg F"


def test_all_faults_of_a_file_come_at_once() -> None:
    changes = [((*path,), value) for path, value in [
        (("seed",), "x"), (("air", "humidity_percent"), 900), (("air", "pressure_hpa"), 900), (("pitcher", "hand"), "both"),
        ((*CURVE, "speed_mph"), 900), ((*CURVE, "gyro_deg"), 1), ((*CURVE, "spn_rpm"), 1), ((*CURVE, "target_side_ft"), GONE),
        (("pitch", "fastball", "break_clock"), "0:30"), (("ball",), {"lift_law": "none", "mass_oz": 6.6}),
        (("hitter",), {"expects": {"slider": 1}}),
    ]]  # fmt: skip
    assert {fault.where for fault in faults_of(changed(*changes))} == {
        "seed", "air.humidity_percent", "air", "pitcher.hand", "pitch.curve.speed_mph", "pitch.curve", "pitch.curve.spn_rpm",
        "pitch.curve.target_side_ft", "pitch.fastball.break_clock", "ball.lift_law", "ball.mass_oz", "hitter.expects.slider",
    }  # fmt: skip


def test_two_reference_fastballs() -> None:
    fastball = starter()["pitch"]["fastball"]
    none_marked = changed((("pitch", "sinker"), fastball))
    (fault,) = faults_of(none_marked)
    assert "none has reference = true" in fault.problem
    both = fastball | {"reference": True}
    (fault,) = faults_of(changed((("pitch", "sinker"), both), (("pitch", "fastball"), both)))
    assert "several fastballs have reference = true ('fastball', 'sinker')" in fault.problem


@pytest.mark.parametrize("name", ["\x1b[31mred", "a\nb", "tab\t", "x" * 41, "", "  ", "\u202egnp", "\x9b2J", "\udc80"])
def test_a_pitch_name_is_short_and_printable(name: str) -> None:
    mapping = starter()
    mapping["pitch"][name] = mapping["pitch"]["curve"] | {"speed_mph": 900}
    faults = faults_of(mapping)  # which looks for control characters
    assert [fault.allowed for fault in faults] == ["1 to 40 printable characters", "10 to 130 mph"]


def test_names_are_case_sensitive() -> None:
    mapping = starter()
    mapping["pitch"]["Curve"] = mapping["pitch"]["curve"] | {"speed_mph": 70.0}
    pitches = from_mapping(mapping).scenario.pitch
    assert (pitches["curve"].speed_mph, pitches["Curve"].speed_mph) == (74.0, 70.0)


def test_a_long_value_is_shortened() -> None:
    (fault,) = faults_of(changed(((*CURVE, "speed_mph"), "7" * 100_000)))
    assert len(str(fault)) < 250


def test_very_many_faults_are_cut_and_counted() -> None:
    mapping = starter() | {f"unknown_{i}": i for i in range(5000)}
    assert str(faults_of(mapping)[-1]).startswith("and 4800 faults more")


TEXTS = [
    ("", "the scenario is empty", "latebreak new"),
    ("  \n\t\n", "the scenario is empty", "latebreak new"),
    ("# only a comment\n", "pitch: missing", "[pitch.NAME]"),
    ("x = " + "[" * 10_000, "nested too deep", "[TABLE.NAME]"),
    ("x = " + "{a=" * 10_000, "nested too deep", "[TABLE.NAME]"),
    ("a = = 1", "not TOML", "line 1"),
    ("[pitch.curve]\nbreak_clock = 7:00\n", "the line is 'break_clock = 7:00'", "need quotes"),
    ("[pitcher]\nhand = right\n", "line 2", "need quotes"),
    ("seed = 1\nseed = 2\n", "not TOML", "line 2"),
    ("seed = " + "9" * 5000, "not TOML", "KEY = VALUE"),
    ("title = \"\x1b[31m\"", "not TOML", "KEY = VALUE"),
    ("\x00\x01\x02", "not TOML", "KEY = VALUE"),
    ("x" * (MAX_BYTES + 1), "larger than 1 MB", "is this a scenario?"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "problem", "remedy"), TEXTS, ids=range(len(TEXTS)))
def test_a_text_that_is_no_scenario(text: str, problem: str, remedy: str) -> None:
    with pytest.raises(InputError) as caught:
        parse(text, "bullpen.toml")
    message = str(caught.value)
    assert problem in message
    assert remedy in message
    assert all(line.startswith("bullpen.toml: ") and line.isprintable() for line in message.split("\n"))


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"title = \"caf\xe9\"", "byte 13 (0xe9) is not UTF-8"),
        (starter_text("x").encode("utf-16"), "is not UTF-8"),
        (b"\xff" * 10_000_000, "larger than 1 MB"),
        (b"", "is empty"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_scenario(content: bytes, problem: str, tmp_path: Path) -> None:
    path = tmp_path / "bullpen.toml"
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"bullpen\.toml") as caught:
        load(path)
    assert problem in str(caught.value)


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "bullpen.toml"
    path.write_bytes(b"\xef\xbb\xbf" + starter_text("x").encode())
    assert load(path).scenario.title == "x"


@pytest.mark.parametrize("name", ["two-grip", "no/such/file.toml", "", "\x00", "a\x1b[2J", "x" * 5000])
def test_a_file_that_is_not_there_is_file_trouble(name: str) -> None:
    with pytest.raises(ScenarioFileError) as caught:
        load(name)
    assert str(caught.value).isprintable()


def test_an_unknown_name_lists_the_ready_ones() -> None:
    with pytest.raises(ScenarioFileError, match=r"ready scenarios: .*staff.*did you mean two-grips"):
        load("two-grip")


def test_a_file_named_without_its_ending_is_found_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("bullpen-may.toml").write_text(starter_text("x"), encoding="utf-8")
    with pytest.raises(ScenarioFileError, match=r"did you mean bullpen-may.toml\?"):
        load("bullpen-may")


def test_a_folder_is_file_trouble(tmp_path: Path) -> None:
    with pytest.raises(ScenarioFileError, match="can't be read"):
        load(tmp_path)


# Garbage, with the words of the vocabulary mixed in so that it gets past the first check.
words = st.sampled_from([*Scenario.model_fields, "fastball", "curve", "speed_mph", "speed_kmh", "break_clock", "spread",
                         "correlation", "expects", "density_kg_m3", "speed_mph:spin_rpm", "lift_law"])  # fmt: skip
values = st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.binary(max_size=5) | words
trees = st.recursive(
    values, lambda inner: st.lists(inner) | st.dictionaries(words | st.text() | st.integers(), inner), max_leaves=30
)


def survives(read: Callable[[], object]) -> None:
    """Run a reading; a fault is fine if its message is printable, any other exception fails the test."""
    message = ""
    try:
        read()
    except LatebreakError as error:
        message = str(error)
    assert all(line.isprintable() for line in message.split("\n"))


@given(trees)
@example({"pitch": {"a": {"correlation": {"speed_mph:spin_rpm": 10**400}}}})
@example({"air": {"altitude_ft": 10**400}, "pitcher": {"level": ["x"]}, "pitch": {1: {}, None: 2}})
@example({"hitter": {"expects": {"a": 1.7e308, "b": 1.7e308}}})
@example({"field": {"rubber_to_plate_ft": 1e308}, "pitch": {"a": {"extension_ft": -1e308, "role": [], "spread": []}}})
def test_no_mapping_raises_another_exception(tree: Any) -> None:
    survives(lambda: from_mapping(tree))


@given(st.sampled_from(["pitch", "air", "hitter", "ball"]), st.dictionaries(words | st.text(), trees, max_size=5))
def test_no_garbage_inside_a_good_scenario_raises_another_exception(table: str, garbage: dict) -> None:
    mapping = starter()
    mapping.setdefault(table, {}).update(garbage)
    survives(lambda: from_mapping(mapping))


@given(
    st.text()
    | st.text(alphabet="[]{}=\"'.,#\n0123456789pitch_")
    | st.builds(lambda a, b: a + b, st.just(starter_text("x")), st.text())
)
def test_no_text_raises_another_exception(text: str) -> None:
    survives(lambda: parse(text))
