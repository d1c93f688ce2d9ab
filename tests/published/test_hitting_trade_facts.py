"""What every pitching coach knows about hitters. Common practice, no source.

Each is held in means over 2,048 throws, by more than three standard errors of the difference on the same throws.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from batting import (
    CURVE,
    FASTBALL,
    MIX,
    PROFESSIONAL,
    SLIDER,
    Thrown,
    face,
    misses,
    moments_of,
    swings,
    with_pitch,
)

from latebreak.engine.kernel import AT_TIME
from latebreak.perception.model import Situation
from latebreak.perception.moments import MOMENTS
from latebreak.perception.parameters import LEVELS, preset

SIDES = ("right", "left")
TUNNEL_EXIT, RECOGNITION, BREAK_ONSET = range(len(MOMENTS))
LOOSE, CLEAN = Thrown(72.0, 2200.0, 198.0, 76.0), Thrown(79.0, 2700.0, 198.0, 96.0)


@pytest.mark.parametrize("bats", SIDES)
@pytest.mark.parametrize("level", LEVELS)
def test_a_high_fastball_is_missed_more_than_one_in_the_middle(bats: str, level: str) -> None:
    p, situation = preset(level), Situation(bats)
    high, middle = (
        misses(face("fastball", with_pitch("fastball", FASTBALL.at(height)), p, situation)) for height in (3.4, 2.5)
    )
    assert high.exceeds(middle), (high, middle)


@pytest.mark.parametrize("bats", SIDES)
@pytest.mark.parametrize("level", LEVELS)
def test_a_buried_curve_is_missed_more_and_taken_more(bats: str, level: str) -> None:
    """Aimed seven inches above the ground, where the catcher has to block it."""
    p, situation = preset(level), Situation(bats)
    buried, middle = (face("curve", with_pitch("curve", CURVE.at(height)), p, situation) for height in (0.6, 2.4))
    assert misses(buried).exceeds(misses(middle))
    assert swings(middle).exceeds(swings(buried))


@pytest.mark.parametrize("name", MIX)
def test_the_same_side_misses_more(name: str) -> None:
    """Breaking balls above all."""
    same, other = (misses(face(name, situation=Situation(bats))) for bats in ("right", "left"))
    assert same.exceeds(other), (same, other)


@pytest.mark.parametrize("bats", SIDES)
def test_with_two_strikes_he_chases_more(bats: str) -> None:
    """A slider low and away: out of his zone."""
    away = SLIDER.at(1.1, 0.9 if bats == "right" else -0.9)
    found = [
        swings(face("slider", with_pitch("slider", away), situation=Situation(bats, count=(1, strikes))))
        for strikes in range(3)
    ]
    for fewer, more in pairwise(found):
        assert more.exceeds(fewer), found


def test_hardly_anybody_swings_at_three_and_none() -> None:
    at = {count: swings(face("fastball", situation=Situation(count=count))).value for count in ((2, 0), (3, 0), (3, 1))}
    assert at[3, 0] < 0.5 * min(at[2, 0], at[3, 1])


@pytest.mark.parametrize("bats", SIDES)
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("hand", SIDES)
def test_a_hard_clean_curve_is_missed_more_than_a_slow_loose_one(bats: str, level: str, hand: str) -> None:
    def own(curve: Thrown) -> dict[str, tuple[Thrown, float]]:
        return {name: (replace(each, hand=hand), share) for name, (each, share) in with_pitch("curve", curve).items()}

    p, situation = preset(level), Situation(bats, hand)
    clean, loose = (misses(face("curve", own(curve), p, situation)) for curve in (CLEAN, LOOSE))
    assert clean.exceeds(loose), (clean, loose, clean - loose)


def behind_the_fastball(thrown: Thrown) -> dict[str, tuple[Thrown, float]]:
    return {"fastball": (FASTBALL, 0.6), "own": (thrown, 0.4)}


def median_of(row: int, thrown: Thrown) -> float:
    return float(np.median(moments_of("own", behind_the_fastball(thrown)).time[row, 0]))


def test_the_break_of_a_slider_appears_later_than_that_of_a_big_curve() -> None:
    assert median_of(BREAK_ONSET, SLIDER) > median_of(BREAK_ONSET, CURVE) + 0.01


@pytest.mark.parametrize("thrown", [CURVE, CLEAN, SLIDER], ids=["curve", "clean curve", "slider"])
def test_the_smaller_the_gap_in_speed_the_later_a_pitch_leaves_the_tunnel(thrown: Thrown) -> None:
    exits = [median_of(TUNNEL_EXIT, replace(thrown, speed=speed)) for speed in (72.0, 76.0, 80.0, 84.0, 88.0)]
    assert (np.diff(exits) > 0.003).all(), exits


def test_the_break_of_a_slow_loose_curve_appears_later_but_with_more_time_left() -> None:
    loose, clean = (median_of(BREAK_ONSET, curve) for curve in (LOOSE, CLEAN))
    assert loose > clean + 0.01
    left = [
        float(np.median(curve.paths(256).arrivals[AT_TIME])) - appears
        for curve, appears in ((LOOSE, loose), (CLEAN, clean))
    ]
    assert left[0] > left[1] + 0.01


def test_what_is_missed_by_whom() -> None:
    """The order of the levels: the younger, the more is missed."""
    found = [misses(*(face(name, p=preset(level)) for name in MIX)) for level in LEVELS]
    for better, worse in pairwise(found):
        assert worse.exceeds(better), found
    assert misses(face("fastball", p=PROFESSIONAL)).value < misses(face("curve", p=PROFESSIONAL)).value
