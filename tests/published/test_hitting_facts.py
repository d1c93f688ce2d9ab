"""What hitters and pitchers say of how long a pitch hides: common practice, no source, unless one is named."""

from typing import Any

import numpy as np
import pytest

from latebreak.perception.parameters import LEVELS
from latebreak.service.questions import Estimate, compare
from latebreak.service.scenario import from_mapping

SIDES = ["right", "left"]
THROWS = 640

Entry = dict[str, Any]
#: Usual of a professional: height and extension near the means of 2020-09-03 (computed); side from memory.
RELEASE = {"release_side_ft": -1.9, "release_height_ft": 5.9, "extension_ft": 6.2}
#: Typical of a professional right-hander (values from memory).
FASTBALL: Entry = {
    **RELEASE, "role": "fastball", "speed_mph": 92.0, "spin_rpm": 2300, "break_clock": "12:42",
    "efficiency_percent": 95, "target_side_ft": 0.0, "target_height_ft": 2.6,
}  # fmt: skip
CURVE: Entry = {
    **RELEASE, "speed_mph": 79.0, "spin_rpm": 2550, "break_clock": "6:36", "efficiency_percent": 67,
    "target_side_ft": 0.3, "target_height_ft": 1.8,
}  # fmt: skip
CHANGEUP = CURVE | {
    "role": "offspeed", "speed_mph": 84.0, "spin_rpm": 1800, "break_clock": "1:36", "efficiency_percent": 90,
}  # fmt: skip
#: Much of the spin along the flight, and nearly as fast as the fastball (chosen).
HARD_GYRO = CURVE | {"speed_mph": 86.0, "spin_rpm": 2400, "break_clock": "8:00", "efficiency_percent": 35}


def judged(
    pitch: Entry, fastball: Entry = FASTBALL, bats: str = "right", level: str = "professional"
) -> dict[str, Estimate]:
    """Measures of a pitch behind a fastball."""
    mapping = {
        "pitcher": {"hand": "right", "level": level},
        "pitch": {"fastball": fastball, "other": pitch},
        "hitter": {"bats": bats},
    }
    return compare(from_mapping(mapping), throws=THROWS, intervals=False).result.pitches["other"]


def hides_until(*arguments: Any) -> float:
    """Distance from the plate, ft, at which it leaves the fastball's tunnel."""
    return judged(*arguments)["tunnel_exit_ft"].value


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("bats", SIDES)
def test_a_harder_curve_hides_longer(bats: str, level: str) -> None:
    """At equal spin, the nearer to the fastball's speed, the longer it looks like it."""
    until = [hides_until(CURVE | {"speed_mph": mph}, FASTBALL, bats, level) for mph in (70.0, 75.0, 80.0, 85.0)]
    assert (np.diff(until) < 0.0).all()
    assert until[0] - until[-1] > 1.0  # ft


@pytest.mark.parametrize("bats", SIDES)
def test_a_changeup_hides_longer_than_a_curve(bats: str) -> None:
    """It is thrown to look like the fastball, and bends the same way."""
    changeup, curve = (hides_until(entry, FASTBALL, bats) for entry in (CHANGEUP, CURVE))
    assert changeup < curve - 1.0


@pytest.mark.parametrize("bats", SIDES)
def test_a_hard_tight_breaking_ball_hides_longer_and_bends_less(bats: str) -> None:
    """The trade's choice between a hard tight breaking ball and a big slow curve."""
    hard, curve = (judged(entry, FASTBALL, bats) for entry in (HARD_GYRO, CURVE))
    assert hard["tunnel_exit_ft"].value < curve["tunnel_exit_ft"].value - 1.0
    assert hard["late_break_in"].value < curve["late_break_in"].value - 0.3


def test_a_slower_fastball_hides_a_curve_longer() -> None:
    """What counts is the gap in speed, not the speed."""
    until = [hides_until(CURVE, FASTBALL | {"speed_mph": mph}) for mph in (96.0, 92.0, 88.0, 84.0)]
    assert (np.diff(until) < 0.0).all()


def test_a_better_grip_is_called_better() -> None:
    """Of two grips for one curve, the harder one whose spin bends more of the flight: it hides longer, breaks later and
    is missed more. The invented pair of the ready scenario is that case.
    """
    result = compare("two-grips", throws=800, by="miss_chance_percent").result
    spike, standard = result.pitches["curve_spike"], result.pitches["curve_standard"]
    assert spike["tunnel_exit_ft"].value < standard["tunnel_exit_ft"].value
    assert spike["late_break_in"].value > standard["late_break_in"].value
    missed, rarely = (pitch["miss_chance_percent"] for pitch in (spike, standard))
    assert missed.value > rarely.value + 4.0 * np.hypot(missed.sampling_error, rarely.sampling_error)
    assert result.better.pitch == "curve_spike"
    assert result.better.measure == "miss_chance_percent"
