"""The question which scenario measured throws make: values, origins, flags, sessions, and the file."""

import json
from typing import Any

import numpy as np
import pytest
from fitted_throws import PITCHES, TRUTH, Columns, bullpen, fitted
from simulated_bullpen import measured

from latebreak.engine.errors import InputError
from latebreak.service.questions import compare, fit
from latebreak.service.scenario import parse

Json = dict[str, Any]
RELEASE = {
    "speed_mph",
    "spin_rpm",
    "break_clock_deg",
    "gyro_deg",
    "release_side_ft",
    "release_height_ft",
    "extension_ft",
}
OTHERS = {"efficiency_percent", "target_side_ft", "target_height_ft", "drag_coefficient", "lift_scale", "seam_force"}
BREAKS = ("induced_vertical_break_in", "induced_side_break_in")
PLACES = ("arrival_side_ft", "arrival_height_ft")


def without(throws: dict[str, Columns], *keys: str) -> dict[str, Columns]:
    return {name: {key: column for key, column in of.items() if key not in keys} for name, of in throws.items()}


# --- the answer -----------------------------------------------------------------------------------------------------
def test_the_answer_as_json() -> None:
    answer = json.loads(json.dumps(fitted(bullpen()).to_dict(), allow_nan=False))
    assert (answer["command"], answer["seed"], answer["throws"]) == ("fit", 1, 10000)
    result = answer["result"]
    assert list(result["pitches"]) == list(PITCHES)
    assert "changes" not in result
    for pitch in result["pitches"].values():
        assert (pitch["count"], pitch["used"], pitch["flagged"]) == (12, 12, [])
        for key in RELEASE | OTHERS:
            estimate = pitch[key]
            assert estimate["low"] <= estimate["value"] <= estimate["high"], key
            assert estimate["sampling_error"] == 0.0
            assert pitch["origin"][key] in ("measured", "inferred")
        assert pitch["efficiency_percent"]["high"] <= 100.0
        assert all(estimate["low"] >= 0.0 for estimate in pitch["spread"].values())
        assert len(pitch["spread"]) == 9
        assert pitch["learned"]
    assert result["rows"] == {"read": 36, "used": 36, "left_out": 0}


