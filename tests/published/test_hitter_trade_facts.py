"""The hitter against what every pitching coach knows. Common practice, no source, unless a test names one.

Pitches are typical ones of professionals (values from memory), thrown by a right- or a left-hander behind his fastball,
with the scatter of a professional; all comparisons are under the same draws. Differences that are asked for are chosen.
"""

from collections.abc import Sequence
from functools import cache
from math import acos

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.engine.air.ball import Conditions
from latebreak.engine.bundle.bundle import Bundle, prepare
from latebreak.engine.bundle.draws import Draws
from latebreak.engine.flight.kernel import AT_TIME
from latebreak.engine.pitch.pitch import Pitch, Spread, Target
from latebreak.engine.units import DEGREE, FOOT, INCH, MPH, RPM
from latebreak.perception.bat import CONTACT
from latebreak.perception.model import Situation, one_glance
from latebreak.perception.moments import MOMENTS, moments
from latebreak.perception.parameters import LEVELS, preset
from latebreak.perception.repertoire import Types, remember
from latebreak.perception.seeing import NOISE

Array = NDArray[np.float64]
Entry = tuple[float, float, float, float]  # mph, rpm, break clock in deg, efficiency in %

SIDES = ["right", "left"]
THROWS = 2048
# 46 ft: the usual distance from 8 to 12 years (Pitch Smart, read).
FIELD, YOUTH_FIELD = Conditions(air_density=1.2), Conditions(air_density=1.2, rubber_to_plate=46.0 * FOOT)
FASTBALL: Entry = (92.0, 2300.0, 21.0, 95.0)
CURVE: Entry = (79.0, 2550.0, 200.0, 67.0)
SLIDER: Entry = (84.0, 2450.0, 262.0, 35.0)
CHANGEUP: Entry = (84.0, 1800.0, 48.0, 90.0)
# Of a level, times a professional's speed: youth, high school, college (values from memory and chosen).
SLOWER = {"youth": 0.65, "high_school": 0.89, "college": 0.957, "professional": 1.0}
# A professional's: within-game medians (own analysis of public tracked pitches); clock and gyro 5 deg, between a
# fastball's 3 and a slider's 13; launch angles chosen, as of one target.
SPREAD = np.array([1.05 * MPH, 81.0 * RPM, 5.0 * DEGREE, 5.0 * DEGREE, 1.2 * INCH, 0.77 * INCH, 1.3 * INCH,
                   0.5 * DEGREE, 0.5 * DEGREE])  # fmt: skip


@cache
def thrown(entry: Entry, height: float = 2.5, level: str = "professional", hand: str = "right") -> Bundle:
    """A pitch, aimed at the middle of the plate at a height in ft."""
    mph, rpm, clock, efficiency = entry
    side, small = (1.0 if hand == "right" else -1.0), level == "youth"
    pitch = Pitch(
        mph * SLOWER[level] * MPH, rpm * SLOWER[level] * RPM, side * clock * DEGREE, side * acos(efficiency / 100.0),
        side * -2.0 * FOOT, (4.6 if small else 6.0) * FOOT, (4.5 if small else 6.0) * FOOT,
        Target(0.0, height * FOOT), spread=Spread(SPREAD),
    )  # fmt: skip
    return prepare(pitch, YOUTH_FIELD if small else FIELD)


class Facing:
    """A pitch thrown behind a fastball, and what a hitter makes of it."""

    def __init__(
        self, entry: Entry, height: float = 2.0, *, fastball: Entry = FASTBALL, bats: str = "right",
        hand: str = "right", level: str = "professional", shares: Sequence[float] = (0.6, 0.4),
    ) -> None:  # fmt: skip
        ready, self.bundle = thrown(fastball, 2.5, level, hand), thrown(entry, height, level, hand)
        self.parameters, self.situation = preset(level), Situation(bats, hand)
        means = [each.flight.paths(each.mean.releases()) for each in (ready, self.bundle)]
        self.types: Types = remember(["fastball", "other"], shares, means, self.parameters)
        self.own = len(self.types.names) - 1
        self.throws = Draws(1, 8 * THROWS).normals(0)
        self.noise = np.random.default_rng(1).standard_normal((len(NOISE), THROWS))

    def rates(self) -> tuple[float, float]:
        """Percent of throws swung at, and of swings that miss."""
        paths = self.bundle.flight.paths(self.bundle.releases(self.throws))
        faced = one_glance.judge(paths, self.types, self.parameters, self.situation, self.noise)
        swing, contact = faced.swing[0], faced.contact[CONTACT, 0]
        return 100.0 * float(swing.mean()), 100.0 * (1.0 - float((swing * contact).sum() / swing.sum()))

    @property
    def missed(self) -> float:
        return self.rates()[1]

    def moment(self, name: str) -> tuple[float, float]:
        """Median of a moment in ms after release, and how much of the flight is then left."""
        few = slice(0, 256)
        paths = self.bundle.flight.paths(self.bundle.releases(np.ascontiguousarray(self.throws[:, few])))
        found = moments(
            one_glance, paths, self.types, self.own, self.parameters, self.situation,
            np.ascontiguousarray(self.noise[:, few]),
        )  # fmt: skip
        time = found.time[MOMENTS.index(name), 0]
        return 1e3 * float(np.median(time)), 1e3 * float(np.median(paths.arrivals[AT_TIME] - time))


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("hand", SIDES)
@pytest.mark.parametrize("bats", SIDES)
def test_a_hard_clean_curve_is_missed_more_than_a_slow_loose_one(bats: str, hand: str, level: str) -> None:
    """By hitters of every level, who all face the same two."""
    missed = []
    for entry in ((79.0, 2700.0, 198.0, 96.0), (72.0, 2200.0, 198.0, 76.0)):
        facing = Facing(entry, 1.9, bats=bats, hand=hand)
        facing.parameters = preset(level)
        missed.append(facing.missed)
    assert missed[0] > missed[1] + 0.5


