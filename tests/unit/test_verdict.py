"""The words of a verdict: they say no more than the chance allows."""

import re

import numpy as np
import pytest
from numpy.typing import NDArray
from starters import starter

from latebreak.service.judging.estimates import Estimate, Estimator
from latebreak.service.plain import plain
from latebreak.service.quantities import Name, Reader
from latebreak.service.questions.compare_words import why_better
from latebreak.service.questions.verdict import SURE_ENOUGH, Better, verdict
from latebreak.service.scenario import Scenario, from_mapping

Found = dict[str, dict[str, Estimate]]
US, METRIC = Reader(), Reader("metric")

#: The measure that decides here: a pitch is missed on so many of 100 swings.
MEASURE = "miss_chance_percent"
DRAWS = 200
NAN = float("nan")


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return from_mapping(starter()).scenario


def estimates(
    miss: float = 25.0,
    feet: float = 41.0,
    late: float = 2.0,
    *,
    share: float = 10.0,
    reached: float = 100.0,
    off: float = 3.0,
    belief: float = 90.0,
) -> dict[str, Estimate]:
    """What a verdict looks at; `off` is the typical surprise of the arrival (in), `belief` that at the decision (%)."""
    values = {
        "miss_chance_percent": miss,
        "tunnel_exit_ft": feet,
        "tunnel_exit_reached_percent": reached,
        "late_break_in": late,
        "late_break_share_percent": share,
        "arrival_surprise_rms_in": off,
        "belief_at_commit_percent": belief,
    }
    return {key: Estimate(value, 0.0, value, value) for key, value in values.items()}


def judge(
    scenario: Scenario,
    found: Found,
    wins: dict[str, int] | None = None,
    usable: NDArray[np.bool_] | None = None,
    reader: Reader = US,
) -> tuple[Better, str]:
    """Judge with draws in which each pitch is missed on 60 % of swings in that many of 100, and else on some 30 %."""
    every = np.ones(DRAWS + 1, dtype=bool) if usable is None else usable
    decisive = {}
    for number, (name, own) in enumerate(found.items()):
        value = np.array([own[MEASURE].value])
        won = np.arange(DRAWS) < (wins or {}).get(name, 0) * DRAWS // 100
        members = np.concatenate([value, np.where(won, 60.0, 30.0 - 0.1 * number)])[None]
        nothing = np.empty((0, 1)), np.empty(0)
        asked = None if wins is None else members
        decisive[name] = Estimator(value, *nothing, asked, every[None], np.zeros(1, np.int64))
    better = verdict(found, decisive, MEASURE)
    if wins is None:  # then there are no intervals either
        found = {name: {key: Estimate(one.value, 0.0) for key, one in own.items()} for name, own in found.items()}
    return better, " ".join(map(str, why_better(scenario, "fastball", found, better, reader)))


# --- the lead and its chance ----------------------------------------------------------------------------------------
def test_a_clear_lead_is_named(scenario: Scenario) -> None:
    found = {"flat": estimates(23.04, 44.0, 2.0), "spike": estimates(30.16, 41.0, 3.5, share=12.0)}
    better, why = judge(scenario, found, {"spike": 95})
    assert better.pitch == "spike"
    assert better.measure == MEASURE
    assert better.chance_percent == pytest.approx(100 * 190.5 / 201)
    assert why.startswith(
        "spike is ahead of flat behind the 87.5 mph fastball: misses 30.2 % against 23.0 %, a difference of 7.1 "
    )
    assert "; chance 95 %)." in why
    assert why.endswith("spike hides longer in the fastball's tunnel and breaks more after the commit point.")
    assert better.difference is not None
    assert plain(better) == {
        "pitch": "spike",
        "measure": "miss_chance_percent",
        "difference": plain(better.difference),
        "chance_percent": better.chance_percent,
    }


def test_the_difference_is_that_of_the_first_and_the_next_with_its_interval(scenario: Scenario) -> None:
    """In 90 of 100 draws spike is missed on 60 %, else on 29.9; flat always on 30."""
    better, why = judge(scenario, {"flat": estimates(23.0), "spike": estimates(30.0)}, {"spike": 90})
    assert better.difference is not None
    assert better.difference.value == pytest.approx(7.0)
    assert (better.difference.low, better.difference.high) == pytest.approx((-0.1, 30.0))
    assert "a difference of 7.0 points (90 %: -0.1 to 30.0; chance 90 %)." in why


