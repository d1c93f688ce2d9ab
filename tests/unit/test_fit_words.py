"""Words of the question `fit`: what can't be told apart, and what has changed."""

from itertools import pairwise

import pytest
from fitted_pitch import fitted, known_of

from latebreak.engine.inverse.fitted import Fitted, FittedPitch
from latebreak.engine.units import DEGREE, MPH
from latebreak.service.judging.estimates import Estimate
from latebreak.service.quantities import Reader
from latebreak.service.questions.fitting.identifiability import learned
from latebreak.service.questions.fitting.moved import moved
from latebreak.service.questions.fitting.result import Change
from latebreak.service.questions.fitting.session_changes import measured_changes
from latebreak.service.questions.fitting.values import Known
from latebreak.service.scenario.section import Hand

#: What the engine may call undecidable (latebreak.engine.inverse.fitted), with a word that the sentence must hold.
UNDECIDABLE = {
    "agreement": "contradict each other",
    "gyro_sense": "which way the gyro spin turns",
    "efficiency": "how much of the spin bends the flight",
    "efficiency_or_lift_scale": "whether the axis is clean",
    "spin_rate": "the spin rate",
    "spin_rate_or_lift_scale": "spins fast or lifts more",
    "break_clock": "where the spin pushes",
    "lift_scale": "how much the ball lifts",
    "seam_force": "a push by the seams",
    "seam_force_along_break_clock": "along the break clock",
    "drag_coefficient": "how much the air slows",
    "launch": "where the pitch is thrown",
}


@pytest.mark.parametrize(("word", "said"), UNDECIDABLE.items())
def test_what_is_undecidable_is_said(word: str, said: str) -> None:
    sentences = learned(known_of(undecidable=(word,)))
    assert any(said in sentence and sentence.startswith("Not told") for sentence in sentences)
    assert not any("_scale" in sentence or "gyro_sense" in sentence for sentence in sentences)


def test_every_undecidable_word_of_the_engine_is_known() -> None:
    listed = (FittedPitch.__doc__ or "").split("in this order:")[1]
    assert set(UNDECIDABLE) == {line.split('"')[1] for line in listed.splitlines() if line.strip().startswith("-")}


@pytest.mark.parametrize(
    ("value", "error", "said"),
    [
        (0.05, 0.01, "a seam-made force of 0.050"),
        (0.04, 0.02, "no seam-made force"),
        (0.012, 0.001, "no seam-made force"),
    ],
)
def test_a_seam_made_force_beyond_chance(value: float, error: float, said: str) -> None:
    one = known_of(seam_force=Fitted(value, error, "inferred"), seam_clock=120.0 * DEGREE)
    assert any(said in sentence and "4:00" in sentence for sentence in learned(one))


def test_few_throws_are_said() -> None:
    assert any("One throw tells nothing about the spread" in sentence for sentence in learned(known_of(count=1)))
    assert any("3 throws tell little" in sentence for sentence in learned(known_of(count=3)))
    assert not any("tell little" in sentence for sentence in learned(known_of()))


def test_changes_carry_both_errors() -> None:
    levers = list(fitted().levers)
    levers[0] = Fitted(79.0 * MPH, 1.04 * MPH, "measured")  # 1 mph faster; errors 0.78 and 1.04: together 1.3
    changes = measured_changes(known_of(), known_of(levers=tuple(levers)))
    change = changes["speed_mph"]
    assert change.estimate.value == pytest.approx(1.0)
    assert change.estimate.high == pytest.approx(1.0 + 1.6448536 * 1.3)
    assert change.chance_percent == pytest.approx(77.9, abs=0.1)  # Phi(1 / 1.3), table of the normal distribution
    assert "lift_scale" not in changes  # assumed both times
    assert changes["spin_rpm"].chance_percent == 50.0


def test_a_clock_turns_the_short_way() -> None:
    def at(degrees: float) -> Known:
        levers = list(fitted().levers)
        levers[2] = Fitted(degrees * DEGREE, 2.0 * DEGREE, "measured")
        return known_of(levers=tuple(levers))

    change = measured_changes(at(355.0), at(5.0))["break_clock_deg"]
    assert change.estimate.value == pytest.approx(10.0)
    words = moved({"break_clock_deg": change}, at(5.0).values, Reader())
    assert words[0].startswith("Break clock turned clockwise by 10 deg (90 %: ")
    assert words[0].endswith("), 11:50 to 12:10.")


def test_a_seam_made_force_that_turned_round_is_a_change() -> None:
    """0.03 toward 1:00 and 0.03 toward 7:00 differ by 0.06, though their sizes are equal."""
    force = Fitted(0.03, 0.01, "inferred")
    here, there = (known_of(seam_force=force, seam_clock=clock * DEGREE) for clock in (30.0, 210.0))
    assert measured_changes(here, there)["seam_force"].estimate.value == pytest.approx(0.06)
    assert measured_changes(here, here)["seam_force"].estimate.value == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("key", "value", "hand", "said"),
    [
        ("speed_mph", 0.8, "right", "Faster by 0.8 mph (90 %: 0.6 to 1.0; chance over 99 %)."),
        ("speed_mph", -0.8, "right", "Slower by 0.8 mph (90 %: 0.6 to 1.0; chance over 99 %)."),
        ("release_side_ft", 0.5, "right", "Released farther to the glove side by 6.0 in"),
        ("release_side_ft", 0.5, "left", "Released farther to the arm side by 6.0 in"),
        ("target_side_ft", -0.5, "left", "Arrives farther to the glove side by 6.0 in"),
        ("efficiency_percent", 5.0, "right", "Cleaner axis by 5 points of efficiency"),
        ("spread.break_clock_deg", -2.0, "right", "Break clock varies less by 2.0 deg"),
        ("tunnel_exit_ft", -1.5, "right", "Leaves the fastball's tunnel later by 1.5 ft"),
        ("tunnel_exit_ft", 1.5, "left", "Leaves the fastball's tunnel sooner by 1.5 ft"),
        ("miss_chance_percent", 3.0, "right", "Missed more by 3.0 points of swings"),
        ("late_break_in", -0.4, "right", "Less late break by 0.4 in"),
    ],
)  # fmt: skip
def test_changes_in_words(key: str, value: float, hand: Hand, said: str) -> None:
    change = Change(Estimate(value, 0.0, value - 0.2, value + 0.2), 99.9)
    one = known_of()
    assert moved({key: change}, one.values, Reader(hand=hand))[0].startswith(said)


def test_a_change_within_chance_is_none() -> None:
    one = known_of()
    estimate = Estimate(0.3, 0.0, -0.1, 0.7)
    changes = {
        "speed_mph": Change(estimate, 79.9),
        "spin_rpm": Change(estimate, 85.0),
        "spread.gyro_deg": Change(estimate, 60.0),
        "gyro_deg": Change(estimate, 99.0),  # said by the efficiency
    }
    perhaps, none = moved(changes, one.values, Reader())
    assert perhaps == "Perhaps: more spin by 0 rpm (90 %: 0 to 1; chance 85 %)."
    assert none == "No change beyond chance: speed, spread of gyro angle."


def test_doubts_grow_with_the_error() -> None:
    """A monotone law: the same change is less sure the larger its errors are."""
    chances = []
    for error in (0.1, 0.5, 1.0, 3.0):
        levers = list(fitted().levers)
        levers[0] = Fitted(79.0 * MPH, error * MPH, "measured")
        chances.append(measured_changes(known_of(), known_of(levers=tuple(levers)))["speed_mph"].chance_percent)
    assert all(more > less for more, less in pairwise(chances))
