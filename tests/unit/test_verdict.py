"""The words of a verdict: they say no more than the chance allows."""

import tomllib

import numpy as np
import pytest
from numpy.typing import NDArray

from latebreak.service.questions.answer import Estimate
from latebreak.service.questions.verdict import SURE_ENOUGH, Better, verdict
from latebreak.service.scenario import Scenario, from_mapping
from latebreak.service.scenario.starter import starter_text

Array = NDArray[np.float64]
Found = dict[str, dict[str, Estimate]]

DRAWS = 100


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return from_mapping(tomllib.loads(starter_text("base"))).scenario


def estimates(feet: float, late: float, share: float = 10.0, reached: float = 100.0) -> dict[str, Estimate]:
    values = {
        "same_line_separation_ft": feet,
        "same_line_separation_reached_percent": reached,
        "late_break_in": late,
        "late_break_share_percent": share,
    }
    return {key: Estimate(value, 0.0, value, value) for key, value in values.items()}


def judge(
    scenario: Scenario, found: Found, wins: dict[str, int] | None = None, usable: NDArray[np.bool_] | None = None
) -> tuple[Better, str]:
    """Judge with draws in which each pitch stands nearer to the plate than 40 ft in that many of 100."""
    every = np.ones(DRAWS + 1, dtype=bool) if usable is None else usable
    distances = {
        name: np.where(np.arange(-1, DRAWS) < (wins or {}).get(name, 0), 30.0, 40.0 + 0.1 * number)
        for number, name in enumerate(found)
    }
    usable_by_name = None if wins is None else dict.fromkeys(found, every)
    better, why = verdict(scenario, "fastball", found, distances, usable_by_name)
    return better, " ".join(why)


def test_a_clear_lead_is_named(scenario: Scenario) -> None:
    better, why = judge(scenario, {"flat": estimates(44.0, 2.0), "spike": estimates(41.0, 3.5)}, {"spike": 95})
    assert better.pitch == "spike"
    assert better.measure == "same_line_separation_ft"
    assert better.chance_percent == pytest.approx(100 * 95.5 / 101)
    assert "spike hides longer behind the 87.5 mph fastball" in why
    assert "spike looks like the fastball until 41.0 ft from the plate, flat until 44.0 ft" in why
    assert "chance 95 %" in why
    assert "So spike also has the larger late break." in why
    assert better.to_dict() == {
        "pitch": "spike",
        "measure": "same_line_separation_ft",
        "chance_percent": better.chance_percent,
    }


def test_a_lead_within_chance_is_not_named(scenario: Scenario) -> None:
    better, why = judge(scenario, {"flat": estimates(44.0, 2.0), "spike": estimates(41.0, 2.1)}, {"spike": 70})
    assert better.pitch is None
    assert better.to_dict()["pitch"] is None
    assert better.chance_percent == pytest.approx(100 * 70.5 / 101)
    assert why.startswith("No difference beyond chance")
    assert "spike hides longer behind" not in why
    assert "chance 70 % that spike hides longer" in why


@pytest.mark.parametrize(("wins", "is_named"), [(79, False), (80, False), (81, True)])
def test_eighty_percent_is_the_border(scenario: Scenario, wins: int, is_named: bool) -> None:
    """80 of 100 draws are (80 + 0.5)/101 = 79.7 %: below."""
    found = {"flat": estimates(44.0, 2.0), "spike": estimates(41.0, 2.0)}
    better, why = judge(scenario, found, {"spike": wins})
    assert SURE_ENOUGH == 80.0
    assert (better.pitch is not None) == is_named
    assert ("No difference beyond chance" in why) != is_named


def test_the_next_best_is_the_rival(scenario: Scenario) -> None:
    """Of three, the chance is that of the lead over the second; the third is not what decides."""
    found = {"far": estimates(48.0, 1.0), "second": estimates(42.0, 2.0), "first": estimates(41.5, 2.0)}
    better, why = judge(scenario, found, {"first": 60, "second": 30, "far": 0})
    # in 30 draws both stand at 30 ft, a tie; in 30 more the first leads; in 40 the second stands nearer, at 40.1 ft
    assert better.chance_percent == pytest.approx(100 * (30 + 15 + 0.5) / 101)
    assert "far" not in why


def test_only_usable_draws_count(scenario: Scenario) -> None:
    """The first column is the scenario's own; of the draws here only the last 50 can be thrown."""
    usable = np.concatenate([[True], np.arange(DRAWS) >= 50])
    better, _ = judge(scenario, {"flat": estimates(44.0, 2.0), "spike": estimates(41.0, 2.0)}, {"spike": 90}, usable)
    assert better.chance_percent == pytest.approx(100 * (40 + 0.5) / 51)


def test_one_pitch_is_no_contest(scenario: Scenario) -> None:
    better, why = judge(scenario, {"curve": estimates(41.0, 2.0)}, {"curve": 50})
    assert better == Better("curve", "same_line_separation_ft", None)
    assert "the only pitch compared" in why
    assert "hides longer" not in why


def test_without_draws_it_is_said_that_nobody_knows_how_sure(scenario: Scenario) -> None:
    better, why = judge(scenario, {"flat": estimates(44.0, 2.0), "spike": estimates(41.0, 2.0)})
    assert better.chance_percent is None
    assert "chance_percent" not in better.to_dict()
    assert "How sure that is was not asked for." in why


def test_a_pitch_that_never_separates_is_said_in_words(scenario: Scenario) -> None:
    found = {"flat": estimates(44.0, 2.0), "twin": estimates(0.0, 2.0, reached=0.0)}
    better, why = judge(scenario, found, {"twin": 100})
    assert better.pitch == "twin"
    assert "twin looks like the fastball all the way to the plate" in why
    assert "0.0 ft" not in why


def test_measures_that_disagree_are_both_said(scenario: Scenario) -> None:
    _, why = judge(scenario, {"flat": estimates(44.0, 3.5), "spike": estimates(41.0, 2.0)}, {"spike": 95})
    assert "the two measures disagree: flat has the larger late break, and spike hides longer" in why


def test_late_breaks_that_print_alike_are_called_equal(scenario: Scenario) -> None:
    _, why = judge(scenario, {"flat": estimates(44.0, 2.04), "spike": estimates(41.0, 1.96)}, {"spike": 95})
    assert "late breaks are equal" in why
    assert "disagree" not in why


def test_late_breaks_that_print_unlike_are_not_called_equal(scenario: Scenario) -> None:
    """Reading "2.1 in ... 2.0 in ... equal" nobody would believe the rest."""
    _, why = judge(scenario, {"flat": estimates(44.0, 2.04), "spike": estimates(41.0, 2.06)}, {"spike": 95})
    assert "2.0 in" in why
    assert "2.1 in" in why
    assert "equal" not in why


def test_the_words_do_not_contradict_an_open_verdict(scenario: Scenario) -> None:
    """Where no lead is beyond chance, no later sentence may claim one after all."""
    _, why = judge(scenario, {"flat": estimates(44.0, 3.5), "spike": estimates(41.0, 2.0)}, {"spike": 60})
    first, rest = why.split("). ", 1)
    assert first.startswith("No difference beyond chance")
    assert "hides longer" not in rest
    assert "flat has the larger late break." in rest


def test_every_number_has_its_unit(scenario: Scenario) -> None:
    _, why = judge(scenario, {"flat": estimates(44.0, 2.0, 8.0), "spike": estimates(41.0, 3.5, 9.0)}, {"spike": 95})
    for words in ("87.5 mph", "41.0 ft", "44.0 ft", "3.5 in", "9 %", "2.0 in", "8 %", "chance 95 %"):
        assert words in why