def test_a_lead_within_chance_is_not_named(scenario: Scenario) -> None:
    better, why = judge(scenario, {"flat": estimates(24.0), "spike": estimates(26.0)}, {"spike": 70})
    assert better.pitch is None
    assert plain(better)["pitch"] is None
    assert better.chance_percent == pytest.approx(100 * 140.5 / 201)
    assert why.startswith("No difference beyond chance behind the 87.5 mph fastball")
    assert "is ahead" not in why
    assert "; chance 70 %)." in why


def test_a_difference_that_is_too_small_to_matter_is_no_lead(scenario: Scenario) -> None:
    """However sure it is: half a point of misses is nothing that a coach could act on."""
    found = {"flat": estimates(24.0), "spike": estimates(24.5)}
    better, why = judge(scenario, found, {"spike": 100})
    assert better.chance_percent is not None
    assert better.chance_percent > 99.0
    assert better.pitch is None
    assert why.startswith("No difference that matters behind the 87.5 mph fastball")
    assert "is ahead" not in why


@pytest.mark.parametrize(("wins", "is_named"), [(79, False), (80, False), (81, True)])
def test_eighty_percent_is_the_border(scenario: Scenario, wins: int, is_named: bool) -> None:
    """160 of 200 draws are (160 + 0.5)/201 = 79.9 %: below."""
    better, why = judge(scenario, {"flat": estimates(24.0), "spike": estimates(26.0)}, {"spike": wins})
    assert SURE_ENOUGH == 80.0
    assert (better.pitch is not None) == is_named
    assert ("No difference beyond chance" in why) != is_named


@pytest.mark.parametrize(("measure", "first"), [("tunnel_exit_ft", "near"), ("late_break_in", "far")])
def test_any_measure_can_decide(scenario: Scenario, measure: str, first: str) -> None:
    """Of where the tunnel is left less is better, of late break more."""
    found = {"near": estimates(20.0, 40.0, 2.0), "far": estimates(30.0, 44.0, 4.0)}
    nothing = np.empty((0, 1)), np.empty(0)
    decisive = {
        name: Estimator(
            (value := np.array([own[measure].value])), *nothing, np.repeat(value[:, None], DRAWS + 1, axis=1),
            np.ones((1, DRAWS + 1), dtype=bool), np.zeros(1, np.int64),
        )
        for name, own in found.items()
    }  # fmt: skip
    better = verdict(found, decisive, measure)
    assert (better.pitch, better.measure) == (first, measure)
    assert better.chance_percent is not None
    assert better.chance_percent > 95.0
    said = str(why_better(scenario, "fastball", found, better, US)[0])
    assert said.startswith(f"{first} is ahead")
    size = {"tunnel_exit_ft": "4.0 ft (90 %: 4.0 to 4.0", "late_break_in": "2.00 in (90 %: 2.00 to 2.00"}[measure]
    assert f"a difference of {size}; chance over 99 %)." in said


def test_the_next_best_is_the_rival(scenario: Scenario) -> None:
    """Of three, the chance is that of the lead over the second; the third is not what decides."""
    found = {"first": estimates(30.0), "second": estimates(28.0), "far": estimates(10.0)}
    better, why = judge(scenario, found, {"first": 60, "second": 30, "far": 0})
    # in 60 draws both are missed on 60 %, a tie; in 60 more the first leads; in 80 it leads by 30.0 % to 29.9 %
    assert better.chance_percent == pytest.approx(100 * (30 + 60 + 80 + 0.5) / 201)
    assert better.pitch == "first"
    assert "far" not in why


def test_the_order_of_the_file_does_not_matter(scenario: Scenario) -> None:
    for names in (("low", "high"), ("high", "low")):
        found = {name: estimates({"low": 20.0, "high": 30.0}[name]) for name in names}
        assert judge(scenario, found, {"high": 99})[0].pitch == "high"


def test_only_usable_draws_count(scenario: Scenario) -> None:
    """The first column is the scenario's own; of the draws here only the last 150 can be thrown."""
    usable = np.concatenate([[True], np.arange(DRAWS) >= 50])
    better, _ = judge(scenario, {"flat": estimates(24.0), "spike": estimates(25.0)}, {"spike": 90, "flat": 0}, usable)
    # of those 150 the last 20 have 30.0 % for flat, listed first, and 29.9 % for spike
    assert better.chance_percent == pytest.approx(100 * (130 + 0.5) / 151)


def test_too_few_usable_draws_tell_nothing(scenario: Scenario) -> None:
    usable = np.concatenate([[True], np.arange(DRAWS) >= DRAWS - 20])
    better, why = judge(scenario, {"flat": estimates(24.0), "spike": estimates(26.0)}, {"spike": 90}, usable)
    assert (better.pitch, better.chance_percent, better.too_few_draws) == ("spike", None, True)
    assert better.difference == Estimate(2.0, 0.0)  # and no interval
    assert "too few cases" in why
    assert "not asked for" not in why


