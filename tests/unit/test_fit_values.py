"""Values of a fitted pitch, and the scenario file that holds them."""

import tomllib
from dataclasses import replace

import numpy as np
import pytest
from fitted_pitch import BASE, fitted, known_of

from latebreak.engine.inverse.fitted import Fitted
from latebreak.engine.units import DEGREE, FOOT
from latebreak.service.questions.fitting.base import read_base
from latebreak.service.questions.fitting.entry import entry_of
from latebreak.service.questions.fitting.scenario_text import scenario_text
from latebreak.service.scenario import load, parse


def test_estimates_hold_the_error_and_keep_to_what_can_be() -> None:
    one = known_of(efficiency=Fitted(0.99, 0.02, "measured"))
    assert one.values["speed_mph"].low == pytest.approx(78.0 - 1.6448536 * 0.78)
    assert one.values["speed_mph"].high == pytest.approx(78.0 + 1.6448536 * 0.78)
    assert one.values["efficiency_percent"].high == 100.0
    assert one.values["speed_mph"].sampling_error == 0.0
    assert one.values["target_height_ft"].value == pytest.approx(0.6 / FOOT)
    assert all(estimate.low is None or estimate.low <= estimate.value for estimate in one.values.values())


def test_a_table_of_the_file() -> None:
    entry = entry_of(known_of(), BASE, reference=False)
    assert entry["speed_mph"] == 78.0
    assert entry["break_clock_deg"] == 210.0
    assert entry["efficiency_percent"] == pytest.approx(86.6, abs=0.01)  # cos 30 deg
    assert "gyro_sense" not in entry  # clockwise, as usual for a right-hander
    assert {"drag_coefficient", "lift_scale", "seam_force"}.isdisjoint(entry)  # the ball's own
    assert entry["mean_error"]["speed_mph"] == 0.78
    assert entry["mean_error"]["release_side_in"] == pytest.approx(0.192)  # 1 % of 1.6 ft
    assert "launch_elevation_deg" not in entry["mean_error"]  # it is aimed


def test_an_unusual_or_measured_sense_of_the_gyro_spin() -> None:
    levers = list(fitted().levers)
    levers[3] = Fitted(-30.0 * DEGREE, 0.02, "measured")
    reverse = entry_of(known_of(levers=tuple(levers)), BASE, reference=False)
    assert reverse["gyro_sense"] == "reverse"
    signed = entry_of(known_of(levers=tuple(levers), gyro_sense_measured=True), BASE, reference=False)
    assert signed["gyro_deg"] == -30.0
    assert "efficiency_percent" not in signed


def test_what_pins_the_lift_is_written() -> None:
    """Where movement told the efficiency, with a lift scale of 1, no other lift goes with it."""
    by_movement = entry_of(known_of(efficiency=Fitted(0.8, 0.02, "inferred")), BASE, reference=False)
    assert by_movement["lift_scale"] == 1.0
    assert by_movement["mean_error"]["lift_scale"] == 0.0
    measured = entry_of(known_of(lift_scale=Fitted(1.1, 0.03, "inferred")), BASE, reference=False)
    assert (measured["lift_scale"], measured["mean_error"]["lift_scale"]) == (1.1, 0.03)


def test_an_assumed_efficiency_is_not_taken_for_sure() -> None:
    """Of a pitch that the base doesn't have; one that it has brings its own errors along."""
    levers = list(fitted().levers)
    levers[3] = replace(levers[3], error=0.0, origin="assumed")
    new, old = (known_of(name, levers=tuple(levers)) for name in ("new", "curve_spike"))
    assert entry_of(new, BASE, reference=False)["mean_error"]["gyro_deg"] == 15.0
    of_base = BASE.scenario.pitch["curve_spike"].mean_error.gyro_deg
    assert entry_of(old, BASE, reference=False)["mean_error"]["gyro_deg"] == of_base


def test_an_assumed_spread_is_not_taken_for_sure() -> None:
    one = known_of(spread_origin=("measured",) * 8 + ("assumed",))
    entry = entry_of(one, BASE, reference=False)
    assert entry["spread_error"]["speed_mph"] == pytest.approx(0.2 * entry["spread"]["speed_mph"], abs=0.01)
    assert entry["spread_error"]["launch_azimuth_deg"] == pytest.approx(
        0.35 * entry["spread"]["launch_azimuth_deg"], abs=0.01
    )


def test_correlations_stay_possible_when_rounded() -> None:
    """A matrix of rank two, rounded to three digits, must still be one that a file may have."""
    rng = np.random.default_rng(3)
    for _ in range(20):
        factor = rng.standard_normal((9, 2))
        matrix = factor @ factor.T
        sd = np.sqrt(np.diag(matrix))
        entry = entry_of(known_of(correlation=matrix / np.outer(sd, sd)), BASE, reference=False)
        parse(scenario_text(_mapping({"curve": entry}), {}, "two-grips"))


def _mapping(pitches: dict[str, dict]) -> dict:
    entry = entry_of(known_of(), BASE, reference=False)
    return {"title": "t", **BASE.tables, "hitter": {}, "pitch": {"fastball": entry | {"role": "fastball"}, **pitches}}


def test_any_name_can_stand_in_the_file() -> None:
    names = ['curve "spike"', "a.b", "7:05 #1", "kurve ä", "x\\y", "= 1", "'"]
    one = known_of()
    entry = entry_of(one, BASE, reference=False)
    text = scenario_text(
        _mapping(dict.fromkeys(names, entry)), {name: replace(one, source='a"\n"b') for name in names}, "x"
    )
    assert list(parse(text).scenario.pitch)[1:] == names


def test_the_file_says_what_was_not_measured() -> None:
    levers = list(fitted().levers)
    levers[6] = Fitted(6.3 * FOOT, 0.0, "assumed")
    one = known_of(levers=tuple(levers), efficiency=Fitted(0.8, 0.02, "inferred"))
    text = scenario_text(_mapping({"curve": entry_of(one, BASE, reference=False)}), {"curve": one}, "two-grips")
    assert "extension_ft = 6.3 # assumed: the base's fastball" in text
    assert "break_clock_deg = 210.0 # 7:00" in text
    assert "# inferred" in text
    assert "# From 12 throws in 'bullpen.csv'." in text
    assert "# Not among the throws" in text  # the fastball
    assert tomllib.loads(text)["air"] == dict(load_tables("two-grips"))["air"]


def load_tables(name: str) -> dict:
    from latebreak.service.scenario.ready import ready_path

    path = ready_path(name)
    assert path is not None
    return tomllib.loads(path.read_text(encoding="utf-8"))


def test_a_base_without_a_file_keeps_its_tables() -> None:
    """Written out and read again, it is the same scenario."""
    from_file, from_object = read_base("staff", 3, 500), read_base(load("staff").scenario, 3, 500)
    entry = entry_of(known_of(), BASE, reference=False)
    pitches = {
        name: entry | {"role": "fastball" if name == "four_seam" else "breaking"} for name in from_file.scenario.pitch
    }
    of_file, of_object = (
        parse(scenario_text({"title": "t", **base.tables, "pitch": pitches}, {}, "x")).scenario
        for base in (from_file, from_object)
    )
    assert of_file == of_object
    assert of_file.hitter == from_file.scenario.hitter
