"""Facts of the trade about plans: command, the gap in speed, and what a curve does for the fastball.

All of them common practice, no source: the model is asked whether it knows them, nothing in it was set to meet them.
"""

from typing import Any

import numpy as np
import pytest
from starters import starter

from latebreak.service import questions as ask
from latebreak.service.judging.estimates import Estimate
from latebreak.service.judging.lineup import line_up
from latebreak.service.judging.measures import measure_swings
from latebreak.service.judging.setting import settle
from latebreak.service.judging.whole_mix import MIX, OF_PITCH
from latebreak.service.scenario import Scenario, from_mapping, load

THROWS = 4000
COMMAND = ("launch_elevation_deg", "launch_azimuth_deg", "release_side_in", "release_height_in")


def curve(scatter: float, side: float, height: float) -> Scenario:
    """The starter with a curve that is aimed there and scatters so many times as much as it does."""
    tables: dict[str, Any] = starter()
    spread = from_mapping(tables).scenario.pitch["curve"].spread
    tables["pitch"]["curve"] |= {"target_side_ft": side, "target_height_ft": height}
    tables["pitch"]["curve"]["spread"] = {key: scatter * getattr(spread, key) for key in COMMAND}
    return from_mapping(tables).scenario


def worth(scenario: Scenario) -> Estimate:
    return ask.compare(scenario, throws=THROWS, intervals=False).result.pitches["curve"][OF_PITCH]


@pytest.mark.parametrize(("side", "height"), [(0.0, 1.6), (0.75, 1.7), (0.75, 2.5)], ids=["low", "corner", "outside"])
def test_of_two_pitches_that_differ_in_scatter_alone_the_steadier_is_worth_more_at_an_edge(
    side: float, height: float
) -> None:
    steady, wild = (worth(curve(scatter, side, height)) for scatter in (0.7, 1.2))
    assert steady.value > wild.value + 3.0 * np.hypot(steady.sampling_error, wild.sampling_error)
    assert steady.value > wild.value + 3.0  # points: of the size that a coach would act on


def test_the_steadier_he_is_the_nearer_to_the_edge_a_pitch_is_best_aimed() -> None:
    """He who scatters little aims low and to the glove side; he who scatters much must aim at the middle."""
    steady, wild = (
        ask.aim(curve(scatter, 0.3, 1.8), pitch="curve", throws=THROWS, intervals=False).result.best
        for scatter in (0.5, 1.25)
    )
    assert steady.target_height_ft < wild.target_height_ft
    assert steady.estimate.value > wild.estimate.value + 10.0


def test_a_bigger_gap_in_speed_helps_a_changeup_up_to_a_point() -> None:
    staff = load("staff").scenario
    found = []
    for gap in (3.0, 8.0, 13.0, 23.0):
        moved = staff.pitch["changeup"].model_copy(update={"speed_mph": staff.pitch["four_seam"].speed_mph - gap})
        scenario = staff.model_copy(update={"pitch": staff.pitch | {"changeup": moved}})
        result = ask.compare(scenario, pitches=["changeup"], throws=THROWS, intervals=False).result
        found.append([result.pitches["changeup"][key].value for key in ("miss_chance_percent", OF_PITCH, MIX)])
    near, usual, wide, far = np.array(found)
    assert np.all(near + 0.5 < usual)
    assert np.all(usual + 0.5 < wide)
    assert np.all(far + 0.5 < wide)  # he sees it coming, and it is in the air so long that he can wait


@pytest.mark.parametrize("name", ["two-grips", "topspin-twelve-to-six", "left-eleven-to-five", "before-the-bullpen"])
def test_the_fastball_behind_a_curve_is_missed_more_than_without(name: str) -> None:
    setting = settle(name, None, THROWS)
    lineup = line_up(setting, "mix", None, False)
    other = lineup.compared[0]
    mixes = [{lineup.fastball: 1.0 - share, other: share} for share in (0.0, 0.2, 0.4)]
    found = measure_swings(lineup.judge_expecting(lineup.fastball, mixes), setting.draws)
    for key in ("miss_chance_percent", OF_PITCH):
        steps = [found[key].change(number, since=number - 1) for number in (1, 2)]
        for step in steps:
            assert step.value > 3.0 * step.sampling_error > 0.0