def test_one_pitch_is_no_contest(scenario: Scenario) -> None:
    better, why = judge(scenario, {"curve": estimates(25.0)}, {"curve": 50})
    assert better == Better("curve", MEASURE)
    assert "difference" not in plain(better)
    assert "the only pitch compared" in why
    assert "misses 25.0 %" in why
    assert "is ahead" not in why


def test_without_draws_it_is_said_that_nobody_knows_how_sure(scenario: Scenario) -> None:
    better, why = judge(scenario, {"flat": estimates(24.0), "spike": estimates(26.0)})
    assert better.pitch == "spike"
    assert better.chance_percent is None
    assert "chance_percent" not in plain(better)
    assert "ow sure that is was not asked for" in why


def test_an_exact_tie_without_draws_is_no_lead(scenario: Scenario) -> None:
    better, why = judge(scenario, {"one": estimates(25.0), "two": estimates(25.0)})
    assert better == Better(None, MEASURE, Estimate(0.0, 0.0))
    assert why.startswith("No difference that matters behind")


# --- what speaks for it, and against --------------------------------------------------------------------------------
HIDES, LATE = "hides longer in the fastball's tunnel", "breaks more after the commit point"
FAR, TAKEN = "arrives farther from what he expects", "is taken for another pitch more often"


@pytest.mark.parametrize(
    ("rival", "against"),
    [
        ({"feet": 40.0}, HIDES),
        ({"late": 3.0}, LATE),
        ({"off": 5.0}, FAR),
        ({"belief": 60.0}, TAKEN),
        ({"feet": 40.0, "late": 3.0}, f"{HIDES} and {LATE}"),
        ({"feet": 40.0, "late": 3.0, "off": 5.0, "belief": 60.0}, f"{HIDES}, {LATE}, {FAR} and {TAKEN}"),
    ],
)
def test_what_speaks_against_the_leader_is_said(scenario: Scenario, rival: dict[str, float], against: str) -> None:
    better, why = judge(scenario, {"flat": estimates(23.0, **rival), "spike": estimates(30.0)}, {"spike": 95})
    assert better.pitch == "spike"
    assert why.endswith(f" flat {against}.")
    for words in (HIDES, LATE, FAR, TAKEN):
        assert f"spike {words}" not in why


def test_what_speaks_for_it_comes_first(scenario: Scenario) -> None:
    found = {"flat": estimates(23.0, late=3.0), "spike": estimates(30.0, feet=38.0, off=4.0)}
    _, why = judge(scenario, found, {"spike": 95})
    assert why.endswith(f"spike {HIDES} and {FAR}; flat {LATE}.")


def test_what_prints_alike_is_no_reason(scenario: Scenario) -> None:
    """2.04 in and 1.96 in are both printed as 2.0 in, 41.04 ft and 40.96 ft as 41.0 ft: nobody would see why."""
    found = {"flat": estimates(23.0, 40.96, 2.04, off=3.04), "spike": estimates(30.0, 41.04, 1.96, off=2.96)}
    _, why = judge(scenario, found, {"spike": 95})
    assert not any(words in why for words in (HIDES, LATE, FAR, TAKEN))


def test_what_prints_unlike_is(scenario: Scenario) -> None:
    _, why = judge(scenario, {"flat": estimates(23.0, late=2.06), "spike": estimates(30.0, late=2.04)}, {"spike": 95})
    assert why.endswith(f"flat {LATE}.")


@pytest.mark.parametrize("rival", [(40.0, 2.0), (44.0, 3.0), (44.0, 1.0), (40.0, 1.0)])
def test_the_words_do_not_contradict_an_open_verdict(scenario: Scenario, rival: tuple[float, float]) -> None:
    """Where no lead is beyond chance, no later sentence may claim one after all."""
    _, why = judge(scenario, {"flat": estimates(23.0, *rival), "spike": estimates(30.0)}, {"spike": 60})
    assert why.startswith("No difference beyond chance")
    for claim in ("ahead", HIDES, LATE, FAR, TAKEN):
        assert claim not in why


# --- words ----------------------------------------------------------------------------------------------------------
def test_a_pitch_that_never_leaves_the_tunnel_is_said_in_words(scenario: Scenario) -> None:
    _, why = judge(scenario, {"twin": estimates(30.0, 0.0, reached=0.0)})
    assert "twin stays in the fastball's tunnel all the way" in why
    assert "0.0 ft" not in why


