"""Versions of a pitch flown side by side: as if each stood alone in the scenario."""

from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.engine.bundle.bundle import prepare, prepare_versions
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.kernel import AT_X, AT_Z
from latebreak.engine.units import FOOT, INCH
from latebreak.service.judging.lineup import line_up_for
from latebreak.service.judging.measures import MEASURES, measure_pitch
from latebreak.service.judging.setting import Setting, settle
from latebreak.service.judging.versions import measure_versions
from latebreak.service.questions import compare
from latebreak.service.questions.lever import BY_KEY
from latebreak.service.scenario import from_mapping
from latebreak.service.scenario.physical import physical_pitch

THROWS = 160
STEPS = {
    "speed_mph": 80.0,
    "spin_rpm": 2800.0,
    "efficiency_percent": 95.0,
    "break_clock_deg": 240.0,
    "release_height_ft": 5.2,
    "target_height_ft": 2.6,
    "spread_scale": 0.5,
    "spread.break_clock_deg": 2.0,
}


def settled(**curve: Any) -> Setting:
    mapping = starter()
    mapping["pitch"]["curve"] |= curve
    return settle(from_mapping(mapping), 3, THROWS)


# --- in the engine --------------------------------------------------------------------------------------------------
def test_every_version_hits_its_target() -> None:
    setting = settled()
    entry = setting.scenario.pitch["curve"]
    heights = (1.2, 1.8, 3.5)
    entries = [BY_KEY["target_height_ft"].moved(entry, "right", height) for height in heights]
    versions = [physical_pitch(setting.scenario, one) for one in entries]
    bundle, reached = prepare_versions(versions, setting.conditions)
    assert reached.tolist() == [True] * 3
    arrivals = bundle.flight.arrivals(bundle.mean.releases())
    # the aim stops at 1e-4 in; the bundle's steps are chosen to 0.0025 in
    np.testing.assert_allclose(arrivals[AT_Z] / FOOT, heights, atol=0.003 * INCH / FOOT)
    np.testing.assert_allclose(arrivals[AT_X] / FOOT, 0.3, atol=0.003 * INCH / FOOT)


def test_one_version_is_the_pitch_itself() -> None:
    setting = settled()
    pitch = setting.pitches["curve"]
    alone, (several, reached) = prepare(pitch, setting.conditions), prepare_versions([pitch], setting.conditions)
    np.testing.assert_array_equal(alone.mean.levers, several.mean.levers)
    np.testing.assert_array_equal(alone.factor, several.factor)
    assert reached.tolist() == [True]


def test_what_can_not_be_thrown_does_not_spoil_the_rest() -> None:
    """At 20 mph a ball flies 27 ft at most on the level (computed: v^2/g); the plate is 54 ft away."""
    setting = settled()
    entry = setting.scenario.pitch["curve"]
    entries = [BY_KEY["speed_mph"].moved(entry, "right", speed) for speed in (74.0, 20.0, 78.0)]
    bundle, reached = prepare_versions([physical_pitch(setting.scenario, one) for one in entries], setting.conditions)
    assert reached.tolist() == [True, False, True]
    arrivals = bundle.flight.arrivals(bundle.mean.releases())
    np.testing.assert_allclose(arrivals[AT_Z, reached] / FOOT, 1.8, atol=0.003 * INCH / FOOT)
    _, none = prepare_versions([physical_pitch(setting.scenario, entries[1])] * 2, setting.conditions)
    assert not none.any()


# --- in the questions -----------------------------------------------------------------------------------------------
def test_versions_of_other_spreads_come_back_in_order() -> None:
    """Two spreads in turns: each version is measured as it is alone with its like."""
    setting = settled()
    lineup = line_up_for(setting, "levers", "curve", False)
    entry = setting.scenario.pitch["curve"]
    wide = BY_KEY["spread_scale"].moved(entry, "right", 1.5)
    fast, fast_wide = (BY_KEY["speed_mph"].moved(one, "right", 80.0) for one in (entry, wide))
    mixed, reached = measure_versions(lineup, "curve", [wide, entry, fast_wide, fast, wide], setting.draws)
    tight, _ = measure_versions(lineup, "curve", [entry, fast], setting.draws)
    loose, _ = measure_versions(lineup, "curve", [wide, fast_wide, wide], setting.draws)
    assert reached.all()
    for key in MEASURES:
        found = mixed[key].value
        np.testing.assert_array_equal(found[[1, 3]], tight[key].value, err_msg=key)
        np.testing.assert_array_equal(found[[0, 2, 4]], loose[key].value, err_msg=key)


def test_one_measure_alone_is_the_same_number() -> None:
    setting = settled()
    lineup = line_up_for(setting, "levers", "curve", False)
    every = measure_pitch(lineup.judge("curve"), setting.draws)
    for key in MEASURES:
        alone = measure_pitch(lineup.judge("curve"), setting.draws, key)
        assert set(alone) == {key}
        assert alone[key].value == every[key].value, key
        np.testing.assert_array_equal(alone[key].blocks, every[key].blocks, err_msg=key)


def test_the_fastball_too_can_be_judged() -> None:
    """Beside itself it shows no gap, and it has measures and intervals as any pitch."""
    setting = settled()
    found = measure_pitch(line_up_for(setting, "levers", "curve", True).judge("fastball"), setting.draws)
    assert set(found) == set(MEASURES)
    assert found["path_gap_at_commit_in"].estimate().value == 0.0
    missed = found["miss_chance_percent"].estimate()
    assert missed.low is not None
    assert 0.0 <= missed.low < missed.value < 100.0


@pytest.mark.parametrize("key", STEPS)
def test_a_version_answers_as_a_scenario_that_holds_it(key: str) -> None:
    """Every measure, beside other versions and alone in a file.

    The force laws are fitted on what all versions visit: 0.002 in at the plate at the worst (the engine's promise),
    so lengths to 0.01 in and 0.002 ft, a time to 0.02 ms (0.01 in at 72 mph is 0.008 ms), shares to 0.05 points (the
    miss chance rises by some 3 points for an inch). Moments too, though a longer view of one version has more looks: a
    median moves by as much as the beliefs do, a hundredth of a look.
    """
    setting = settled()
    lineup = line_up_for(setting, "levers", "curve", False)
    entry = setting.scenario.pitch["curve"]
    entries = [BY_KEY[one].moved(entry, "right", value) for one, value in STEPS.items()]
    response, _ = measure_versions(lineup, "curve", entries, Draws(3, THROWS))
    number = list(STEPS).index(key)
    scenario = setting.scenario.model_copy(update={"pitch": {**setting.scenario.pitch, "curve": entries[number]}})
    expected = compare(scenario, intervals=False).result.pitches["curve"]
    close = {"in": 0.01, "ft": 0.002, "ms": 0.02, "percent": 0.05, "arcmin": 0.1}
    looked = {"ft": 0.01, "ms": 0.1, "percent": 0.0}
    for measure, estimate in expected.items():
        slack = looked if measure.startswith(("recognition", "break_onset")) else close
        found = response[measure].value[number]
        assert found == pytest.approx(estimate.value, abs=slack[measure.rsplit("_", 1)[1]]), measure
