"""Kinds of pitches: of which one a pitch is, what is usual of it, and what a good one of the level has."""

import numpy as np
import pytest

from latebreak.engine.units import DEGREE, MPH, RPM
from latebreak.perception.kinds import (
    KINDS,
    NAMES,
    good_throw,
    kind_weights,
    spin_parts,
    usual_throws,
)

LEVELS = ("youth", "high_school", "college", "professional")
MIRROR = np.array([[1.0], [-1.0], [-1.0]])


def spin(rate: float, clock: float, share: float) -> np.ndarray:
    """Spin (3, 1) of a right-hander, from rpm, deg and efficiency."""
    return spin_parts(*(np.array([one]) for one in (rate * RPM, clock * DEGREE, np.arccos(share))))


def weights(own: np.ndarray, mph: float, fastball: float | None, level: str = "professional") -> dict[str, float]:
    beside = None if fastball is None else fastball * MPH
    return dict(zip(NAMES, kind_weights(level, "right", own, np.array([mph * MPH]), beside)[:, 0], strict=True))


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("level", LEVELS)
def test_the_usual_pitch_of_a_kind_is_of_that_kind(level: str, hand: str) -> None:
    """Beside the level's usual four-seam; what lies between two kinds counts for both."""
    usual = usual_throws(level, hand)
    found = kind_weights(level, hand, usual[:, :3].T, usual[:, 3], usual[0, 3])
    np.testing.assert_allclose(found.sum(axis=0), 1.0, rtol=1e-12)
    assert (found.argmax(axis=0) == np.arange(len(NAMES))).all()
    assert (np.diag(found) > 0.6).all()


@pytest.mark.parametrize(
    ("kind", "mph", "rate", "clock", "share"),
    [
        # common practice, no source: what coaches call these, beside 94 mph
        ("four_seam", 94.0, 2400, 15.0, 0.97),
        ("sinker", 93.0, 2150, 75.0, 0.9),
        ("cutter", 89.5, 2400, 345.0, 0.5),
        ("slider", 86.0, 2400, 275.0, 0.2),
        ("slider", 88.0, 2450, 280.0, 0.3),
        ("sweeper", 82.0, 2700, 265.0, 0.6),
        ("curve", 72.0, 2200, 210.0, 0.76),
        ("curve", 79.0, 2700, 210.0, 0.96),
        ("curve", 76.0, 2500, 182.0, 0.9),
        ("changeup", 85.0, 1750, 60.0, 0.95),
        ("splitter", 86.0, 1250, 50.0, 0.9),
    ],
)
def test_a_pitch_is_known_by_its_numbers(kind: str, mph: float, rate: float, clock: float, share: float) -> None:
    found = weights(spin(rate, clock, share), mph, 94.0)
    assert max(found, key=lambda name: found[name]) == kind


def test_the_speed_beside_the_fastball_counts() -> None:
    """The spin of a sinker: 8 mph below the fastball it is a changeup that spins much, at its speed a sinker."""
    own = spin(2000.0, 60.0, 0.92)
    assert weights(own, 92.0, 93.0)["sinker"] > 0.9
    assert weights(own, 84.0, 93.0)["changeup"] > 0.8
    without = weights(own, 84.0, None)
    assert without["sinker"] > 0.05
    assert without["changeup"] > 0.05
    assert without == weights(own, 60.0, None)


def test_the_level_of_the_speed_does_not_matter_beside_the_own_fastball() -> None:
    own = spin(2300.0, 230.0, 0.6)
    fast, slow = (weights(own, share * 93.0, share * 93.0 / 0.84) for share in (1.0, 0.7))
    assert fast == pytest.approx(slow, rel=1e-9)


def test_small_steps_make_no_jump() -> None:
    """From the usual slider to the usual curve in 200 steps no weight moves by more than a twentieth."""
    share = np.linspace(0.0, 1.0, 201)
    usual = usual_throws("professional", "right")
    slider, curve = usual[NAMES.index("slider")], usual[NAMES.index("curve")]
    way = (slider[:, None] * (1.0 - share) + curve[:, None] * share).T
    found = kind_weights("professional", "right", way[:, :3].T, way[:, 3], usual[0, 3])
    assert np.abs(np.diff(found, axis=1)).max() < 0.05
    # far from every kind, too, there is an answer
    assert np.isfinite(kind_weights("youth", "right", spin(6000.0, 90.0, 1.0), np.array([10.0]), 50.0)).all()


def test_a_mirror_is_of_the_same_kind() -> None:
    own = np.concatenate([spin(2300.0, clock, 0.7) for clock in range(0, 360, 30)], axis=1)
    speed = np.full(own.shape[1], 36.0)
    right = kind_weights("college", "right", own, speed, 41.0)
    np.testing.assert_allclose(kind_weights("college", "left", MIRROR * own, speed, 41.0), right, rtol=1e-12)
    left = usual_throws("college", "left")
    np.testing.assert_allclose(left[:, :3].T, MIRROR * usual_throws("college", "right")[:, :3].T, rtol=1e-12)


def test_usual_movements_are_the_leagues() -> None:
    """Sizes of all professional games of 2020-09-03 (open tracking data, computed); a curve falls, a sinker runs."""
    sizes = {"four_seam": 18.2, "sinker": 18.2, "cutter": 10.9, "slider": 8.0, "curve": 14.4, "changeup": 16.7,
             "splitter": 13.4}  # fmt: skip
    for name, size in sizes.items():
        assert KINDS[name].movement == pytest.approx(size), name
    # mean vertical break of curves and changeups in 2024 (public table, secondary): -9.35 and 5.70 in
    clock = np.radians(KINDS["curve"].clock)
    assert KINDS["curve"].movement * np.cos(clock) == pytest.approx(-9.35, abs=0.3)
    assert np.sin(clock) < 0.0  # to the right-hander's glove side
    assert min(np.cos(np.radians(KINDS["changeup"].clock)), np.sin(np.radians(KINDS["changeup"].clock))) > 0.0


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("name", NAMES)
def test_a_good_one_is_as_hard_as_usual_and_cleaner(name: str, level: str) -> None:
    usual = usual_throws(level, "right")
    own = usual[NAMES.index(name)]
    good = good_throw(level, "right", own[:3], float(own[3]), float(usual[0, 3]))
    assert good.kind == name
    assert good.speed == pytest.approx(own[3])
    assert good.rate == pytest.approx(np.linalg.norm(own[:3]))
    efficiency = np.hypot(own[0], own[1]) / np.linalg.norm(own[:3])
    assert efficiency < good.efficiency <= 1.0
    assert KINDS[name].least_efficiency < KINDS[name].efficiency < KINDS[name].good_efficiency <= 100.0


@pytest.mark.parametrize("clock", np.arange(195.0, 226.0, 7.5))
def test_a_good_curve_is_about_ninety_percent_efficient_at_every_level(clock: float) -> None:
    """72 mph, 2,200 rpm, 76 % and 79 mph, 2,700 rpm, 96 %: no slider's efficiency is asked of them."""
    for mph, rate, share in ((72.0, 2200.0, 0.76), (79.0, 2700.0, 0.96)):
        for level in LEVELS:
            good = good_throw(level, "right", spin(rate, clock, share)[:, 0], mph * MPH, 92.0 * MPH)
            assert (good.kind, good.efficiency) == ("curve", 0.9)