def test_a_pitch_of_which_nothing_arrived_comes_last(scenario: Scenario) -> None:
    lost = estimates(NAN, 44.0, NAN, share=NAN, off=NAN, belief=NAN)
    better, why = judge(scenario, {"lost": lost, "curve": estimates(5.0)})
    assert better.pitch == "curve"
    assert "misses 5.0 % against unknown, a difference of unknown size" in why
    alone = judge(scenario, {"lost": lost})[1]
    assert "no throw of it arrived" in alone
    assert "nan" not in why + alone


def test_every_number_has_its_unit(scenario: Scenario) -> None:
    found = {
        "flat": estimates(23.0, 40.0, 2.5, share=8.0, off=3.0),
        "spike": estimates(30.0, 41.0, 2.0, share=9.0, off=4.0),
    }
    why = judge(scenario, found, {"spike": 95})[1] + judge(scenario, {"flat": found["flat"]})[1] + "    "
    after = re.findall(r"\d+(?:\.\d+)?(.{4,8})", why)
    assert len(after) >= 12
    # the ends of an interval have the unit of its value
    assert all(re.match(r" %| (mph|ft|in|ms|points|to)\b|[;)]", words) for words in after), why


@pytest.mark.parametrize("rival", [(40.0, 3.0), (44.0, 1.0), (41.0, 2.0)])
@pytest.mark.parametrize("wins", [{"spike": 95}, {"spike": 60}, None])
def test_three_sentences_at_most(scenario: Scenario, wins: dict[str, int] | None, rival: tuple[float, float]) -> None:
    for found in ({"flat": estimates(23.0, *rival), "spike": estimates(30.0)}, {"spike": estimates(30.0)}):
        _, why = judge(scenario, found, wins)
        assert len(re.split(r"(?<=\.) (?=\S)", why)) <= 3, why


# --- the reader's units, and names ----------------------------------------------------------------------------------
FOUND = {"curve 12 in front": estimates(23.0, 40.0, 2.5, off=3.0), "now": estimates(30.0, 41.0, 2.0, off=4.0)}


def test_a_metric_reader_has_metric_sentences(scenario: Scenario) -> None:
    """87.5 mph, 41.0 ft, 2.0 in: a mile is 1.609344 km, a foot 0.3048 m, an inch 2.54 cm by definition."""
    _, why = judge(scenario, {"spike": FOUND["now"]}, {"spike": 95}, reader=METRIC)
    assert "behind the 140.8 km/h fastball" in why
    assert "tunnel 12.50 m from the plate and still breaks 5.1 cm after" in why
    assert not re.search(r"\d (?:ft|in|mph)\b", why)


def test_what_a_pitch_is_called_is_no_quantity(scenario: Scenario) -> None:
    """A name is a name in every unit, whatever words it is made of."""
    for reader in (US, METRIC):
        _, why = judge(scenario, FOUND, {"now": 95}, reader=reader)
        assert "ahead of curve 12 in front behind" in why
        assert "30 cm" not in why


def test_a_name_is_marked_where_it_is_the_name(scenario: Scenario) -> None:
    """A page sets off the pitch `in`, not every word that is written so."""
    found = {"in": estimates(30.0, 41.0, 2.0), "the plate": estimates(23.0, 40.0, 2.5)}
    sentences = why_better(scenario, "fastball", found, Better("in", MEASURE, Estimate(7.0, 0.0, 2.0, 9.0), 95.0), US)
    for sentence in sentences:
        assert {str(part) for part in sentence.parts if isinstance(part, Name)} <= {"in", "the plate", "fastball"}
    first, second = sentences
    assert [piece for piece, is_name in first.pieces if is_name] == ["in", "the plate", "fastball"]
    assert str(second) == f"the plate {HIDES} and {LATE}."
    _, late = why_better(scenario, "fastball", {"in": found["in"]}, Better("in", MEASURE), US)
    assert [piece for piece, is_name in late.pieces if is_name] == ["in"]
    assert "41.0 ft from the plate" in str(late)


def test_people_read_the_name_of_a_pitch() -> None:
    tables = starter()
    tables["pitch"]["fastball"]["name"], tables["pitch"]["curve"]["name"] = "Four-seam", "Knuckle curve"
    named = from_mapping(tables).scenario
    better, why = judge(named, {"curve": estimates(25.0)})
    assert better.pitch == "curve"  # the key stays for tools
    assert why.startswith("Knuckle curve, the only pitch compared")
    assert "mph Four-seam" in why
