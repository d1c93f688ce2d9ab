"""Kinds of pitches: which a pitch is most like, and what a good one of the level has."""

import numpy as np
import pytest

from latebreak.engine.units import DEGREE, MPH, RPM
from latebreak.perception.kinds import KINDS, Kind, Role, good_throw, typical_throw

LEVELS = ("youth", "high_school", "college", "professional")
EVERY = [(role, kind) for role, kinds in KINDS.items() for kind in kinds]
IDS = [f"{role} at {kind.clock:g}" for role, kind in EVERY]


def spin(kind: Kind, hand: str = "right", share: float = 1.0) -> np.ndarray:
    """Spin (3, 1) of a kind as a professional throws it, pushing up, to the pitcher's right, and along the flight."""
    side = 1.0 if hand == "right" else -1.0
    across = share * kind.rate * RPM * kind.efficiency / 100.0
    along = share * kind.rate * RPM * np.sqrt(1.0 - (kind.efficiency / 100.0) ** 2)
    clock = kind.clock * DEGREE
    return np.array([[across * np.cos(clock)], [side * across * np.sin(clock)], [side * along]])


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize(("role", "kind"), EVERY, ids=IDS)
def test_a_good_one_of_a_kind(role: Role, kind: Kind, hand: str) -> None:
    """Of a professional: the usual speed and spin rate, and the good efficiency, of its own kind and no other's."""
    speed, rate, efficiency = good_throw("professional", role, hand, spin(kind, hand))[:, 0]
    assert speed / MPH == pytest.approx(kind.speed)
    assert rate / RPM == pytest.approx(kind.rate)
    assert 100.0 * efficiency == pytest.approx(kind.good_efficiency)


def test_a_good_axis_is_cleaner_than_the_usual_one() -> None:
    for _, kind in EVERY:
        assert kind.efficiency < kind.good_efficiency <= 100.0


def test_a_good_curve_is_about_ninety_percent_efficient_at_every_level() -> None:
    """The efficiency is skill, so it is asked of every level; speed and spin rate are the level's own (chosen)."""
    curve = KINDS["breaking"][0]
    found = [good_throw(level, "breaking", "right", spin(curve))[:, 0] for level in LEVELS]
    assert [one[2] for one in found] == pytest.approx([0.9] * 4)
    assert (np.diff([one[0] for one in found]) > 0.0).all()
    assert (np.diff([one[1] for one in found]) > 0.0).all()


@pytest.mark.parametrize("clock", np.arange(195.0, 226.0, 7.5))
def test_curves_between_half_past_six_and_half_past_seven_are_curves(clock: float) -> None:
    """72 mph, 2,200 rpm, 76 % and 79 mph, 2,700 rpm, 96 %: no slider's 45 % is asked of them."""
    for rate, share in ((2200.0, 0.76), (2700.0, 0.96)):
        across = rate * RPM * share
        own = np.array([[across * np.cos(clock * DEGREE)], [across * np.sin(clock * DEGREE)], [0.0]])
        for level in LEVELS:
            assert good_throw(level, "breaking", "right", own)[2, 0] == pytest.approx(0.9)


def test_what_is_typical_passes_smoothly_what_is_good_does_not_mix() -> None:
    """Half way from the curve to the slider the typical speed lies between; a good one is one of the two."""
    curve, slider = KINDS["breaking"]
    share = np.linspace(0.0, 1.0, 41)
    own = np.concatenate([(1.0 - s) * spin(curve) + s * spin(slider) for s in share], axis=1)
    typical = typical_throw("professional", "breaking", "right", own)[3] / MPH
    assert (np.abs(np.diff(typical)) < 1.0).all()  # mph for a fortieth of the way
    assert typical[0] == pytest.approx(curve.speed, abs=0.5)
    assert typical[-1] == pytest.approx(slider.speed, abs=0.5)
    good = good_throw("professional", "breaking", "right", own)
    assert set(np.round(100.0 * good[2], 6)) == {curve.good_efficiency, slider.good_efficiency}
    assert (np.diff(good[2]) <= 0.0).all()


def test_a_mirror_has_the_same_good_pitch() -> None:
    own = np.array([[-120.0], [-60.0], [150.0]])
    mirrored = own * np.array([[1.0], [-1.0], [-1.0]])
    np.testing.assert_allclose(
        good_throw("college", "breaking", "right", own), good_throw("college", "breaking", "left", mirrored)
    )
