"""Cautions by age and level, against the published table.

Pitch Smart guideline, MLB and USA Baseball (2015 edition): read. American Academy of Pediatrics (2012): as summarised
by others.
"""

import pytest

from latebreak.service.scenario.cautions import cautions, pitch_count_rule
from latebreak.service.scenario.model import Pitcher


def pitcher(level: str, age: float | None = None) -> Pitcher:
    return Pitcher.model_validate({"hand": "right", "level": level} | ({"age_years": age} if age is not None else {}))


@pytest.mark.parametrize(
    ("age", "maximum", "last_rest"),
    [
        (7, 50, "2 after 36-50"),
        (8.9, 50, "2 after 36-50"),
        (9, 75, "4 after 66 or more"),
        (12, 85, "3 after 51-65"),
        (13, 95, "1 after 21-35"),
        (15, 95, "1 after 31-45"),
        (16.5, 95, "4 after 76 or more"),
        (18, 105, "3 after 61-75 (later edition 61-80)"),
        (22, 120, "4 after 76 (later 81) or more"),
    ],
)
def test_the_row_of_the_age(age: float, maximum: int, last_rest: str) -> None:
    rule = pitch_count_rule(age)
    assert f"at most {maximum} pitches a day" in rule
    assert last_rest in rule
    assert "Pitch Smart" in rule


def test_the_youngest_row_has_no_rest_beyond_its_maximum() -> None:
    assert "3 after" not in pitch_count_rule(8)


@pytest.mark.parametrize("age", [5, 6.9, 23, 31])
def test_ages_without_a_row_defer_to_the_league(age: float) -> None:
    rule = pitch_count_rule(age)
    assert "no pitch-count row" in rule
    assert "league" in rule


@pytest.mark.parametrize("proposes_more", [True, False])
@pytest.mark.parametrize("young", [pitcher("youth"), pitcher("youth", 12), pitcher("high_school", 13.9)])
def test_under_fourteen_every_answer_advises_against_breaking_balls(young: Pitcher, proposes_more: bool) -> None:
    assert "advises against breaking balls" in " ".join(cautions(young, proposes_more=proposes_more))


@pytest.mark.parametrize("age", [14, 15.5, None])
def test_at_fourteen_and_fifteen_sliders_wait(age: float | None) -> None:
    for level in ("youth", "high_school") if age else ("high_school",):
        text = " ".join(cautions(pitcher(level, age), proposes_more=False))
        assert "sliders at 16 or later" in text
        assert "against breaking balls" not in text


@pytest.mark.parametrize(
    "grown", [pitcher("high_school", 16), pitcher("college"), pitcher("professional", 30), pitcher("professional")]
)
def test_older_pitchers_are_cautioned_only_when_more_is_proposed(grown: Pitcher) -> None:
    assert cautions(grown, proposes_more=False) == ()
    text = " ".join(cautions(grown, proposes_more=True))
    for words in ("Build up gradually", "pitch-count", "stop at pain", "licensed clinician", "local league"):
        assert words in text
