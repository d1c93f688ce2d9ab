"""The page of a staff, from outcomes that are given: its order, its words, its cautions, and what it leaves out."""

import re
from dataclasses import replace
from html import unescape

import pytest
from staff_pages import ASK, ROAD, outcome, page, scenario

from latebreak.service.sweep.asking import Outcome


def text(html: str) -> str:
    body = html[html.index("<body") :]
    return " ".join(re.sub(r"<[^>]+>", " ", body).split())


def test_rows_are_sorted_and_say_what_is_better() -> None:
    found = text(
        page(
            (scenario("Low"), outcome({"curve": 28.0, "slider": 29.0}, chance=60.0)),
            (None, Outcome("not TOML: <b>", {})),
            (scenario("High"), outcome({"curve": 33.4, "slider": 30.0}, better="curve", road=ROAD)),
            (scenario("Alone"), outcome({"curve": 31.0}, better="curve", chance=None)),
            (scenario("Even"), outcome({"curve": 30.1, "slider": 30.0})),
        )
    )
    places = [found.index(f"{title} ") for title in ("High", "Alone", "Even", "Low", "1.toml")]
    assert places == sorted(places)
    assert "4 pitchers; 3 with more than one pitch to choose, 1 of them with one that makes the better mix" in found
    assert "33.4 % 31.4 to 35.9 %" in found
    assert "better, 95 % sure" in found
    assert "hard to say, only 60 % sure" in found
    assert "no difference worth a choice" in found
    assert "the only one compared" in found
    assert "Curve makes the better mix" in " ".join(found.split())
    assert "No answer: not TOML: &lt;b&gt;" in found
    assert "No answer for 1 of 5" in found


def test_a_road_is_told_in_the_units_of_who_reads() -> None:
    one = (scenario("One"), outcome({"curve": 33.0, "slider": 30.0}, better="curve", road=ROAD))
    assert re.search(
        r"2\.5 mph (faster|more).*from [\d.]+ mph to [\d.]+ mph.*Probably 1\.5 to 3\.5 mph", text(page(one))
    )
    assert re.search(r"4\.0 km/h (faster|more)", text(page(one, units="metric")))
    none = (scenario("One"), outcome({"curve": 33.0, "slider": 30.0}, better="curve"))
    assert "no change of one thing alone" in text(page(none))


def test_cautions_stand_with_the_arm_that_they_are_for() -> None:
    adult = (scenario("Adult", level="college", age_years=20), outcome({"curve": 33.0}, road=ROAD))
    child = (scenario("Child", level="youth", age_years=12), outcome({"curve": 30.0}, road=ROAD))
    html = page(adult, child)
    found = text(html)
    child_at = found.index("Child")
    assert found.index("Build up gradually") < found.index("Adult")  # for all: said once, above
    assert found.count("Build up gradually") == 1
    assert found.index("Published medical guidance advises against breaking balls under 14") > child_at
    assert found.index("Ages 11 to 12") > child_at > found.index("Ages 19 to 22")
    assert "Build up gradually" not in text(page((scenario("One"), outcome({"curve": 33.0}))))  # nothing asks for more


def test_without_intervals_nothing_claims_to_be_sure() -> None:
    ask = replace(ASK, intervals=False)
    bare = outcome({"curve": 33.0, "slider": 30.0}, better="curve", chance=None)
    numbers = {name: {column: row[column] for column in ask.columns} for name, row in bare.pitches.items()}
    found = text(page((scenario("One"), replace(bare, pitches=numbers)), ask=ask))
    assert " sure" not in found.partition("What the model does not know")[0].replace("how sure", "")
    assert "No intervals were asked for" in found
    assert "nan" not in found


@pytest.mark.parametrize("title", ["<script>alert(1)</script>", "</style>{{ 7 * 7 }}", "\N{HEBREW LETTER ALEF}&amp;"])
def test_names_are_text_and_the_page_asks_for_nothing(title: str) -> None:
    html = page((scenario(title), outcome({"curve": 33.0, "slider": 30.0}, road=ROAD)))
    assert "<script" not in html
    assert html.count("</style>") == 1
    assert "49" not in html.partition("<body")[2].partition("late break, after")[0]
    assert not re.search(r'(src|href)="(?!data:,")', html)
    assert "Content-Security-Policy" in html
    assert "default-src 'none'" in unescape(html)


def test_a_measure_that_is_nowhere_is_said_so() -> None:
    answer = outcome({"curve": 33.0, "slider": 30.0})
    for row in answer.pitches.values():
        row.update(dict.fromkeys(column for column in row if column.startswith("late_break_in")))
    found = text(page((scenario("One"), answer)))
    assert "none" in found
    assert "nan" not in found