@pytest.mark.parametrize("bats", SIDES)
def test_the_high_fastball_is_missed_more_than_the_one_in_the_middle(bats: str) -> None:
    """Odds at the top over those in the middle third: 1.86 (web article 2020, computed); here 1.5 at least."""
    up, middle = (Facing(FASTBALL, height, bats=bats).missed / 100.0 for height in (3.6, 2.5))
    assert up / (1.0 - up) > 1.5 * middle / (1.0 - middle)


@pytest.mark.parametrize("bats", SIDES)
def test_the_buried_curve_is_missed_more_and_taken_more(bats: str) -> None:
    """Missed more where he swings; in front of the plate he swings less."""
    (middle_swings, middle), (swings, buried) = (Facing(CURVE, height, bats=bats).rates() for height in (2.5, 1.0))
    assert buried > middle + 5.0
    assert swings < middle_swings - 5.0


@pytest.mark.parametrize("hand", SIDES)
@pytest.mark.parametrize("entry", [CURVE, SLIDER], ids=["curve", "slider"])
def test_his_own_side_misses_breaking_balls_more(entry: Entry, hand: str) -> None:
    other = "left" if hand == "right" else "right"
    assert Facing(entry, bats=hand, hand=hand).missed > Facing(entry, bats=other, hand=hand).missed


@pytest.mark.parametrize("bats", SIDES)
def test_two_strikes_more_chases(bats: str) -> None:
    """Swings at a curve that ends 6 in below the zone."""
    facing, swings = Facing(CURVE, 1.0, bats=bats), []
    for count in ((0, 0), (1, 1), (1, 2)):
        facing.situation = Situation(bats, "right", count=count)
        swings.append(facing.rates()[0])
    assert (np.diff(swings) > 1.0).all()


@pytest.mark.parametrize("bats", SIDES)
def test_to_be_told_the_type_helps_and_to_expect_it_helps_more_the_surer(bats: str) -> None:
    """From 2 to 100 % of curves expected."""
    missed = [Facing(CURVE, bats=bats, shares=(1.0 - share, share)).missed for share in (0.02, 0.2, 0.4, 0.8, 1.0)]
    assert (np.diff(missed) < 0.0).all()
    assert missed[0] > missed[-1] + 10.0


@pytest.mark.parametrize("entry", [FASTBALL, CURVE, SLIDER, CHANGEUP], ids=["fastball", "curve", "slider", "changeup"])
def test_younger_hitters_miss_more_of_the_same_pitch(entry: Entry) -> None:
    """From a professional's pitch, level by level."""
    missed = []
    for level in LEVELS[:3]:
        facing = Facing(entry)
        facing.parameters = preset(level)
        missed.append(facing.missed)
    assert (np.diff(missed) > 1.0).all()


def test_young_hitters_meet_a_good_part_of_what_the_young_throw() -> None:
    """From 46 ft, at two thirds of a professional's speed: 40 to 95 % of swings meet the ball (chosen)."""
    for bats in SIDES:
        for entry in (FASTBALL, CHANGEUP):
            assert 5.0 < Facing(entry, level="youth", bats=bats).missed < 60.0


@pytest.mark.parametrize("bats", SIDES)
def test_a_sliders_bend_shows_later_than_a_big_curves(bats: str) -> None:
    slider, curve = (Facing(entry, bats=bats).moment("break_onset")[0] for entry in (SLIDER, CURVE))
    assert slider > curve + 10.0


@pytest.mark.parametrize("bats", SIDES)
def test_the_smaller_the_gap_in_speed_the_later_it_leaves_the_tunnel(bats: str) -> None:
    """What counts is the gap, not the speed: the curve harder, or the fastball slower."""
    harder = [Facing((mph, *CURVE[1:]), bats=bats).moment("tunnel_exit")[0] for mph in (72.0, 76.0, 80.0, 84.0)]
    slower = [
        Facing(CURVE, fastball=(mph, *FASTBALL[1:]), bats=bats).moment("tunnel_exit")[0]
        for mph in (98.0, 94.0, 90.0, 86.0)
    ]
    assert (np.diff(harder) > 2.0).all()
    assert (np.diff(slower) > 2.0).all()


@pytest.mark.parametrize("bats", SIDES)
def test_a_slow_loose_curve_shows_its_bend_later_but_leaves_more_time(bats: str) -> None:
    (loose, left_loose), (hard, left_hard) = (
        Facing(entry, bats=bats).moment("break_onset")
        for entry in ((72.0, 2200.0, 198.0, 76.0), (84.0, 2700.0, 198.0, 95.0))
    )
    assert loose > hard + 3.0
    assert left_loose > left_hard + 3.0