def test_many_exact_throws_give_the_pitch_back() -> None:
    """200 throws without measuring noise: means to 4 standard errors of their own scatter, forces to 2 %, spreads to
    25 % (5 standard errors of an SD of 200; release and launch 25 % too, since a level's spread is half a bullpen).
    """
    result = fitted(bullpen(200, noise=0.0)).result
    for name in PITCHES:
        true, found = TRUTH.pitch[name], result.pitches[name].values
        for key in ("speed_mph", "spin_rpm", "break_clock_deg"):
            error = getattr(true.spread, key) / np.sqrt(200.0)
            assert found[key].value == pytest.approx(getattr(true, key), abs=4.0 * error), (name, key)
        assert found["efficiency_percent"].value == pytest.approx(true.efficiency_percent, abs=1.5)
        assert found["lift_scale"].value == pytest.approx(1.0, rel=0.02)
        assert found["drag_coefficient"].value == pytest.approx(0.345, rel=0.02)
        assert found["seam_force"].value < 0.004
        for key in ("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "release_side_in"):
            assert found[f"spread.{key}"].value == pytest.approx(getattr(true.spread, key), rel=0.25), (name, key)


def test_the_scenario_gives_the_numbers_back() -> None:
    """To half of the last digit that is written."""
    result = fitted(bullpen(), seed=9, throws_per_pitch=700).result
    loaded = parse(result.scenario)
    assert loaded.warnings == ()
    assert (loaded.scenario.seed, loaded.scenario.throws) == (9, 700)
    assert loaded.scenario.pitcher == TRUTH.pitcher
    assert loaded.scenario.air == TRUTH.air
    assert loaded.scenario.hitter.expects == TRUTH.hitter.expects
    digits = {"_mph": 2, "_rpm": 1, "_deg": 2, "_percent": 2, "_ft": 3, "_in": 3}
    for name, pitch in result.pitches.items():
        entry = loaded.scenario.pitch[name]
        for key, estimate in pitch.values.items():
            where = entry.spread if key.startswith("spread.") else entry
            short = key.removeprefix("spread.")
            written = getattr(where, short)
            if written is None:  # the signed angle, where the efficiency is written; launch, where it has a target
                assert short in ("gyro_deg", "launch_elevation_deg", "launch_azimuth_deg")
                continue
            step = 10.0 ** -next((number for end, number in digits.items() if short.endswith(end)), 5)
            tolerance = 0.5001 * step if short != "efficiency_percent" else 0.02
            assert written == pytest.approx(estimate.value, abs=tolerance), (name, key)
        for key in ("speed_mph", "spin_rpm", "break_clock_deg", "gyro_deg", "drag_coefficient", "lift_scale"):
            half = pitch.values[key].high - pitch.values[key].value  # type: ignore[operator]
            assert getattr(entry.mean_error, key) == pytest.approx(half / 1.6448536, abs=0.051), (name, key)
            spread = pitch.values.get(f"spread.{key}")
            if spread is not None:
                half = spread.high - spread.value  # type: ignore[operator]
                assert getattr(entry.spread_error, key) == pytest.approx(half / 1.6448536, abs=0.051), (name, key)
    assert compare(loaded).result.better.pitch in result.pitches


def test_the_same_throws_give_the_same_digits() -> None:
    first, second = (fitted(bullpen()).result.scenario for _ in range(2))
    assert first == second


def test_the_same_throws_in_other_units_give_the_same_scenario() -> None:
    throws = bullpen()
    metric = {
        name: {
            {"speed_mph": "speed_kmh", "release_height_ft": "release_height_m"}.get(key, key): column
            * {"speed_mph": 1.609344, "release_height_ft": 0.3048}.get(key, 1.0)
            for key, column in of.items()
        }
        for name, of in throws.items()
    }
    us, si = (parse(fitted(one).result.scenario).scenario.pitch["curve_spike"] for one in (throws, metric))
    # the CSV keeps three digits after the point of either unit
    assert si.speed_mph == pytest.approx(us.speed_mph, abs=0.011)
    assert si.release_height_ft == pytest.approx(us.release_height_ft, abs=0.0021)


# --- the ready example ----------------------------------------------------------------------------------------------
def test_the_ready_example() -> None:
    """What is wrong with its rows is put there on purpose: two units, a slip, a wrong name, and four gaps."""
    answer = fit("new-grip", base="before-the-bullpen", columns="new-grip", throws_per_pitch=2000)
    result = answer.result
    assert {name: (pitch.count, pitch.used) for name, pitch in result.pitches.items()} == {
        "fastball": (13, 12), "curve_flat": (12, 11), "curve_ridge": (11, 11),
    }  # fmt: skip
    assert result.rows == {"read": 36, "used": 34, "left_out": 2}
    flags = [one.flag for pitch in result.pitches.values() for one in pitch.flagged]
    cells = {(flag.pitch, flag.key) for flag in flags if not flag.left_out}
    assert cells == {("fastball", "speed_mph"), ("curve_flat", "spin_rpm")}
    rows = {flag.pitch: flag.reason for flag in flags if flag.left_out}
    assert set(rows) == {"fastball", "curve_flat"}
    assert "curve_ridge" in rows["fastball"]  # what it truly is
    loaded = parse(result.scenario)
    assert loaded.warnings == ()
    found = loaded.scenario.pitch
    assert list(found) == ["fastball", "curve_flat", "curve_ridge"]
    assert all(found[name].release_side_ft > 1.0 for name in found)  # a left-hander, from the pitcher's view
    assert 320.0 < found["fastball"].break_clock_deg < 350.0  # toward 11 o'clock, from the catcher's view
    better = compare(loaded).result.better
    assert better.pitch in (None, "curve_ridge")  # a dozen throws of each: a lead, or too little to name one
    assert better.chance_percent is not None
    assert better.chance_percent > 50.0


def test_the_aim_is_shared_where_arrivals_do_not_differ() -> None:
    same, apart = bullpen(), bullpen()
    apart["curve_spike"]["arrival_height_ft"] = apart["curve_spike"]["arrival_height_ft"] + 3.0
    for throws, is_shared in ((same, True), (apart, False)):
        result = fitted(throws).result
        targets = [result.pitches[name].values["target_height_ft"].value for name in PITCHES[1:]]
        assert (targets[0] == targets[1]) is is_shared
        said = " ".join(result.pitches["curve_spike"].learned)
        assert ("Aimed at one place with curve_standard" in said) is is_shared


# --- gaps and missing columns ---------------------------------------------------------------------------------------
def test_gaps_cost_only_what_they_hide() -> None:
    throws = bullpen(20)
    throws["curve_spike"]["efficiency_percent"][3:19] = np.nan
    throws["curve_spike"]["extension_ft"][10] = np.nan
    full, gaps = fitted(bullpen(20)), fitted(throws)
    full_pitch, pitch = (answer.result.pitches["curve_spike"] for answer in (full, gaps))
    assert (pitch.count, pitch.used) == (20, 20)
    key = "efficiency_percent"
    below = [one.values[key].value - one.values[key].low for one in (full_pitch, pitch)]  # type: ignore[operator]
    assert below[1] > 1.3 * below[0]  # 4 of 20 throws tell it
    assert pitch.values["spin_rpm"].value == pytest.approx(full_pitch.values["spin_rpm"].value, rel=1e-6)


@pytest.mark.parametrize(
    ("gone", "key", "origin", "said"),
    [
        (("break_clock_deg",), "break_clock_deg", "inferred", "the break clock is the direction of the movement"),
        (("efficiency_percent",), "efficiency_percent", "inferred", "whether the axis is clean"),
        (("efficiency_percent", *BREAKS, *PLACES), "efficiency_percent", "assumed", "how much of the spin bends"),
        (("extension_ft",), "extension_ft", "assumed", "extension (the base's curve_spike)"),
        (("arrival_speed_mph",), "drag_coefficient", "assumed", "how much the air slows the ball"),
        (BREAKS, "seam_force", "assumed", "a push by the seams"),
        (BREAKS, "lift_scale", "assumed", "how much the ball lifts"),
        (("break_clock_deg",), "seam_force", "assumed", "a push by the seams"),
        (PLACES, "target_height_ft", "assumed", "where the pitch is thrown"),
    ],
)  # fmt: skip
def test_what_a_missing_column_leaves_open_is_said(gone: tuple[str, ...], key: str, origin: str, said: str) -> None:
    pitch = fitted(without(bullpen(), *gone)).result.pitches["curve_spike"]
    assert pitch.origin[key] == origin
    assert said in " ".join(pitch.learned)


def test_every_set_of_columns_makes_a_scenario_that_loads_without_warnings() -> None:
    for gone in ((), ("break_clock_deg",), ("efficiency_percent",), BREAKS, PLACES, ("extension_ft", *PLACES)):
        assert parse(fitted(without(bullpen(), *gone)).result.scenario).warnings == (), gone


def test_an_inferred_clock_and_efficiency_are_near_the_measured() -> None:
    """Without seam-made force the movement tells both: to 3 deg and 4 points, the errors of a dozen throws."""
    for name in PITCHES:
        true = TRUTH.pitch[name]
        by_movement = fitted(without(bullpen(40, noise=0.3), "break_clock_deg", "efficiency_percent")).result.pitches[
            name
        ]
        assert by_movement.values["break_clock_deg"].value == pytest.approx(true.break_clock_deg, abs=3.0)
        assert by_movement.values["efficiency_percent"].value == pytest.approx(true.efficiency_percent, abs=4.0)


@pytest.mark.parametrize("gone", [("speed_mph",), ("spin_rpm", *BREAKS), ("break_clock_deg", *BREAKS)])
def test_what_nothing_tells_is_a_fault(gone: tuple[str, ...]) -> None:
    """Of pitches that the base doesn't have."""
    throws = {f"new_{name}": columns for name, columns in without(bullpen(), *gone).items()}
    with pytest.raises(InputError) as caught:
        fitted(throws)
    key = "break_clock" if gone[0] == "break_clock_deg" else gone[0]
    assert {fault.where for fault in caught.value.faults} == {f"pitch.new_{name}.{key}" for name in PITCHES}
    assert "add a column" in str(caught.value)
    assert fitted(without(bullpen(), *gone)).result.pitches["fastball"].origin[gone[0]] == "assumed"


def test_one_throw() -> None:
    answer = fitted(bullpen(1))
    pitch = answer.result.pitches["curve_spike"]
    assert (pitch.count, pitch.used) == (1, 1)
    assert any("One throw tells nothing about the spread" in sentence for sentence in pitch.learned)
    found = parse(answer.result.scenario).scenario.pitch["curve_spike"]
    assert found.spread.speed_mph == TRUTH.pitch["curve_spike"].spread.speed_mph  # the base's
    assert found.mean_error.speed_mph == pytest.approx(found.spread.speed_mph, rel=0.5)


def test_how_balls_differ_is_the_bases_or_the_usual() -> None:
    """Throws can't tell the ball's scatter from the device's: a base's own value is kept, the usual not written."""
    spike = TRUTH.pitch["curve_spike"]
    own = spike.model_copy(update={"spread": spike.spread.model_copy(update={"lift_scale": 0.07})})
    base = TRUTH.model_copy(update={"pitch": TRUTH.pitch | {"curve_spike": own}})
    text = fitted(bullpen(), base=base).result.scenario
    assert text.count("lift_scale = 0.07 # assumed") == 1
    found = parse(text).scenario.pitch
    assert (found["curve_spike"].spread.lift_scale, found["curve_standard"].spread.lift_scale) == (0.07, 0.04)


def test_throws_narrow_the_intervals() -> None:
    """By about the root of their number: 40 throws against 10 halve them, in the mean over what is measured directly.

    18 widths of some 15 % each, of which the release quantities of a pitch hang together: to 10 %.
    """
    keys = ("speed_mph", "spin_rpm", "break_clock_deg", "release_side_ft", "release_height_ft", "extension_ft")
    widths = []
    for count in (10, 40):
        found = fitted(bullpen(count)).result.pitches.values()
        widths.append([pitch.values[key].high - pitch.values[key].low for pitch in found for key in keys])  # type: ignore[operator]
    assert 1.6 < np.exp(np.mean(np.log(np.divide(widths[0], widths[1])))) < 2.6


# --- seams ----------------------------------------------------------------------------------------------------------
def seamy(efficiency_off: float = 0.0, force: float = 0.0) -> dict[str, Columns]:
    """Curves whose measured efficiency is off, or that the seams push across the break clock."""
    entry = TRUTH.pitch["curve_spike"]
    pushed = entry.model_copy(update={"seam_force": force, "seam_force_clock_deg": entry.break_clock_deg + 90.0})
    scenario = TRUTH.model_copy(update={"pitch": {**TRUTH.pitch, "curve_spike": pushed}})
    rng = np.random.default_rng(4)
    throws = {name: measured(scenario, name, 24, rng) for name in PITCHES}
    throws["curve_spike"]["efficiency_percent"] = throws["curve_spike"]["efficiency_percent"] + efficiency_off
    return throws


def test_a_seam_made_force_is_told_from_a_wrong_efficiency() -> None:
    pushed, misread = (
        fitted(seamy(**how)).result.pitches["curve_spike"] for how in ({"force": 0.05}, {"efficiency_off": -15.0})
    )
    force = pushed.values["seam_force"]
    assert force.low < 0.05 < force.high  # type: ignore[operator]
    assert force.low > 0.03  # type: ignore[operator]
    assert any("aside of where its spin points" in sentence for sentence in pushed.learned)
    assert misread.values["seam_force"].value < 0.015
    assert misread.values["lift_scale"].low > 1.0  # type: ignore[operator]  # more movement than that efficiency explains
    assert any("no seam-made force beyond chance" in sentence for sentence in misread.learned)


def test_without_the_clock_a_seam_made_force_is_undecidable() -> None:
    pitch = fitted(without(seamy(force=0.05), "break_clock_deg")).result.pitches["curve_spike"]
    assert pitch.origin["seam_force"] == "assumed"
    assert any("Not told: a push by the seams" in sentence for sentence in pitch.learned)
